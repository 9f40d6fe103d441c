"""One garden, one file: edits are transactions, every one a row of history that can be undone after a restart."""

from __future__ import annotations

import json
import secrets
import sqlite3
import threading
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Self

from quincunx import __version__
from quincunx.garden import Edit, Garden, GardenError, Op, apply, garden_text, plain, read_garden
from quincunx.garden.document import LISTS, WHOLES
from quincunx.store.connect import copy_instead, create, open_checked, told
from quincunx.store.copies import keep_copy
from quincunx.store.errors import Conflict, StoreError
from quincunx.store.place import Place, place_of, same, unlike
from quincunx.store.touch import clash

MAIN = "main"
ANSWER = "answer:"
"""Before the name of a kept answer among the file's settings."""
BESIDE = "beside:"
"""Before the name of a text that lies beside the garden among the file's settings: no edit, never dropped."""
SHOWN = "shown"
"""The name under which the alternative last shown on the board lies beside the garden."""
MOST_ANSWERS = 60
"""Answers kept in a file: those asked for last."""
_BARE = "INSERT OR REPLACE INTO setting SELECT 'bare/' || id, made_at FROM picture WHERE id = ?"
_ODD = "INSERT OR REPLACE INTO setting SELECT 'odd/' || id, made_at FROM picture WHERE id = ?"
_UNCLEAN = (
    "SELECT id FROM picture WHERE NOT EXISTS"
    " (SELECT 1 FROM setting WHERE name IN ('bare/' || picture.id, 'odd/' || picture.id) AND value = picture.made_at)"
    " ORDER BY id"
)
_UNREAD = (
    "SELECT id FROM picture WHERE EXISTS"
    " (SELECT 1 FROM setting WHERE name = 'odd/' || picture.id AND value = picture.made_at) ORDER BY id"
)
_TAKEN = "SELECT 1 FROM setting WHERE name = ?"


@dataclass(frozen=True, slots=True)
class Step:
    """One row of history: its number, the one before it, what was done and when (ISO time, UTC)."""

    id: int
    parent: int
    label: str
    made_at: str


@dataclass(frozen=True, slots=True)
class Saved:
    """What a commit answers: the new ``revision`` and whether other people's edits came in between."""

    revision: int
    merged: bool


@dataclass(frozen=True, slots=True)
class TakenIn:
    """What comes of things handed in: the ``edit`` (None: nothing changes), the ``ids`` it takes, pictures with it.

    A picture is (id, name, MIME type, bytes). ``beside`` are texts by name that lie beside the garden from then on.
    """

    edit: Edit | None
    ids: tuple[str, ...]
    pictures: tuple[tuple[str, str, str, bytes], ...] = ()
    beside: tuple[tuple[str, str], ...] = ()


class Store:
    """An open ``.quincunx`` file.  Safe to use from several threads and beside other processes."""

    def __init__(self, path: Path, con: sqlite3.Connection, head: str = MAIN) -> None:
        """Use :meth:`create` or :meth:`open`."""
        self.path = path
        self.head = head
        self._con = con
        self._place: Place = place_of(path)
        self._lock = threading.RLock()
        self._garden: tuple[int, Garden] | None = None

    @classmethod
    def create(cls, path: Path | str, garden: Garden, *, replace: bool = False) -> Store:
        """Make a new file holding ``garden``; with ``replace`` an existing file is kept as a dated copy first."""
        path = Path(path)
        text = garden_text(garden)
        create(path, lambda con: _fill(con, text), replace=replace)
        return cls.open(path, keep=False)

    @classmethod
    def open(cls, path: Path | str, *, keep: bool = True) -> Store:
        """Open a file; a dated copy is kept first unless ``keep`` is False.

        Raises :class:`StoreError` with one sentence if it can't be.
        """
        path = Path(path)
        con = open_checked(path, lambda p, version: _keep(p, f"before version {version + 1}"))
        store = cls(path, con)
        try:
            store.garden()
        except GardenError as error:
            con.close()
            raise StoreError(
                f"{path.name} opens, but what it holds is not a garden: {str(error).rstrip('.')}. {copy_instead(path)}"
            ) from error
        except StoreError:
            con.close()
            raise
        if keep:  # of what can be read: a damaged file must not push its good copies out
            _keep(path, "")
        return store

    def close(self) -> None:
        """Close the file, once nobody is using it."""
        with self._lock:
            self._con.close()

    def __enter__(self) -> Self:
        """Return itself."""
        return self

    def __exit__(self, *_: object) -> None:
        """Close the file."""
        self.close()

    @property
    def revision(self) -> int:
        """Return the number of the head's last edit (0: none yet)."""
        with self._lock:
            return self._at()

    def garden(self) -> Garden:
        """Return the garden at the head."""
        with self._lock:
            at, text = self._row()
            if self._garden is None or self._garden[0] != at:
                self._garden = (at, read_garden(text))
            return self._garden[1]

    def garden_of(self, head: str) -> tuple[Garden, int]:
        """Return the garden of another alternative and its revision; :class:`StoreError` if there is none of that name."""
        with self._lock:
            row = self._head(head)
            if row is None:
                raise StoreError(f"There is no alternative called {head!r}. There are: {', '.join(self.heads())}.")
            return read_garden(str(row[1])), int(row[0])

    def commit(self, edit: Edit, base: int | None = None) -> Saved:
        """Make ``edit`` and remember it.

        ``base`` is the revision it was made on: edits of others since are merged if they touch other things,
        else :class:`Conflict` is raised and nothing changes.
        """
        with self._lock, self._writing():
            at, text = self._row()
            merged = base is not None and base != at
            if merged and base is not None:
                self._merge_check(edit, base, at)
            garden, inverse = apply(self._known(at, text), edit)
            revision = self._append(at, edit, inverse, garden)
        return Saved(revision, merged)

    def take_once(self, ids: Sequence[str], make: Callable[[Garden, frozenset[str]], TakenIn]) -> tuple[int, set[str]]:
        """Take in things that may be handed in twice; return the revision and the ids now known to be taken.

        ``make`` gets the garden and those of ``ids`` that were taken before.  Edit, ids and pictures are written
        together or not at all, so that nothing is lost or doubled however often a hand-over is cut off.
        """
        with self._lock, self._writing():
            known = {i for i in ids if self._con.execute(_TAKEN, (f"taken/{i}",)).fetchone()}
            revision, text = self._row()
            garden = self._known(revision, text)
            made = make(garden, frozenset(known))
            if made.edit is not None and made.edit.ops:
                after, inverse = apply(garden, made.edit)
                revision = self._append(revision, made.edit, inverse, after)
            for picture, name, kind, data in made.pictures:
                values = (picture, name, kind, "", _now(), data)
                if self._con.execute("INSERT OR IGNORE INTO picture VALUES (?, ?, ?, ?, ?, ?)", values).rowcount:
                    self._con.execute(_BARE, (picture,))
            marks = [(f"taken/{i}", _now()) for i in made.ids]
            self._con.executemany("INSERT OR IGNORE INTO setting VALUES (?, ?)", marks)
            texts = [(BESIDE + name, text) for name, text in made.beside]
            self._con.executemany("INSERT OR REPLACE INTO setting VALUES (?, ?)", texts)
        return revision, known | set(made.ids)

    def mark(self) -> str:
        """Return the mark by which things handed in are known to belong to this garden; copies of the file share it."""
        with self._lock, self._writing():
            row = self._con.execute("SELECT value FROM setting WHERE name = 'mark'").fetchone()
            if row is not None:
                return str(row[0])
            mark = secrets.token_hex(8)
            self._con.execute("INSERT INTO setting VALUES ('mark', ?)", (mark,))
            return mark

    def replace(self, garden: Garden, label: str) -> Saved:
        """Make the head hold ``garden``, as one edit that can be undone."""
        before, after = plain(self.garden()), plain(garden)
        ops = [Op(do="put" if after.get(p) is not None else "remove", part=p, value=after.get(p)) for p in WHOLES]
        ops = [o for o in ops if before.get(o.part) != after.get(o.part)]
        for part in LISTS:
            new = {x["id"]: x for x in after.get(part, [])}
            old = {x["id"]: x for x in before.get(part, [])}
            ops += [Op(do="remove", part=part, id=i) for i in old if i not in new or list(new) != list(old)]
            ops += [
                Op(do="put", part=part, id=i, value=x)
                for i, x in new.items()
                if list(new) != list(old) or old.get(i) != x
            ]
        return self.commit(Edit(label=label, ops=tuple(ops)))

    def undo(self) -> str | None:
        """Take back the head's last edit; return its label, or None if there is none."""
        with self._lock, self._writing():
            at, text = self._row()
            if at == 0:
                return None
            row = self._con.execute("SELECT parent, label, inverse FROM history WHERE id = ?", (at,)).fetchone()
            garden, _ = apply(self._known(at, text), Edit.model_validate_json(row[2]))
            self._move(int(row[0]), garden, [*self._redo(), at])
            return str(row[1])

    def redo(self) -> str | None:
        """Make again the edit last taken back; return its label, or None if there is none."""
        with self._lock, self._writing():
            stack = self._redo()
            if not stack:
                return None
            at, text = self._row()
            row = self._con.execute("SELECT label, forward FROM history WHERE id = ?", (stack[-1],)).fetchone()
            garden, _ = apply(self._known(at, text), Edit.model_validate_json(row[1]))
            self._move(stack[-1], garden, stack[:-1])
            return str(row[0])

    def can(self) -> tuple[str | None, str | None]:
        """Return the labels of what undo and redo would do."""
        with self._lock:
            at, stack = self._at(), self._redo()
            labels = dict(
                self._con.execute("SELECT id, label FROM history WHERE id IN (?, ?)", (at, stack[-1] if stack else 0))
            )
            return labels.get(at), labels.get(stack[-1]) if stack else None

    def history(self, limit: int = 200) -> list[Step]:
        """Return the head's edits, newest first."""
        query = (
            "WITH RECURSIVE line(id, parent, label, made_at, n) AS ("
            " SELECT id, parent, label, made_at, 1 FROM history WHERE id = ?"
            " UNION ALL SELECT h.id, h.parent, h.label, h.made_at, n + 1 FROM history h JOIN line ON h.id = line.parent WHERE n < ?"
            ") SELECT id, parent, label, made_at FROM line"
        )
        with self._lock:
            return [Step(*row) for row in self._con.execute(query, (self._at(), limit))]

    def heads(self) -> list[str]:
        """Return the names of the alternatives."""
        with self._lock:
            return [str(r[0]) for r in self._con.execute("SELECT name FROM head ORDER BY name")]

    def new_head(self, name: str) -> None:
        """Make an alternative called ``name`` from the present state; :class:`StoreError` if the name is taken."""
        with self._lock, self._writing():
            at, text = self._row()
            if name in self.heads():
                raise StoreError(f"There is already an alternative called {name!r}. Choose another name.")
            self._con.execute("INSERT INTO head VALUES (?, ?, '[]', ?)", (name, at, text))

    def switch(self, name: str) -> None:
        """Work on another alternative from now on; :class:`StoreError` if there is none of that name."""
        with self._lock:
            if name not in self.heads():
                raise StoreError(f"There is no alternative called {name!r}. There are: {', '.join(self.heads())}.")
            self.head, self._garden = name, None

    def show(self, name: str) -> None:
        """Work on another alternative, as :meth:`switch`, and remember it for :meth:`show_last`.

        Where the file can't be written it is shown all the same, and not remembered.
        """
        self.switch(name)
        with suppress(StoreError):
            self.put_beside(SHOWN, name)

    def show_last(self) -> None:
        """Work on the alternative last shown; on the first plan where none was, or where that one can't be read."""
        last = self.beside(SHOWN)
        if last is None or last not in self.heads():
            return
        self.switch(last)
        try:
            self.garden()
        except (GardenError, StoreError):
            self.switch(MAIN)

    def name_version(self, name: str) -> None:
        """Give the present state a name; :class:`StoreError` if it is taken."""
        with self._lock, self._writing():
            at, text = self._row()
            if self._con.execute("SELECT 1 FROM version WHERE name = ?", (name,)).fetchone():
                raise StoreError(f"There is already a version called {name!r}. Choose another name.")
            self._con.execute("INSERT INTO version VALUES (?, ?, ?, ?)", (name, at, text, _now()))

    def versions(self) -> list[tuple[str, str]]:
        """Return the named versions with their times, newest first."""
        with self._lock:
            return [
                (str(n), str(t))
                for n, t in self._con.execute("SELECT name, made_at FROM version ORDER BY made_at DESC")
            ]

    def version(self, name: str) -> Garden:
        """Return the garden as it was when that name was given; :class:`StoreError` if there is none."""
        with self._lock:
            row = self._con.execute("SELECT garden FROM version WHERE name = ?", (name,)).fetchone()
        if row is None:
            raise StoreError(f"There is no version called {name!r}.")
        return read_garden(row[0])

    def put_picture(self, picture_id: str, name: str, kind: str, data: bytes, about: str = "") -> None:
        """Keep a picture (``kind`` a MIME type) that holds nothing else under an id, replacing one of the same id."""
        with self._lock, self._writing():
            values = (picture_id, name, kind, about, _now(), data)
            self._con.execute("INSERT OR REPLACE INTO picture VALUES (?, ?, ?, ?, ?, ?)", values)
            self._con.execute(_BARE, (picture_id,))

    def unclean(self) -> list[str]:
        """Return the ids of the pictures that were kept by a program that left in them what the camera wrote."""
        with self._lock:
            return [str(row[0]) for row in self._con.execute(_UNCLEAN)]

    def unread(self) -> list[str]:
        """Return the ids of the pictures that :meth:`clean` could not read: nobody knows what is in them."""
        with self._lock:
            return [str(row[0]) for row in self._con.execute(_UNREAD)]

    def clean(self, bare: Callable[[bytes], tuple[str, bytes] | None]) -> int:
        """Keep the pictures of :meth:`unclean` as ``bare`` returns them; return how many were changed.

        It gives (MIME type, bytes), or None for a picture it can't read, which stays as it is and is not called clean,
        but not tried again (:meth:`unread`).  It is no edit and no revision; what was in the file before is written over.
        """
        changed = 0
        for name in self.unclean():
            kept = self.picture(name)
            found = bare(kept[1]) if kept else None
            with self._lock:
                self._con.execute("PRAGMA secure_delete = ON")
                with self._writing():
                    if kept is not None and found is not None and found[1] != kept[1]:
                        values = (*found, name, kept[1])
                        query = "UPDATE picture SET kind = ?, bytes = ? WHERE id = ? AND bytes = ?"
                        changed += self._con.execute(query, values).rowcount
                    self._con.execute(_BARE if found is not None else _ODD, (name,))
        return changed

    def picture(self, picture_id: str) -> tuple[str, bytes] | None:
        """Return (MIME type, bytes) of a picture, or None."""
        with self._lock:
            row = self._con.execute("SELECT kind, bytes FROM picture WHERE id = ?", (picture_id,)).fetchone()
        return None if row is None else (str(row[0]), bytes(row[1]))

    def pictures(self) -> list[tuple[str, str, str]]:
        """Return (id, name, about) of every picture, oldest first."""
        with self._lock:
            return [tuple(r) for r in self._con.execute("SELECT id, name, about FROM picture ORDER BY made_at, id")]

    def kept(self, name: str) -> str | None:
        """Return the answer kept under ``name``, or None: what was worked out once and holds as long as it is asked alike."""
        with self._lock:
            row = self._con.execute("SELECT value FROM setting WHERE name = ?", (ANSWER + name,)).fetchone()
        return None if row is None else str(row[0])

    def keep(self, name: str, text: str) -> None:
        """Keep an answer under ``name``; the oldest beyond :data:`MOST_ANSWERS` go. It is no edit and no revision.

        Where the file no longer lies at its path nothing is kept: looking at a garden must not fail for that.
        """
        if place_of(self.path) != self._place:
            return
        with self._lock, self._writing():
            self._con.execute("DELETE FROM setting WHERE name = ?", (ANSWER + name,))
            self._con.execute("INSERT INTO setting VALUES (?, ?)", (ANSWER + name, text))
            self._con.execute(
                "DELETE FROM setting WHERE name LIKE ? AND rowid NOT IN"
                " (SELECT rowid FROM setting WHERE name LIKE ? ORDER BY rowid DESC LIMIT ?)",
                (f"{ANSWER}%", f"{ANSWER}%", MOST_ANSWERS),
            )

    def beside(self, name: str) -> str | None:
        """Return the text that lies beside the garden under ``name``, or None: no part of any alternative or revision."""
        with self._lock:
            row = self._con.execute("SELECT value FROM setting WHERE name = ?", (BESIDE + name,)).fetchone()
        return None if row is None else str(row[0])

    def put_beside(self, name: str, text: str) -> None:
        """Have a text lie beside the garden under ``name``, whatever lay there."""
        self.change_beside(name, lambda _: text)

    def change_beside(self, name: str, change: Callable[[str | None], str]) -> None:
        """Have a text lie beside the garden under ``name``: what ``change`` makes of the one there, whoever else writes."""
        with self._lock, self._writing():
            text = change(self.beside(name))
            self._con.execute("INSERT OR REPLACE INTO setting VALUES (?, ?)", (BESIDE + name, text))

    def whole(self) -> bool:
        """Return whether the file passes SQLite's full integrity check."""
        with self._lock:
            return bool(self._con.execute("PRAGMA integrity_check").fetchone()[0] == "ok")

    @contextmanager
    def _writing(self) -> Iterator[None]:
        self._begin()
        if place_of(self.path) != self._place:
            self._roll_back()
            self._meet()
            self._begin()
        try:
            yield
            self._con.execute("COMMIT")
        except sqlite3.Error as error:
            self._roll_back()
            raise StoreError(f"{self.path.name} could not be written: {error}. Nothing was changed.") from error
        except BaseException:
            self._roll_back()
            raise

    def _begin(self) -> None:
        try:
            self._con.execute("BEGIN IMMEDIATE")
        except sqlite3.OperationalError as error:
            raise StoreError(
                f"{self.path.name} is being written by another program ({error}). Try again in a moment."
            ) from None

    def _meet(self) -> None:
        """Go on with the file that lies at the path now if it holds the same; :class:`StoreError` if there is another or none.

        What is written into a file that was moved or replaced would never be found again.
        """
        con = self._alike() if self._place and place_of(self.path) else None
        if con is None:
            raise StoreError(unlike(self.path, self._con))
        self._con.close()
        self._con, self._place = con, place_of(self.path)

    def _alike(self) -> sqlite3.Connection | None:
        """Return a connection to the file at the path if it holds the same; None if it doesn't, or is no garden's at all."""
        try:
            con = open_checked(self.path, _no_copy)
        except StoreError:
            return None
        try:
            if same(con, self._con):
                return con
        except sqlite3.Error:
            pass
        con.close()
        return None

    def _roll_back(self) -> None:
        self._garden = None
        if self._con.in_transaction:
            self._con.execute("ROLLBACK")

    def _row(self) -> tuple[int, str]:
        row = self._head(self.head)
        if row is None:
            raise StoreError(f"The alternative {self.head!r} is no longer in {self.path.name}.")
        return int(row[0]), str(row[1])

    def _head(self, name: str) -> tuple[int, str] | None:
        """Return the revision and the text of a head; :class:`StoreError` where the file no longer holds its letters."""
        try:
            row = self._con.execute("SELECT at, garden FROM head WHERE name = ?", (name,)).fetchone()
        except sqlite3.Error as error:
            raise StoreError(told(self.path, error)) from error
        return None if row is None else (int(row[0]), str(row[1]))

    def _at(self) -> int:
        return int(self._con.execute("SELECT at FROM head WHERE name = ?", (self.head,)).fetchone()[0])

    def _known(self, at: int, text: str) -> Garden:
        if self._garden is not None and self._garden[0] == at:
            return self._garden[1]
        return read_garden(text)

    def _redo(self) -> list[int]:
        text = self._con.execute("SELECT redo FROM head WHERE name = ?", (self.head,)).fetchone()[0]
        return [int(i) for i in json.loads(text)]

    def _append(self, at: int, edit: Edit, inverse: Edit, garden: Garden) -> int:
        cursor = self._con.execute(
            "INSERT INTO history (parent, label, forward, inverse, made_at, made_by) VALUES (?, ?, ?, ?, ?, ?)",
            (at, edit.label, edit.model_dump_json(), inverse.model_dump_json(), _now(), __version__),
        )
        revision = int(cursor.lastrowid or 0)
        self._move(revision, garden, [])
        return revision

    def _move(self, at: int, garden: Garden, redo: list[int]) -> None:
        values = (at, json.dumps(redo), garden_text(garden), self.head)
        self._con.execute("UPDATE head SET at = ?, redo = ?, garden = ? WHERE name = ?", values)
        self._garden = (at, garden)

    def _merge_check(self, edit: Edit, base: int, at: int) -> None:
        theirs: list[tuple[str, Edit]] = []
        here = at
        while here not in (base, 0):
            row = self._con.execute("SELECT parent, label, forward FROM history WHERE id = ?", (here,)).fetchone()
            theirs.append((str(row[1]), Edit.model_validate_json(row[2])))
            here = int(row[0])
        if here != base:
            raise Conflict("What you changed was undone meanwhile. Look at the garden as it is now and try again.", ())
        clashing = tuple(label for label, other in theirs if clash(edit, other))
        if clashing:
            what = "; ".join(clashing)
            raise Conflict(
                f"The same thing was changed in another window meanwhile: {what}. Yours was not made.", clashing
            )


def _keep(path: Path, why: str) -> None:
    try:
        keep_copy(path, why)
    except (OSError, sqlite3.Error) as error:
        if why:
            raise StoreError(
                f"No copy of {path.name} could be kept before changing it: {error}. It was left as it was."
            ) from error


def _no_copy(path: Path, version: int) -> None:
    """Refuse a file of an older version, which no file that was open here can be."""
    raise StoreError(f"{path.name} was replaced by one of an older version ({version}). Open it again.")


def _fill(con: sqlite3.Connection, text: str) -> None:
    con.execute("INSERT INTO head VALUES (?, 0, '[]', ?)", (MAIN, text))
    con.execute("INSERT INTO setting VALUES ('made_at', ?)", (_now(),))


def _now() -> str:
    return datetime.now(UTC).isoformat(timespec="milliseconds")
