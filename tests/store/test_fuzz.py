"""Two windows on one file, every act in any order: what is in the file is always what was last done, and comes back."""

from __future__ import annotations

import json
import os
import tempfile
from pathlib import Path
from typing import Any

from hypothesis import HealthCheck, settings, strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, precondition, rule

from quincunx.demos import demo_garden
from quincunx.features import KINDS
from quincunx.garden import Edit, Garden, GardenError, Op, apply, garden_from, garden_text, plain, read_garden
from quincunx.garden.document import LISTS
from quincunx.intents import INTENTS
from quincunx.store import Conflict, Store, keep_copy

DEMO = plain(demo_garden("ropewalk"))
EXAMPLES: tuple[tuple[str, dict[str, Any]], ...] = tuple(
    ("features", {"kind": k.model_fields["kind"].default, "there_from": "start", **k.example}) for k in KINDS
)
OTHERS: tuple[tuple[str, dict[str, Any]], ...] = tuple(
    (part, thing) for part in LISTS if part not in ("features", "intents") for thing in DEMO.get(part, [])[:2]
)
MUSTS: tuple[tuple[str, dict[str, Any]], ...] = tuple(
    ("intents", {"kind": k.model_fields["kind"].default, **k.example}) for k in INTENTS
)
WHOLE: tuple[tuple[str, Any], ...] = tuple((part, DEMO[part]) for part in ("site", "means", "boundary") if part in DEMO)
GIVEN: tuple[Any, ...] = ({"name": "Ashby"}, {"name": "Élan “Nord”"}, {"writing": {"units": "feet"}})
START = garden_from({"format": "quincunx/1", "name": "Small", "boundary": [[0, 0], [10, 0], [10, 8], [0, 8]]})


class Windows(RuleBasedStateMachine):
    """The file against a list of states kept beside it."""

    @initialize()
    def begin(self) -> None:
        """Make the file and open it twice."""
        self.folder = tempfile.TemporaryDirectory()
        self.path = Path(self.folder.name) / "g.quincunx"
        self.before = os.environ.get("QUINCUNX_DATA")
        os.environ["QUINCUNX_DATA"] = self.folder.name + "/data"
        self.windows = [Store.create(self.path, START), Store.open(self.path, keep=False)]
        self.line: list[str] = [garden_text(START)]
        self.undone: list[str] = []

    def _did(self, garden: Garden) -> None:
        self.line.append(garden_text(garden))
        self.undone = []

    def _now(self) -> Garden:
        return read_garden(self.line[-1])

    def _commit(self, which: int, ops: tuple[Op, ...], base: int | None = None) -> None:
        edit = Edit(label="An act", ops=ops)
        try:
            wanted, _ = apply(self._now(), edit)
        except GardenError:
            try:
                self.windows[which].commit(edit, base)
            except GardenError:
                return
            raise AssertionError("a broken edit was taken") from None
        self.windows[which].commit(edit, base)
        self._did(wanted)

    @rule(
        which=st.integers(0, 1),
        thing=st.sampled_from((*EXAMPLES, *OTHERS, *MUSTS)),
        index=st.none() | st.integers(0, 3),
    )
    def put(self, which: int, thing: tuple[str, dict[str, Any]], index: int | None) -> None:
        """Put a thing of any kind, new or over itself."""
        part, value = thing
        base = self.windows[which].revision
        self._commit(which, (Op(do="put", part=part, id=value["id"], value=value, index=index),), base)

    @rule(which=st.integers(0, 1), thing=st.sampled_from(WHOLE))
    def put_whole(self, which: int, thing: tuple[str, Any]) -> None:
        """Put a whole part."""
        self._commit(which, (Op(do="put", part=thing[0], value=thing[1]),))

    @rule(which=st.integers(0, 1), data=st.data())
    def change_or_remove(self, which: int, data: st.DataObject) -> None:
        """Change or remove several things that are there, as one act."""
        there = [(p, x["id"]) for p in LISTS for x in plain(self._now()).get(p, [])]
        if not there:
            return
        ops = []
        for part, name in data.draw(st.lists(st.sampled_from(there), min_size=1, max_size=3, unique=True)):
            if data.draw(st.booleans()):
                ops.append(Op(do="remove", part=part, id=name))
            else:
                value = data.draw(st.sampled_from([{"name": "Otherwise"}, {"there_from": "2028-03"}, {"text": "Wet."}]))
                ops.append(Op(do="change", part=part, id=name, value=value))
        self._commit(which, tuple(ops))

    @rule(which=st.integers(0, 1), given=st.sampled_from(GIVEN))
    def replace(self, which: int, given: dict[str, Any]) -> None:
        """Bring in a garden over this one, as one act."""
        garden = garden_from(plain(self._now()) | given)
        self.windows[which].replace(garden, "Import")
        self._did(garden)
        assert self.windows[which].garden() == garden

    @precondition(lambda self: len(self.line) > 1)
    @rule(which=st.integers(0, 1))
    def undo(self, which: int) -> None:
        """Take back the last act, whoever did it."""
        assert self.windows[which].undo() is not None
        self.undone.append(self.line.pop())

    @rule(which=st.integers(0, 1))
    def redo(self, which: int) -> None:
        """Make it again, if anything was taken back since."""
        assert (self.windows[which].redo() is not None) == bool(self.undone)
        if self.undone:
            self.line.append(self.undone.pop())

    @rule(which=st.integers(0, 1))
    def end_without_closing(self, which: int) -> None:
        """Leave a window as a killed program does, and open the file anew."""
        self.windows[which] = Store.open(self.path, keep=False)

    @rule(which=st.integers(0, 1))
    def both_at_once(self, which: int) -> None:
        """Two windows change one thing from one state: the second is told, and nothing of it is made."""
        base = self.windows[0].revision
        mine, theirs = ({"id": "both", "name": n, "at": [1, 1]} for n in ("Mine", "Theirs"))
        self._commit(which, (Op(do="put", part="spots", id="both", value=theirs),), base)
        try:
            self.windows[1 - which].commit(
                Edit(label="Mine", ops=(Op(do="put", part="spots", id="both", value=mine),)), base
            )
        except Conflict:
            return
        raise AssertionError("an act on an older state was taken over another of the same thing")

    @rule(which=st.integers(0, 1))
    def copy(self, which: int) -> None:
        """A dated copy holds the state and the history of that moment."""
        del which
        copy = keep_copy(self.path, "to look at")
        assert copy is not None
        with Store.open(copy, keep=False) as kept:
            assert garden_text(kept.garden()) == self.line[-1]
            assert len(kept.history(10_000)) == len(self.line) - 1
            assert kept.whole()

    @invariant()
    def both_windows_show_what_was_last_done(self) -> None:
        """And what is taken out comes back the same."""
        for store in getattr(self, "windows", []):
            text = garden_text(store.garden())
            assert text == self.line[-1]
            assert read_garden(text) == store.garden()
            assert json.loads(text)["format"] == "quincunx/1"

    def teardown(self) -> None:
        """All is taken back to the beginning and made again before the end."""
        if not hasattr(self, "windows"):
            return
        store = self.windows[0]
        while store.undo() is not None:
            pass
        assert garden_text(store.garden()) == self.line[0]
        for text in self.line[1:]:
            assert store.redo() is not None
            assert garden_text(store.garden()) == text
        assert store.whole()
        for one in self.windows:
            one.close()
        if self.before is None:
            del os.environ["QUINCUNX_DATA"]
        else:
            os.environ["QUINCUNX_DATA"] = self.before
        self.folder.cleanup()


TestWindows = Windows.TestCase
TestWindows.settings = settings(
    max_examples=int(os.environ.get("QUINCUNX_FUZZ", "6")), stateful_step_count=20, deadline=None, derandomize="QUINCUNX_FUZZ" not in os.environ,
    suppress_health_check=list(HealthCheck),
)  # fmt: skip


def test_every_kind_is_put_changed_removed_and_brought_back(tmp_path: Path) -> None:
    """Each kind of thing, each kind of must, and some of every list: in, out by JSON, undone after opening anew."""
    path = tmp_path / "g.quincunx"
    full = garden_from(DEMO)
    states = [garden_text(full)]
    with Store.create(path, full) as store:
        for part, value in (*EXAMPLES, *MUSTS):
            thing = {**value, "id": f"own-{value['id']}"[:60]}
            try:
                store.commit(Edit(label="Put", ops=(Op(do="put", part=part, id=thing["id"], value=thing),)))
            except GardenError:  # names what this garden doesn't have
                continue
            states.append(garden_text(store.garden()))
            assert read_garden(states[-1]) == store.garden()
    assert len(states) > len(EXAMPLES)
    with Store.open(path, keep=False) as store:
        for text in reversed(states[:-1]):
            assert store.undo() is not None
            assert garden_text(store.garden()) == text
        assert store.undo() is None
