"""Starting page and files: what there is, opening, saving as, bringing in, taking out, dated copies."""

from __future__ import annotations

import locale
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any, Literal
from urllib.parse import quote

from starlette.responses import Response

from quincunx import __version__
from quincunx.board.ask import Ask
from quincunx.board.desk import free_path, gardens_folder, recent, typed_path
from quincunx.board.replies import Refused, text


def state(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/state``: what is open, what was open lately, the demonstration gardens, a way of writing."""
    from quincunx.demos import DEMOS

    session = ask.desk.open_one()
    return {
        "version": __version__,
        "garden": None if session is None else _open_garden(session),
        "trouble": ask.desk.trouble,
        "recent": recent(),
        "demos": [{"id": d.id, "name": d.name, "words": d.words} for d in DEMOS],
        "folder": str(gardens_folder()),
        "style": style_here() if session is None else _style_of(session),
    }


def _open_garden(session: Any) -> dict[str, Any]:
    at = session.standing()
    return {
        "name": at.garden.name, "file": str(session.path), "revision": at.revision, "head": at.head, "saved": True,
        "demo": session.demo,
    }  # fmt: skip


def _style_of(session: Any) -> dict[str, Any]:
    from quincunx.board.edits import writing

    return writing(session.standing())


_HABITS = {
    "en_US": ("feet", ".", "USD", "Letter"), "en_CA": ("metric", ".", "CAD", "Letter"),
    "en_GB": ("metric", ".", "GBP", "A4"), "en_AU": ("metric", ".", "AUD", "A4"), "en_NZ": ("metric", ".", "NZD", "A4"),
    "en_IE": ("metric", ".", "EUR", "A4"), "de_CH": ("metric", ".", "CHF", "A4"), "sv_SE": ("metric", ",", "SEK", "A4"),
    "da_DK": ("metric", ",", "DKK", "A4"), "nb_NO": ("metric", ",", "NOK", "A4"), "pl_PL": ("metric", ",", "PLN", "A4"),
    "cs_CZ": ("metric", ",", "CZK", "A4"),
}  # fmt: skip
"""Units, decimal mark, currency and paper usual where a language is set (common practice, no source)."""


def _listed(text: str) -> frozenset[str]:
    return frozenset(text.split())


_COMMA = _listed(
    "af az be bg br bs ca cs cv da de el eo es et eu fi fo fr fy gl hr ht hu hy ia id is it jv ka kk kl ku ky "
    "lb lo lt lu lv mk nb nl nn no pl ps pt rm ro ru sc se sk sl sq sr su sv tg tk tr tt uk uz vi wo"
)
"""Languages that write a decimal comma (CLDR 49)."""
_OTHERWISE = _listed(
    "de_CH de_LI es_BZ es_CU es_DO es_GT es_HN es_MX es_NI es_PA es_PE es_PR es_SV es_US it_CH en_AT en_BE "
    "en_CZ en_DE en_DK en_EE en_ES en_FI en_FR en_HU en_ID en_IT en_LT en_LV en_NL en_NO en_PL en_PT en_RO "
    "en_SE en_SI en_SK en_UA en_ZA"
)
"""Where a language is written with the other mark than elsewhere (CLDR 49)."""


def mark_of(language: str) -> Literal[".", ","]:
    """Return the decimal mark of a language and country such as ``es_MX``."""
    comma = language.partition("_")[0] in _COMMA
    return "," if comma != (language in _OTHERWISE) else "."


def style_here() -> dict[str, Any]:
    """Return the way of writing usual on this machine; a new person changes it in the first question."""
    here = (locale.getlocale()[0] or "").partition(".")[0]
    units, mark, currency, paper = _HABITS.get(here, ("metric", mark_of(here), "EUR", "A4"))
    return {"units": units, "decimal_mark": mark, "currency": currency, "paper": paper}


def open_file(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/open``: the ``file`` typed or chosen from the recent ones, or a ``demo``."""
    body = ask.body
    if body.get("demo") is not None:
        return open_demo(ask, text(body, "demo", 40), fresh=body.get("fresh") is True)
    path = typed_path(body.get("file"))
    if not path.exists():
        raise Refused(404, f"There is no file {path}. Check its name.")
    return {"file": str(ask.desk.open(path).path)}


def open_demo(ask: Ask, demo: str, *, fresh: bool) -> dict[str, Any]:
    """Open a person's own copy of a demonstration garden, making it first; ``fresh`` begins it anew."""
    from quincunx.demos import demo_garden
    from quincunx.store.copies import data_folder

    try:
        garden = demo_garden(demo)
    except (KeyError, FileNotFoundError):
        raise Refused(404, "There is no such demonstration garden.") from None
    path = data_folder() / "demos" / f"{demo}.quincunx"
    if path.exists() and not fresh and _touched(path, garden):
        return {"file": str(ask.desk.open(path, demo=True).path)}
    if path.exists():
        ask.desk.close()
    return {"file": str(ask.desk.create(path, garden, demo=True, replace=True).path)}


def _touched(path: Path, garden: Any) -> bool:
    """Return whether somebody has worked in a demonstration's copy, or it is still as this program has it."""
    from quincunx.store import Store, StoreError

    try:
        with Store.open(path, keep=False) as store:
            return store.revision > 0 or len(store.heads()) > 1 or bool(store.versions()) or store.garden() == garden
    except StoreError:
        return False


def close(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/close``."""
    ask.desk.close()
    return {}


def save_as(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/save-as``: copy the garden with all its history to ``file`` and go on there."""
    body, session = ask.body, ask.session
    path = typed_path(body.get("file"), new=True)
    if path.exists() and path.resolve() == session.path.resolve():
        raise Refused(409, "That is the file that is open. It is saved already: everything you do is.")
    if path.exists() and body.get("replace") is not True:
        raise Refused(409, f"There is already a file {path.name}. Choose another name.", exists=True)
    if path.parent == gardens_folder():
        path.parent.mkdir(parents=True, exist_ok=True)
    if not path.parent.is_dir():
        raise Refused(422, f"There is no folder {path.parent}. Make it first, or choose another.")
    with session.lock:
        copy_whole(session.path, path)
    return {"file": str(ask.desk.open(path).path)}


def copy_whole(source: Path, target: Path) -> None:
    """Copy a garden's file with its history and pictures, whole or not at all; what was there is kept as a dated copy."""
    from quincunx.store.copies import give_way

    part = target.with_name(f".{target.name}.part")
    part.unlink(missing_ok=True)
    try:
        with closing(sqlite3.connect(source)) as old, closing(sqlite3.connect(part)) as new:
            old.backup(new)
        if target.exists():
            give_way(target, part)
        else:
            part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def import_text(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/import``: the body is a garden as JSON; it becomes a new file, or with ``into=here`` an edit."""
    from quincunx.garden import read_garden

    garden = read_garden(ask.raw)
    if ask.query.get("into") == "here":
        return {"file": str(ask.session.path), "revision": ask.session.replace(garden, f"Import {garden.name}")}
    path = free_path(gardens_folder(), garden.name)
    return {"file": str(ask.desk.create(path, garden).path)}


def export(ask: Ask) -> Response:
    """Answer ``GET /api/export``: the garden as JSON to keep."""
    from quincunx.garden import garden_text

    garden = ask.session.standing().garden
    return download(garden_text(garden).encode(), f"{ask.session.path.stem}.json", "application/json")


def download(data: bytes, name: str, media_type: str, *, inline: bool = False) -> Response:
    """Return ``data`` as a file to keep, or ``inline`` to look at, under a name that any browser can read."""
    safe = "".join(c if c.isascii() and (c.isalnum() or c in "-_.") else "_" for c in name)
    how = "inline" if inline else "attachment"
    headers = {"content-disposition": f"{how}; filename=\"{safe}\"; filename*=UTF-8''{quote(name, safe='')}"}
    return Response(data, media_type=media_type, headers=headers)


def copies(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/copies``: the dated copies of the open file, newest first."""
    from quincunx.store import list_copies

    return [_copy(path) for path in list_copies(ask.session.path)]


def _copy(path: Path) -> dict[str, Any]:
    day, _, rest = path.stem.partition(" ")
    clock, _, words = rest.partition(" ")
    time = ":".join(clock.split("-")[:3])
    return {"copy": path.name, "when": f"{day}T{time}Z", "words": words}


def restore(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/copies/restore``: make the garden as it is in ``copy``, as an edit that can be taken back."""
    from quincunx.board.clock import as_shown
    from quincunx.store import Store, list_copies

    name = text(ask.body, "copy", 200)
    path = next((p for p in list_copies(ask.session.path) if p.name == name), None)
    if path is None:
        raise Refused(404, "There is no such copy any more.")
    with Store.open(path, keep=False) as store:
        garden = store.garden()
    when = as_shown(_copy(path)["when"], garden.site.place)
    return {"revision": ask.session.replace(garden, f"Go back to the copy of {when}")}
