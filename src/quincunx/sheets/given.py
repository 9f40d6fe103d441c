"""The garden as one page for somebody without the program: its plan year by year, what it must do, pictures of what comes.

One HTML file that asks nobody for anything: its own policy lets in no address.  It holds no sums of money and no place on the map.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from html import escape
from importlib import resources

from quincunx.garden.safety import in_place
from quincunx.review.judging import Judged
from quincunx.shapes import State
from quincunx.sheets._both import Both, both
from quincunx.sheets._both_card import FONT, alt, card
from quincunx.sheets._care import DIGGING
from quincunx.sheets._set import Set, north_arrow
from quincunx.sheets._truth import PEGS, PINNED, Album, Cell, album, pairs
from quincunx.sheets.book import SheetError
from quincunx.sheets.labels import spread_labels
from quincunx.sheets.ruled import address_of
from quincunx.sheets.svg import Look, draw
from quincunx.sheets.year_page import done_in
from quincunx.sheets.years_table import made_in
from quincunx.units import Style, counted, format_bytes, format_length
from quincunx.units.dates import MONTHS

PLAN_MM = 230.0
"""The longer side of a plan on the page [mm], by which its words and lines are sized."""
PICTURES = 4
"""So many jobs are shown with and without, at most."""
SAID = {
    State.HOLDS: ("yes", "yes"),
    State.FAILS: ("no", "no"),
    State.UNKNOWN: ("?", "can’t be told"),
    State.NOT_DUE: ("–", "not yet"),
}
"""What stands in the table for a state, and what it means."""
COVERS = (
    "A plan, not a promise: plants are drawn in their middle size for each year, and nothing here says whether ground, posts,"
    " roofs or water are safe. That is for the local code and for licensed people. Sun and shadows are of a clear day."
)


@dataclass(frozen=True)
class Given:
    """The page as HTML, and what is in it."""

    html: bytes
    years: int
    album: Album
    style: Style

    @property
    def words(self) -> str:
        """Return in a sentence what the page holds and how large it is."""
        count = len(self.album.photos)
        photos = f"{counted(count, 'photo')} ({format_bytes(self.album.size, self.style)})" if count else "no photos"
        said = f"{counted(self.years, 'year')}, {photos}, {format_bytes(len(self.html), self.style)} in one file."
        if self.album.left:
            left = self.album.left
            said += f" The {left} oldest photos are left out." if left > 1 else " The oldest photo is left out."
        if self.album.lost:
            said += f" {counted(self.album.lost, 'photo')} could not be read from the garden’s own file."
        return said


def given_page(
    of: Set, on: date | None = None, pictures: int = PICTURES, photos: str = PEGS, year: int | None = None
) -> Given:
    """Return the page; ``on`` is the day it was made, and ``pictures`` how many jobs are drawn with and without.

    ``photos`` says which of those kept with the garden are in it (a key of ``CHOICES``).  With a ``year`` of the plan it
    begins with what was done in that year, and opens there; else at the plan's end.
    """
    if year is not None and year not in of.timeline.years:
        raise SheetError(
            f"{year} is no year of the plan: it runs from {of.timeline.years[0]} to {of.timeline.years[-1]}."
        )
    script = _data("given.js")
    digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
    policy = (
        f"default-src 'none'; script-src 'sha256-{digest}'; style-src 'unsafe-inline'; img-src data:;"
        " base-uri 'none'; form-action 'none'"
    )
    name, taken = escape(of.garden.name), album(of, photos)
    body = "".join(
        [
            *_head(of, on),
            *_over(of, year, on),
            *_plans(of, taken, year),
            *_pinned(of, taken),
            *_musts(of),
            *_pictures(of, pictures),
            _foot(of),
        ]
    )
    html = (
        '<!doctype html><html lang="en"><head><meta charset="utf-8">'
        f'<meta http-equiv="Content-Security-Policy" content="{policy}">'
        '<meta name="viewport" content="width=device-width, initial-scale=1"><link rel="icon" href="data:,">'
        f"<title>{name}</title><style>{_data('given.css')}</style></head><body><main>{body}</main>"
        f"<script>{script}</script></body></html>\n"
    ).encode()
    return Given(html, len(of.timeline.years), taken, of.garden.style)


def _data(name: str) -> str:
    return (resources.files("quincunx.sheets") / "data" / name).read_text(encoding="utf-8")


def _head(of: Set, on: date | None) -> Iterator[str]:
    west, south, east, north = of.timeline.frame.boundary.bounds
    style, years = of.garden.style, of.timeline.years
    size = " by ".join(format_length(v, style, kind="long") for v in sorted((east - west, north - south), reverse=True))
    when = "" if on is None else f" As it was planned on {on.day} {MONTHS[on.month - 1]} {on.year}."
    span = f"{years[0]} to {years[-1]}" if len(years) > 1 else str(years[0])
    yield f"<header><h1>{escape(of.garden.name)}</h1><p>A garden of {size}, made over the years {span}.{when}</p></header>"


def _over(of: Set, year: int | None, on: date | None) -> Iterator[str]:
    """Yield what the journal says was done in a year, for whoever is sent the page when it is over, or nearly."""
    if year is None:
        return
    names = {j.id: j.name for j in of.garden.jobs}
    found = dict.fromkeys(e.about for e in done_in(of.garden, year) if e.about in names)  # two jobs of one name are two
    none = (
        "Nothing is finished yet."
        if on is not None and year >= on.year
        else "Nothing was finished; what is there grew."
    )
    yield f'<section aria-labelledby="over"><h2 id="over">What was done in {year}</h2>'
    yield _list([names[job] for job in found]) if found else f"<p>{none}</p>"
    yield "</section>"


def _plans(of: Set, taken: Album, first: int | None) -> Iterator[str]:
    """Yield the slider and for each year its plan, what is made and its photos; without a script all of them show."""
    years = of.timeline.years
    ticks = "".join(f'<button type="button" aria-pressed="false">{y}</button>' for y in years)
    yield '<section class="plans" aria-labelledby="plans"><h2 id="plans">Year by year</h2>'
    yield '<div class="slide" hidden><label class="soft" for="year">Slide through the years</label>'
    yield f'<input id="year" type="range" min="0" max="{len(years) - 1}" step="1" value="{years.index(first or years[-1])}">'
    yield f'<div class="ticks">{ticks}</div></div>'
    for year in years:
        made = made_in(of, year)
        begins = _begins(of, year)
        done = f"<p>Finished in it:</p>{_list(made)}" if made else "<p>Nothing new; what is there grows.</p>"
        does = f"<p>What it must do, and does from now on:</p>{_list(begins)}" if begins else ""
        words = f"The plan of {of.garden.name} in late summer {year}"
        yield (
            f'<article class="year"><img alt="{escape(words, quote=True)}" src="{address_of(_plan(of, year))}">'
            f"<div><h3>{year}</h3><p class=soft>As in late summer; north is up as the arrow says.</p>"
            f"{done}{does}</div>{_photos(of, year, taken)}</article>"
        )
    yield "</section>"


def _photos(of: Set, year: int, taken: Album) -> str:
    """Return the photos of a year, each beside what the plan shows from there; nothing if there are none."""
    rows = _pairs(of, taken, year)
    return f'<div class="truth"><h4>As planned and as it was, {year}</h4>{rows}</div>' if rows else ""


def _pinned(of: Set, taken: Album) -> Iterator[str]:
    """Yield the photos pinned to places, of which no day is known."""
    rows = _pairs(of, taken, PINNED)
    if rows:
        yield f'<section class="truth" aria-labelledby="places"><h2 id="places">Photos of places</h2>{rows}</section>'


def _pairs(of: Set, taken: Album, year: int) -> str:
    return "".join(
        f'<section class="pair"><h5>{escape(one.heading)}</h5><div>{"".join(map(_cell, one.cells))}</div></section>'
        for one in pairs(of, taken.of_year(year))
    )


def _cell(one: Cell) -> str:
    return (
        f'<figure><img alt="{escape(one.alt, quote=True)}" src="{one.address}">'
        f"<figcaption>{escape(one.words)}</figcaption></figure>"
    )


def _plan(of: Set, year: int) -> str:
    west, south, east, north = of.wider
    look = Look(1000 * max(east - west, north - south) / PLAN_MM, of.garden.style)
    step = look.metres(9.0)
    mark = north_arrow((east - step * 0.7, north - step * 1.2), step)
    figures = spread_labels([*of.summer(year).figures, *of.frame(), *mark], look, of.wider)
    return draw(figures, of.wider, look).replace('font-family="Source Sans 3"', f'font-family="{FONT}"')


def _musts(of: Set) -> Iterator[str]:
    """Yield what the garden does at the end and what it doesn't, and all of it by year; what is about money stays at home."""
    musts, years = _told(of), of.timeline.years
    if not musts:
        return
    last = years[-1]
    ends = {m.id: next((v.state for v in m.verdicts if v.year == last), State.UNKNOWN) for m in musts}
    short = [m.text for m in musts if ends[m.id] in (State.FAILS, State.UNKNOWN)]
    heads = "".join(f'<th scope="col">{y}</th>' for y in years)
    rows = "".join(f'<tr><th scope="row">{escape(m.text)}</th>{_cells(m, years)}</tr>' for m in musts)
    key = "; ".join(f"{sign}: {words}" for sign, words in SAID.values() if sign != words)
    held = sum(ends[m.id] is State.HOLDS for m in musts)
    yield '<section aria-labelledby="musts"><h2 id="musts">What the garden must do</h2>'
    yield f"<p>Of {counted(len(musts), 'thing')} it must do, it does {held} in {last}; with each year above stand those it begins to do.</p>"
    if short:
        yield f"<h3>Still open in {last}</h3>{_list(short)}"
    yield f'<details><summary>All of them, year by year</summary><div class="wide"><table><thead><tr><th scope="col"></th>{heads}</tr>'
    yield f'</thead><tbody>{rows}</tbody></table></div><p class="soft">{escape(key)}.</p></details></section>'


def _told(of: Set) -> list[Judged]:
    return [m for m in of.review.musts if not m.muted and not _of_money(m)]


def _begins(of: Set, year: int) -> list[str]:
    """Return what the garden does from a year on and did not before."""
    out = []
    for must in _told(of):
        states = {v.year: v.state for v in must.verdicts}
        on = [y for y in of.timeline.years if y >= year]
        before = states.get(year - 1)
        if all(states.get(y) is State.HOLDS for y in on) and before is not State.HOLDS:
            out.append(must.text)
    return out


def _list(items: Sequence[str]) -> str:
    return f"<ul>{''.join(f'<li>{escape(one)}</li>' for one in items)}</ul>"


def _of_money(must: Judged) -> bool:
    return any(v.unit == "money" for v in must.verdicts)


def _cells(must: Judged, years: Sequence[int]) -> str:
    states = {v.year: v.state for v in must.verdicts}
    out = []
    for year in years:
        sign, words = SAID[states.get(year, State.UNKNOWN)]
        kind = " yes" if sign == "yes" else " no" if sign == "no" else ""
        out.append(f'<td class="at{kind}" title="{words}">{sign}</td>')
    return "".join(out)


def _pictures(of: Set, most: int) -> Iterator[str]:
    found = _shown(of, most)
    if not found:
        return
    yield '<section aria-labelledby="pictures"><h2 id="pictures">How it will look</h2>'
    for one in found:
        svg, _ = card(of, one)
        words = " ".join(alt(one, row, within=within) for row in one.rows for within in (False, True))
        yield (f'<figure><img alt="{escape(words, quote=True)}" src="{address_of(svg)}"></figure>')
    yield "</section>"


def _shown(of: Set, most: int) -> list[Both]:
    """Return the views in which most is seen of what a job makes, in the order of the works.

    Looked at are twice as many jobs as are shown, the large works first.
    """
    jobs = sorted((j for j in of.garden.jobs if j.start), key=lambda j: (not j.large, str(j.start), j.id))
    found: list[Both] = []
    for job in jobs:
        if len(found) == 2 * most:
            break
        try:
            found.append(next(both(of, job.id)))
        except SheetError:
            continue
    best = sorted(found, key=lambda one: (-one.place.stake, one.name))[:most]
    return sorted(best, key=lambda one: (one.subject.ready, one.name))


def _foot(of: Set) -> str:
    return f'<p class="care"><b>Take care.</b> {escape(in_place(DIGGING, of.garden))}</p><footer><p>{escape(COVERS)}</p></footer>'
