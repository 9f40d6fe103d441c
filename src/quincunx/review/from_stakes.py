"""What is drawn from stakes: things of any kind through them, and the lie of the ground from their heights."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from pydantic import ValidationError

from quincunx.features import Feature, kinds
from quincunx.garden import Edit, Garden, GardenError, Op, change, plain
from quincunx.garden.edits import free_id
from quincunx.garden.reading import Fault
from quincunx.review.ground import Measured, measure
from quincunx.shapes import XY
from quincunx.units.words import counted

HEIGHT_WORDS = "stake "
"""How a height taken from a stake begins its note, so that it is taken anew and not twice."""


@dataclass(frozen=True, slots=True)
class Drawable:
    """A kind that stakes can draw: the field they fill, and how many it needs; ``each`` draws one thing a stake."""

    kind: str
    words: str
    field: str
    least: int
    each: bool

    @property
    def round(self) -> bool:
        """Whether its points go round it."""
        return not self.each and self.least >= 3


def drawables() -> tuple[Drawable, ...]:
    """Return the kinds that a row of points, or one point, says where they are; by their words."""
    found = (_drawable(cls) for cls in kinds().values())
    return tuple(sorted((d for d in found if d is not None), key=lambda d: (d.each, d.words)))


def _drawable(cls: type[Feature]) -> Drawable | None:
    kind = str(cls.model_fields["kind"].default)
    example = cls.model_validate({"kind": kind, **cls.example})
    lines, at = example.lines(), example._points()  # noqa: SLF001 - a kind's own points, asked for nothing else
    needed = {n for n, f in cls.model_fields.items() if f.is_required()} - {"id", "kind"}
    if len(lines) == 1 and not at:
        (name,) = lines
        return Drawable(kind, cls.words, name, _least(cls, name), each=False) if needed <= {name} else None
    if len(at) == 1 and not lines:
        (name,) = at
        return Drawable(kind, cls.words, name, 1, each=True) if needed <= {name} else None
    return None


def _least(cls: type[Feature], name: str) -> int:
    for rule in cls.model_fields[name].metadata:
        if getattr(rule, "min_length", None):
            return int(rule.min_length)
    return 2


def drawn_edit(garden: Garden, kind: str, stakes: Sequence[str]) -> Edit:
    """Return the one edit that draws a thing of ``kind`` through ``stakes``, or one on each; there from the start.

    :class:`GardenError` names a stake without a place, too few stakes, or a kind that stakes can't draw.
    """
    how = next((d for d in drawables() if kind in (d.kind, d.words)), None)
    if how is None:
        known = ", ".join(d.words for d in drawables())
        raise GardenError([Fault("features", f"Stakes can't draw {kind!r}. They can draw: {known}.")])
    m = measure(garden)
    edit = drawn_at(garden, how, [(round(x, 3), round(y, 3)) for x, y in places(m, stakes)], "stakes")
    return edit.model_copy(update={"label": f"{edit.label} from stakes"})


def drawn_at(garden: Garden, how: Drawable, at: Sequence[XY], called: str = "points") -> Edit:
    """Return the one edit that draws a thing through points [m], or one at each; there from the start.

    :class:`GardenError` says that there are too few (``called`` what the person calls them), or that they don't do.
    """
    points = [list(p) for p in at]
    if len(points) < how.least:
        words = f"A {how.words} needs {how.least} {called} or more; got {len(points)}."
        raise GardenError([Fault("features", words)])
    taken = {f.id for f in garden.features}
    things = []
    for value in points if how.each else [points]:
        name = free_id(re.sub(r"[^a-z0-9]+", "-", how.words), taken)
        taken.add(name)
        things.append({"kind": how.kind, "id": name, "there_from": "start", how.field: value})
    try:
        made = [kinds()[how.kind].model_validate(t) for t in things]
    except ValidationError as error:
        said = error.errors()[0]["msg"].removeprefix("Value error, ")
        raise GardenError(
            [Fault("features", f"{called.capitalize()} in that order give no {how.words}: {said}.")]
        ) from None
    label = f"Draw a {how.words}" if len(made) == 1 else f"Draw {counted(len(made), how.words)}"
    return Edit(label=label, ops=tuple(Op(do="put", part="features", id=f.id, value=plain(f)) for f in made))


def places(m: Measured, stakes: Sequence[str]) -> list[XY]:
    """Return where stakes stand [m], by their ids or names; :class:`GardenError` for one unknown or without a place."""
    ids = {s.name.lower(): s.id for s in m.survey.stakes} | {s.id: s.id for s in m.survey.stakes}
    out = []
    for name in stakes:
        stake = ids.get(name) or ids.get(name.lower())
        if stake is None:
            known = ", ".join(s.name for s in m.survey.stakes) or "none yet"
            raise GardenError([Fault("survey", f"No stake is called {name!r}. Stakes are: {known}.")])
        if stake not in m.places:
            raise GardenError([Fault("survey", f"Stake {name!r} has no place yet. Tape it to two others first.")])
        out.append(m.places[stake])
    return out


def heights_to_take(m: Measured) -> dict[str, tuple[XY, float]]:
    """Return the stakes that have both a place and a height: (place, height) [m], by id."""
    levels = {} if m.levels is None else m.levels.levels
    return {
        s: (m.places[s], levels[s])
        for s in sorted(levels)
        if s in m.places and s not in (m.levels.loose if m.levels else ())
    }


def heights_edit(garden: Garden, m: Measured | None = None) -> Edit | None:
    """Return the edit that gives the plan's ground the measured heights; None where it has them, or there are none.

    A height taken from a stake before is taken anew; heights put in otherwise stay.
    """
    m = m or measure(garden)
    found = heights_to_take(m)
    names = {f"{HEIGHT_WORDS}{m.names[s]}" for s in found}
    kept = [plain(h) for h in garden.levels.heights if h.words not in names]
    new = [
        {"at": [round(x, 3), round(y, 3)], "z_m": round(z, 3), "words": f"{HEIGHT_WORDS}{m.names[s]}"}
        for s, ((x, y), z) in found.items()
    ]
    if not new:
        return None
    edit = change("levels", None, {"heights": [*kept, *new]}, f"Heights of {counted(len(new), 'stake')}")
    before = {(h.words, *(round(v, 3) for v in h.xyz())) for h in garden.levels.heights}
    same = {
        (f"{HEIGHT_WORDS}{m.names[s]}", round(x, 3), round(y, 3), round(z, 3)) for s, ((x, y), z) in found.items()
    } <= before
    return None if same else edit
