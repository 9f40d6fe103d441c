"""The file: history, undo across restarts, alternatives, merging, refusing what is not ours."""

from __future__ import annotations

import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from quincunx.garden import Edit, Garden, GardenError, Op, change, garden_from, garden_text, plain, put, remove
from quincunx.store import Conflict, Store, StoreError, list_copies
from quincunx.store.connect import create, open_checked
from quincunx.store.copies import copies_folder, keep_copy
from quincunx.store.schema import APPLICATION_ID, VERSION


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))


def small() -> Garden:
    return garden_from(
        {
            "format": "quincunx/1",
            "name": "Small",
            "boundary": [[0, 0], [10, 0], [10, 8], [0, 8]],
            "features": [
                {"kind": "wall", "id": "wall", "line": [[1, 1], [9, 1]], "there_from": "start"},
                {"kind": "gate", "id": "gate", "at": [5, 1], "there_from": "start"},
            ],
        }
    )


def hedge(name: str = "hedge") -> Edit:
    return put("features", {"kind": "hedge", "id": name, "line": [[1, 4], [9, 4]], "there_from": "2027-03"})


def test_an_edit_survives_closing_and_can_be_undone_and_redone(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    with Store.create(path, small()) as store:
        before = garden_text(store.garden())
        assert store.commit(hedge()).revision == 1
        after = garden_text(store.garden())
    with Store.open(path) as store:
        assert garden_text(store.garden()) == after
        assert store.undo() == "Put hedge"
        assert garden_text(store.garden()) == before
    with Store.open(path) as store:
        assert store.can() == (None, "Put hedge")
        assert store.redo() == "Put hedge"
        assert garden_text(store.garden()) == after
        assert store.redo() is None


def test_undo_restores_order_and_every_field(tmp_path: Path) -> None:
    with Store.create(tmp_path / "g.quincunx", small()) as store:
        before = garden_text(store.garden())
        edits = [
            remove("features", ["wall"]),
            change("features", "gate", {"width": 1.2, "name": "Side gate"}),
            change("means", None, {"sum_a_year": 240000}),
            Edit(label="rename", ops=(Op(do="change", part="features", id="gate", value={"id": "side-gate"}),)),
            hedge(),
        ]
        for edit in edits:
            store.commit(edit)
        for edit in reversed(edits):
            assert store.undo() == edit.label
        assert store.undo() is None
        assert garden_text(store.garden()) == before


def test_a_broken_edit_changes_nothing(tmp_path: Path) -> None:
    with Store.create(tmp_path / "g.quincunx", small()) as store:
        before = store.revision, garden_text(store.garden())
        with pytest.raises(GardenError, match=r"at least 0\.3"):
            store.commit(change("features", "gate", {"width": 0.01}))
        with pytest.raises(GardenError, match="no longer there"):
            store.commit(change("features", "nothing", {"width": 1.0}))
        assert (store.revision, garden_text(store.garden())) == before


def test_two_windows_merge_or_are_told(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    with Store.create(path, small()) as one, Store.open(path) as two:
        base = two.revision
        one.commit(change("features", "gate", {"width": 1.1}))
        saved = two.commit(change("features", "wall", {"height": 2.0}), base)
        assert saved.merged
        gate, wall = (next(f for f in two.garden().features if f.id == i) for i in ("gate", "wall"))
        assert (float(gate.width), float(wall.height)) == (1.1, 2.0)  # type: ignore[attr-defined]
        with pytest.raises(Conflict, match="changed in another window"):
            two.commit(change("features", "gate", {"width": 0.8}), base)
        assert two.commit(change("features", "gate", {"latch": "locked"}), base).merged


def test_alternatives_and_named_versions(tmp_path: Path) -> None:
    with Store.create(tmp_path / "g.quincunx", small()) as store:
        store.name_version("first")
        store.new_head("with a hedge")
        store.switch("with a hedge")
        store.commit(hedge())
        assert [f.id for f in store.garden().features] == ["wall", "gate", "hedge"]
        store.switch("main")
        assert [f.id for f in store.garden().features] == ["wall", "gate"]
        assert store.heads() == ["main", "with a hedge"]
        store.commit(remove("features", ["wall"]))
        store.replace(store.version("first"), "Back to first")
        assert garden_text(store.garden()) == garden_text(store.version("first"))
        with pytest.raises(StoreError, match="already a version"):
            store.name_version("first")
        with pytest.raises(StoreError, match="already an alternative"):
            store.new_head("main")
        with pytest.raises(StoreError, match="There are: main, with a hedge"):
            store.switch("nowhere")


def test_history_reads_newest_first_and_pictures_stay(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    with Store.create(path, small()) as store:
        for i in range(5):
            store.commit(hedge(f"hedge-{i}"))
        store.put_picture("june", "June", "image/png", b"\x89PNG", "gate")
        assert [s.label for s in store.history()] == [f"Put hedge-{i}" for i in reversed(range(5))]
        assert [s.label for s in store.history(2)] == ["Put hedge-4", "Put hedge-3"]
    with Store.open(path) as store:
        assert store.picture("june") == ("image/png", b"\x89PNG")
        assert store.pictures() == [("june", "June", "gate")]
        assert store.picture("july") is None
        assert store.whole()


def test_dated_copies_are_kept_and_only_ten(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    Store.create(path, small()).close()
    for i in range(13):
        with Store.open(path) as store:
            store.commit(hedge(f"hedge-{i}"))
    copies = list_copies(path)
    assert len(copies) == 10
    with Store.open(copies[0], keep=False) as store:
        assert len(store.garden().features) == 2 + 12


def test_an_unchanged_file_is_not_copied_again(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    Store.create(path, small()).close()
    for _ in range(3):
        Store.open(path).close()
    assert len(list_copies(path)) == 1


def test_nobody_writes_while_a_copy_is_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half of another program's edit would be a copy that can't be opened."""
    path = tmp_path / "g.quincunx"
    Store.create(path, small()).close()
    write = (
        "import sqlite3, sys; sqlite3.connect(sys.argv[1], timeout=0, isolation_level=None).execute('BEGIN EXCLUSIVE')"
    )
    said = []

    def copying(con: sqlite3.Connection, target: Path) -> None:
        other = subprocess.run([sys.executable, "-c", write, str(path)], capture_output=True, text=True, check=False)
        said.append(other.stderr)
        with closing(sqlite3.connect(target)) as new:
            con.backup(new)

    monkeypatch.setattr("quincunx.store.copies._fill", copying)
    Store.open(path).close()
    assert "database is locked" in said[0]
    assert len(list_copies(path)) == 1
    free = subprocess.run([sys.executable, "-c", write, str(path)], capture_output=True, text=True, check=False)
    assert free.returncode == 0


def broken(path: Path, how: str) -> None:
    con = sqlite3.connect(path)
    con.executescript(how)
    con.close()


@pytest.mark.parametrize(
    ("how", "words"),
    [
        ("PRAGMA user_version = 7", "file version 7; this program knows up to 1"),
        ("PRAGMA application_id = 1", "some other program"),
        ("CREATE TRIGGER t AFTER UPDATE ON head BEGIN DELETE FROM history; END", "didn't make"),
        ("CREATE VIEW v AS SELECT 1", "didn't make"),
        ("UPDATE head SET garden = '{}'", "not a garden"),
        ("UPDATE head SET garden = 'x'", "not a garden"),
        ("PRAGMA user_version = 0", "file version 0, which no Quincunx wrote"),
    ],
)
def test_a_foreign_file_is_refused_in_one_sentence(tmp_path: Path, how: str, words: str) -> None:
    path = tmp_path / "g.quincunx"
    Store.create(path, small()).close()
    broken(path, how)
    before = path.read_bytes()
    with pytest.raises(StoreError, match=words):
        Store.open(path)
    assert path.read_bytes() == before


def test_no_file_a_folder_text_and_rubbish_are_refused(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="There is no file"):
        Store.open(tmp_path / "nothing.quincunx")
    with pytest.raises(StoreError, match="is a folder"):
        Store.open(tmp_path)
    text = tmp_path / "g.json"
    text.write_text('{"format": "quincunx/1"}')
    with pytest.raises(StoreError, match="looks like JSON"):
        Store.open(text)
    damaged = tmp_path / "d.quincunx"
    Store.create(damaged, small()).close()
    data = bytearray(damaged.read_bytes())
    data[100:4000] = b"\xff" * 3900
    damaged.write_bytes(data)
    with pytest.raises(StoreError, match="damaged"):
        Store.open(damaged)


def test_creating_over_a_file_needs_replace_and_keeps_a_copy(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    Store.create(path, small()).close()
    with pytest.raises(StoreError, match="already a file"):
        Store.create(path, small())
    Store.create(path, small(), replace=True).close()
    assert len(list_copies(path)) == 1

    def full(_: sqlite3.Connection) -> None:
        raise sqlite3.OperationalError("database or disk is full")

    before = path.read_bytes()
    with pytest.raises(StoreError, match="disk is full"):
        create(path, full, replace=True)
    assert path.read_bytes() == before
    with pytest.raises(StoreError, match="no folder"):
        Store.create(tmp_path / "no" / "g.quincunx", small())
    assert [p.name for p in tmp_path.glob(".*")] == []


def test_an_older_file_is_backed_up_and_migrated(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    Store.create(path, small()).close()
    kept: list[int] = []

    def later(con: sqlite3.Connection) -> None:
        con.execute("CREATE TABLE later (x TEXT) STRICT")

    con = open_checked(path, lambda _, version: kept.append(version), {VERSION: later})
    assert kept == [VERSION]
    assert con.execute("PRAGMA user_version").fetchone()[0] == VERSION + 1
    assert con.execute("PRAGMA application_id").fetchone()[0] == APPLICATION_ID
    con.close()
    with pytest.raises(StoreError, match="newer Quincunx"):
        Store.open(path)


def test_a_failed_migration_leaves_the_file_as_it_was(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    Store.create(path, small()).close()
    before = path.read_bytes()

    def fails(con: sqlite3.Connection) -> None:
        con.execute("CREATE TABLE later (x TEXT) STRICT")
        con.execute("SELECT nothing FROM nowhere")

    with pytest.raises(StoreError):
        open_checked(path, lambda *_: None, {VERSION: fails})
    with Store.open(path) as store:
        assert plain(store.garden()) == plain(small())
    assert path.read_bytes() == before


def test_a_garden_whose_letters_are_damaged_is_told_so_and_pushes_no_copy_out(tmp_path: Path) -> None:
    """Bytes spoiled inside the text pass the database's own check: the file opens, and what it holds can't be read."""
    path = tmp_path / "g.quincunx"
    Store.create(path, small()).close()
    Store.open(path).close()
    good = list_copies(path)
    whole = path.read_bytes()
    at = whole.index(b'"quincunx/1"')
    for spoiled in (whole[: at + 2] + b"\xff\xfe" + whole[at + 4 :], whole[:at] + b"}" * 12 + whole[at + 12 :]):
        path.write_bytes(spoiled)
        with pytest.raises(StoreError, match="Dated copies"):
            Store.open(path)
    assert list_copies(path) == good


def test_a_clock_set_back_loses_no_copy_just_made(tmp_path: Path) -> None:
    path = tmp_path / "g.quincunx"
    store = Store.create(path, small())
    folder = copies_folder(path)
    folder.mkdir(parents=True)
    for n in range(10):
        (folder / f"2099-01-{n + 1:02d} 10-00-00-000000.quincunx").write_bytes(b"from a day to come")
    store.close()
    kept = keep_copy(path)
    assert kept is not None
    assert kept.exists()
    assert len(list_copies(path)) == 10
    assert keep_copy(path) is None
