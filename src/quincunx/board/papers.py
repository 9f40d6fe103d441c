"""Papers: the sheets there are, a look at each, and the PDF."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from typing import Any

from starlette.responses import Response

from quincunx.board.ask import Ask
from quincunx.board.clock import this_month, today
from quincunx.board.files import download
from quincunx.board.judged import all_judged
from quincunx.board.judging import found
from quincunx.board.replies import Refused, text
from quincunx.board.session import Session
from quincunx.board.standing import Standing
from quincunx.review import Review
from quincunx.review.latest import Latest
from quincunx.sheets import SHEETS, Page, Set, SheetError, pages_of, pdf, prepare, unfilled
from quincunx.sheets._truth import counts
from quincunx.sheets.book import pictures
from quincunx.sheets.few import FEW, few_called, pdf_of
from quincunx.sheets.given import given_page
from quincunx.sheets.scales import PAPERS_MM
from quincunx.units import capital, counted, format_bytes

PDF_POLICY = "frame-ancestors 'self'"
"""A PDF runs nothing of ours; a stricter policy keeps some browsers from showing it at all."""
SVG_POLICY = "default-src 'none'; style-src 'unsafe-inline'; img-src data:; font-src data:; sandbox"
XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
MOST_SHEETS = 60
NAME_WORDS = 6
"""What a sheet's own description says before a colon in so few words is its name."""

_BOUND: Latest[tuple[str, bytes]] = Latest(4)
"""PDFs and pages made lately, by a name nobody can guess."""
_EMPTY: Latest[dict[str, str]] = Latest(4)
"""Which sheets hold nothing, by the garden's file, its state, and the month it is read in."""


def papers(_ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/papers``: every sheet there is."""
    return [{"id": s.ID, "words": s.WORDS, "about": _about(s), "years": getattr(s, "YEARS", False)} for s in SHEETS]


def unfilled_ones(ask: Ask) -> dict[str, str]:
    """Answer ``GET /api/papers/empty``: the sheets that would hold nothing yet, and what each needs."""
    session = ask.session
    at = session.standing()
    known = _EMPTY.get((session.path, at.whole, at.month))
    if known is None:
        with session.turns.background():
            of = prepare(at.garden, through=at.timeline, judged=Review((), ()), pictures=session.store.picture)
        known = _EMPTY.put((session.path, at.whole, at.month), unfilled(of, session.turns.background))
    return known


def _about(sheet: Any) -> str:
    """Return what a sheet holds in one sentence, without its name, which is shown above it."""
    about = (sheet.__doc__ or "").strip().partition("\n")[0]
    name, colon, rest = about.partition(": ")
    return capital(rest) if colon and len(name.split()) <= NAME_WORDS else about


def sets(_ask: Ask) -> list[dict[str, str]]:
    """Answer ``GET /api/papers/sets``: the small sets there are, each printed with one touch."""
    return [{"id": f.id, "words": f.words, "about": f.about} for f in FEW]


def small_set(ask: Ask) -> Response:
    """Answer ``GET /api/papers/sets/NAME.pdf``: a small set as a PDF, for the job ``about`` if one is named."""
    few = few_called(str(ask.path.get("name", "")).removesuffix(".pdf"))
    q, session = ask.query, ask.session
    of = set_of(session, q.get("paper"), q.get("about", ""))
    data = pdf_of(of, few, _scale(q.get("scale")), f"{of.garden.name}, printed from {session.path.name}")
    return _pdf(data, f"{session.path.stem}-{few.id}.pdf")


def photos(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/papers/photos``: which photos a page to give away may hold, how many, and what they take."""
    at = ask.session.standing()
    with ask.session.turns.background():
        of = prepare(at.garden, through=at.timeline, judged=Review((), ()), pictures=ask.session.store.picture)
        return counts(of)


def give(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/papers/given``: make the garden one page for somebody without the program, with ``photos``.

    With a ``year`` it begins with what was done in it.  It says what the page holds, how large it is and where it is
    fetched; until then nothing is written.
    """
    session = ask.session
    of = set_of(session, None)
    try:
        year = ask.body.get("year")
        if year is not None and type(year) is not int:
            raise Refused(422, "year is a year of the plan, such as 2027.")
        made = given_page(of, today(of.garden.site.place), photos=text(ask.body, "photos", 20), year=year)
    except SheetError as error:
        raise Refused(422, str(error)) from None
    name = f"{secrets.token_urlsafe(12)}.html"
    _BOUND.put(name, (f"{session.path.stem}.html", made.html))
    return {
        "file": f"/api/papers/file/{name}", "name": f"{session.path.stem}.html",
        "size": format_bytes(len(made.html), of.garden.style), "words": made.words,
    }  # fmt: skip


def review_of(session: Session, at: Standing) -> Review:
    """Return every must judged and all that is noticed, from what is known and else judged now."""
    rows = all_judged(session, at, session.turns.urgent, named=False)
    noticed = session.findings(at)
    if noticed is None:
        with session.turns.urgent():
            noticed = found(at)
        session.keep_findings(at, noticed)
    return Review(tuple(rows), noticed)


def set_of(session: Session, paper: Any, about: str = "") -> Set:
    """Return what the sheets draw from, on the paper asked for; :class:`Refused` for a paper there isn't."""
    if paper is not None and paper not in PAPERS_MM:
        raise Refused(422, f"There is no such paper. There are: {', '.join(PAPERS_MM)}.")
    at = session.standing()
    judged = review_of(session, at)
    return prepare(
        at.garden,
        paper=paper,
        through=at.timeline,
        judged=judged,
        keep=session.store,
        about=about,
        pictures=session.store.picture,
    ).since(this_month(at.garden.site.place))


def _scale(value: Any) -> float | None:
    if value in (None, "", 0):
        return None
    try:
        scale = float(value)
    except (TypeError, ValueError):
        raise Refused(422, "The scale is a number, such as 100 for 1:100.") from None
    if not 1 <= scale <= 5000:
        raise Refused(422, "The scale lies between 1:1 and 1:5000.")
    return scale


def _ids(value: Any) -> list[str]:
    ids = value.split(",") if isinstance(value, str) else value
    if not isinstance(ids, (list, tuple)) or len(ids) > MOST_SHEETS or not all(isinstance(i, str) for i in ids):
        raise Refused(422, "sheets is a list of sheets' names.")
    return [i for i in ids if i]


def made(session: Session, sheets: Sequence[str], paper: Any, scale: Any, about: str = "") -> bytes:
    """Return the sheets as one PDF."""
    of = set_of(session, paper, about)
    return pdf(of, sheets, _scale(scale), f"{of.garden.name}, printed from {session.path.name}")


def bound(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/papers``: bind ``sheets`` (all if none is named) and say where the PDF is fetched."""
    body, session = ask.body, ask.session
    data = made(session, _ids(body.get("sheets") or []), body.get("paper"), body.get("scale"))
    name = f"{secrets.token_urlsafe(12)}.pdf"
    _BOUND.put(name, (f"{session.path.stem}.pdf", data))
    return {"file": f"/api/papers/file/{name}", "name": f"{session.path.stem}.pdf", "bytes": len(data)}


def bound_file(ask: Ask) -> Response:
    """Answer ``GET /api/papers/file/NAME``: a PDF, or a page to give away, made a moment ago."""
    known = _BOUND.get(ask.path.get("name"))
    if known is None:
        raise Refused(404, "That is no longer kept. Make it again.")
    if known[0].endswith(".html"):
        return download(known[1], known[0], "text/html")
    return _pdf(known[1], known[0])


def plan(ask: Ask) -> Response:
    """Answer ``GET /api/papers/plan.pdf``: the ``sheets`` named (comma between) as a PDF, ``about`` one thing if named."""
    q = ask.query
    data = made(ask.session, _ids(q.get("sheets", "")), q.get("paper"), q.get("scale"), q.get("about", ""))
    return _pdf(data, f"{ask.session.path.stem}.pdf")


def _pdf(data: bytes, name: str) -> Response:
    reply = download(data, name, "application/pdf", inline=True)
    reply.headers["content-security-policy"] = PDF_POLICY
    reply.headers["x-frame-options"] = "SAMEORIGIN"
    return reply


def bill(ask: Ask) -> Response:
    """Answer ``GET /api/papers/bill.xlsx``: the bill of quantities as a workbook."""
    from quincunx.sheets.bill_book import bill_book

    return download(bill_book(_for_builders(ask.session)), f"{ask.session.path.stem}-bill.xlsx", XLSX)


def asked(ask: Ask) -> Response:
    """Answer ``GET /api/papers/asked.xlsx``: the requests for a price, to be filled in by a contractor."""
    from quincunx.sheets.asked_book import asked_book

    return download(asked_book(_for_builders(ask.session)), f"{ask.session.path.stem}-prices-asked.xlsx", XLSX)


def works(ask: Ask) -> Response:
    """Answer ``GET /api/papers/works.dxf``: the works still to do, a layer for each trade."""
    from quincunx.sheets.trades_dxf import trades_dxf

    data = trades_dxf(_for_builders(ask.session)).encode()
    return download(data, f"{ask.session.path.stem}-works.dxf", "image/vnd.dxf")


def _for_builders(session: Session) -> Set:
    """Return what these files draw from: no must is judged for them."""
    at = session.standing()
    return prepare(at.garden, through=at.timeline, judged=Review((), ()), keep=session.store)


def preview(ask: Ask) -> Response:
    """Answer ``GET /api/papers/preview/ID.svg``: one page of a sheet (``page`` from 1); how many there are in X-Pages."""
    name = str(ask.path.get("name", "")).removesuffix(".svg")
    session = ask.session
    if name not in {s.ID for s in SHEETS}:
        raise Refused(404, "There is no such sheet.")
    of = set_of(session, ask.query.get("paper"))
    pages: list[Page] = list(pages_of(of, [name], _scale(ask.query.get("scale"))))
    which = ask.whole("page", 1)
    if not 1 <= which <= len(pages):
        raise Refused(404, f"That sheet has {counted(len(pages), 'page')}.")
    key = ("preview", of.paper, which, name, ask.query.get("scale"), session.standing().whole)
    svg = session.drawn.get(key) or session.drawn.put(
        key, pictures(pages[which - 1 : which], of.garden.name, of.garden.style)[0]
    )
    headers = {"content-security-policy": SVG_POLICY, "x-pages": str(len(pages))}
    return Response(svg, media_type="image/svg+xml", headers=headers)
