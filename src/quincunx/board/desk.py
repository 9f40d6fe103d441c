"""Who keeps the open garden: opening, closing, and what is remembered from one start to the next."""

from __future__ import annotations

import json
import os
from datetime import UTC, datetime
from pathlib import Path
from threading import Event, RLock
from typing import TYPE_CHECKING, Any, Protocol

from quincunx.board.events import Hub
from quincunx.board.replies import Refused

if TYPE_CHECKING:
    from quincunx.board.session import Session
    from quincunx.store import Store

MOST_RECENT = 12
SUFFIX = ".quincunx"
MOST_LETTERS = 1000
"""A typed path is no longer than this."""


class Ends(Protocol):
    """What is shared of an open garden, as the desk sees it."""

    def end(self) -> None:
        """Share no longer."""


class Desk:
    """Holds at most one open garden.  ``file`` is opened when first asked for, so that the first page comes at once."""

    def __init__(self, file: Path | None = None) -> None:
        """Begin with ``file`` to be opened, or with nothing."""
        self.hub = Hub()
        self.shown = Event()
        """Set once the first page is out."""
        self.sharing: Ends | None = None
        """What is shared on the home network; None while nothing is."""
        self._lock = RLock()
        self._session: Session | None = None
        self._first = file
        self._wrong = ""

    @property
    def session(self) -> Session:
        """Return the open garden; :class:`Refused` if none is open."""
        found = self.open_one()
        if found is None:
            raise Refused(409, self._wrong or "No garden is open.")
        return found

    def open_one(self) -> Session | None:
        """Return the open garden, opening the file the program was started with if that was not done yet."""
        with self._lock:
            if self._first is not None:
                file, self._first = self._first, None
                try:
                    self.open(file)
                except Exception as error:  # noqa: BLE001 - said on the start page, whatever it is
                    self._wrong = str(error)
            return self._session

    @property
    def trouble(self) -> str:
        """Return why the file the program was started with isn't open; empty if it is."""
        return "" if self._session is not None else self._wrong

    def open(self, path: Path, *, demo: bool = False) -> Session:
        """Open a file in place of what is open; if it can't be, what is open stays."""
        from quincunx.store import Store

        return self._take(Store.open(path), demo=demo)

    def create(self, path: Path, garden: Any, *, demo: bool = False, replace: bool = False) -> Session:
        """Make a new file and open it."""
        from quincunx.store import Store

        path.parent.mkdir(parents=True, exist_ok=True)
        return self._take(Store.create(path, garden, replace=replace), demo=demo)

    def _take(self, store: Store, *, demo: bool) -> Session:
        from quincunx.board.session import Session

        with self._lock:
            self.close()
            self._first, self._wrong = None, ""
            store.show_last()
            self._session = Session(store, self.hub, demo=demo)
            self._session.start()
        if not demo:
            remember(store.path, store.garden().name)
        self.hub.tell("revision", revision=store.revision, head=store.head)
        return self._session

    def close(self) -> None:
        """Close the open garden; what was shared of it ends."""
        with self._lock:
            if self.sharing is not None:
                self.sharing.end()
            if self._session is not None:
                self._session.close()
            self._session = None


def gardens_folder() -> Path:
    """Return where new gardens are put: ``QUINCUNX_GARDENS`` if set, else Quincunx in the person's documents."""
    given = os.environ.get("QUINCUNX_GARDENS")
    if given:
        return Path(given)
    import platformdirs

    return Path(platformdirs.user_documents_dir()) / "Quincunx"


def typed_path(value: Any, *, new: bool = False) -> Path:
    """Return the path a person typed: absolute, from home (``~``), or in the folder of gardens.

    ``new`` is to be written: it gets the suffix if it has none.  :class:`Refused` if it is no path of a garden.
    """
    if not isinstance(value, str) or not value.strip():
        raise Refused(422, "Which file? Type its name.")
    if len(value) > MOST_LETTERS or any(ord(c) < 32 for c in value):
        raise Refused(422, "That is not the name of a file.")
    try:
        path = Path(value.strip()).expanduser()
    except RuntimeError:
        raise Refused(422, "That is not the name of a file.") from None
    path = path if path.is_absolute() else gardens_folder() / path
    if new and path.suffix == "":
        path = path.with_name(path.name + SUFFIX)
    if path.suffix.lower() != SUFFIX:
        raise Refused(
            422, f"A garden's file ends in {SUFFIX}; {path.name} doesn't. A garden written as JSON can be imported."
        )
    if path.exists() and not path.is_file():
        raise Refused(422, f"{path.name} is not a file.")
    return path


def free_path(folder: Path, name: str) -> Path:
    """Return a path in ``folder`` for a garden called ``name`` at which nothing lies yet."""
    letters = "".join(c if c.isalnum() else "-" for c in name.casefold())
    stem = "-".join(part for part in letters.split("-") if part)[:60] or "garden"
    path, n = folder / f"{stem}{SUFFIX}", 2
    while path.exists():
        path, n = folder / f"{stem}-{n}{SUFFIX}", n + 1
    return path


def recent_file() -> Path:
    """Return where the list of recent gardens is kept."""
    from quincunx.store.copies import data_folder

    return data_folder() / "recent.json"


def recent() -> list[dict[str, str]]:
    """Return the gardens opened lately that are still there, newest first."""
    try:
        rows = json.loads(recent_file().read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return []
    names = ("name", "file", "when")
    good = (
        [r for r in rows if isinstance(r, dict) and all(isinstance(r.get(n), str) for n in names)]
        if isinstance(rows, list)
        else []
    )
    return [{n: r[n] for n in names} for r in good[:MOST_RECENT] if Path(r["file"]).is_file()]


def remember(path: Path, name: str) -> None:
    """Put a garden at the head of the recent ones; a list that can't be written is no reason to fail."""
    file = str(path.resolve())
    when = datetime.now(UTC).isoformat(timespec="seconds")
    rows = [{"name": name, "file": file, "when": when}, *(r for r in recent() if r["file"] != file)][:MOST_RECENT]
    target = recent_file()
    part = target.with_suffix(".part")
    try:
        target.parent.mkdir(parents=True, exist_ok=True)
        part.write_text(json.dumps(rows, ensure_ascii=False, indent=1), encoding="utf-8")
        part.replace(target)
    except OSError:
        part.unlink(missing_ok=True)
