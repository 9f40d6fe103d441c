"""The page of a year that has ended: made by itself once the garden was opened, told in a sentence, and not if nobody wants it."""

from __future__ import annotations

from dataclasses import replace
from threading import Lock
from typing import Any

from starlette.responses import Response

from quincunx.board.ask import Ask
from quincunx.board.clock import today
from quincunx.board.files import download
from quincunx.board.papers import set_of
from quincunx.board.replies import Refused
from quincunx.board.session import Session
from quincunx.sheets.given import given_page
from quincunx.sheets.year_page import WHERE, due_year, put_new, read_pages, written

ALONE = (
    "sandbox allow-scripts allow-popups; default-src 'none'; script-src 'unsafe-inline'; style-src 'unsafe-inline';"
    " img-src data:; base-uri 'none'; form-action 'none'"
)
"""What the page may do where the board shows it: run what is in it (its own policy says which), and reach nothing."""
_MAKING = Lock()


def state(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/year-page``: the year of which one is due, the name of the one made, whether none are wanted."""
    return _state(ask.session)


def _state(session: Session) -> dict[str, Any]:
    at, pages = session.standing(), read_pages(session.store.beside(WHERE))
    year = None if session.demo else due_year(at.garden, at.timeline.years, today(at.garden.site.place))
    made = pages.made.get(str(year), "") if year is not None else ""
    there = bool(made) and session.path.with_name(made).is_file()
    return {
        "year": year,
        "made": made if there else "",
        "due": year is not None and not made and not pages.unwanted,
        "unwanted": pages.unwanted,
    }


def make(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/year-page``: make the page that is due, beside the garden's file; nothing where none is."""
    session = ask.session
    with _MAKING:
        told = _state(session)
        if told["due"]:
            _make(session, told["year"])
        return _state(session)


def _make(session: Session, year: int) -> None:
    of = set_of(session, None)
    page = given_page(of, today(of.garden.site.place), year=year)
    try:
        path = put_new(session.path, year, page.html)
    except OSError as error:
        raise Refused(
            409, f"The page of {year} can't be written beside {session.path.name}: {error.strerror}."
        ) from None
    session.store.change_beside(WHERE, lambda text: written(read_pages(text).with_made(year, path.name)))


def wanted(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/year-page/wanted``: whether such pages are made by themselves from now on."""
    want = ask.body.get("wanted")
    if not isinstance(want, bool):
        raise Refused(422, "wanted is true or false.")
    session = ask.session
    session.store.change_beside(WHERE, lambda text: written(replace(read_pages(text), unwanted=not want)))
    return _state(session)


def page(ask: Ask) -> Response:
    """Answer ``GET /api/year-page/page``: the page that was made, to look at."""
    told = _state(ask.session)
    if not told["made"]:
        raise Refused(404, "That page was moved or taken away. Make another one under Papers.")
    path = ask.session.path.with_name(told["made"])
    reply = download(path.read_bytes(), path.name, "text/html", inline=True)
    reply.headers["content-security-policy"] = ALONE
    return reply
