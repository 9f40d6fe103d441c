"""Dated copies: opening a file keeps its last ten states in the user's data folder."""

from __future__ import annotations

import hashlib
import os
import shutil
from datetime import UTC, datetime
from pathlib import Path

KEPT = 10


def data_folder() -> Path:
    """Return the folder for copies and the list of recent files (``QUINCUNX_DATA`` if set)."""
    given = os.environ.get("QUINCUNX_DATA")
    if given:
        return Path(given)
    import platformdirs

    return Path(platformdirs.user_data_dir("quincunx", appauthor=False))


def copies_folder(path: Path) -> Path:
    """Return where the copies of one file are kept."""
    mark = hashlib.blake2b(str(path.resolve()).encode(), digest_size=6).hexdigest()
    return data_folder() / "copies" / f"{path.stem}-{mark}"


def list_copies(path: Path) -> list[Path]:
    """Return the dated copies of a file, newest first."""
    folder = copies_folder(path)
    return sorted(folder.glob("*.quincunx"), reverse=True) if folder.is_dir() else []


def keep_copy(path: Path, why: str = "") -> Path | None:
    """Copy ``path`` with today's date and time; drop all but the newest ten; None if a copy holds just that.

    The copy just made stays, whatever its date: a clock that was set back would make it the oldest.
    """
    folder = copies_folder(path)
    folder.mkdir(parents=True, exist_ok=True)
    stamp = datetime.now(UTC).strftime("%Y-%m-%d %H-%M-%S-%f")
    target = folder / f"{stamp}{' ' + why if why else ''}.quincunx"
    part = target.with_suffix(".part")
    try:
        shutil.copyfile(path, part)  # the one time the file is opened: closing it gives up the lock it is held with
        if not why and _is_kept(path, part):
            return None
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)
    for old in [copy for copy in list_copies(path) if copy != target][KEPT - 1 :]:
        old.unlink(missing_ok=True)
    return target


def _is_kept(path: Path, part: Path) -> bool:
    """Whether one of the copies of a file holds the same bytes as ``part``."""
    size = part.stat().st_size
    alike = [copy for copy in list_copies(path) if copy.stat().st_size == size]
    return bool(alike) and _digest(part) in {_digest(copy) for copy in alike}


def _digest(path: Path) -> bytes:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "blake2b").digest()
