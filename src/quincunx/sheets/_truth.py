"""Plan and truth: photos kept with the garden, year by year, each beside what the plan says would be seen from there."""

from __future__ import annotations

import base64
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from quincunx.garden.seen import Peg
from quincunx.review.photo import BadPhoto, smaller
from quincunx.scene import Scene
from quincunx.sheets._both import LEAST_SEEN, Both, both
from quincunx.sheets._both_card import panel
from quincunx.sheets._moments import Moment
from quincunx.sheets._outdoors import ready_on
from quincunx.sheets._outlooks import look_from
from quincunx.sheets._set import Set
from quincunx.sheets.book import SheetError
from quincunx.sight.outlook import Outlook
from quincunx.units import capital, compass_words, format_day
from quincunx.works import Job

LONGEST_PX = 1000
"""The longer side of a photo on the page [pixels]: as wide as the page shows one."""
A_YEAR_DAYS = 366
"""What was done no longer before a photo than this is new in it [days]."""
MOST = 80
"""Photos on one page at most, the newest."""
PEGS, ALL, NONE = "pegs", "all", "none"
CHOICES = {
    PEGS: "those of the same spots",
    ALL: "those of the same spots, and those noted with jobs and things",
    NONE: "none",
}
"""Which photos a page may hold, by what is asked for, in words."""


@dataclass(frozen=True)
class Photo:
    """A photo kept with the garden: its name there, its day, what it shows in words, and the peg or job it belongs to."""

    picture: str
    on: date
    words: str
    peg: Peg | None = None
    job: str = ""


@dataclass(frozen=True)
class Cell:
    """One picture beside others: what is written under it, what is said of it, the address that holds it."""

    words: str
    alt: str
    address: str


@dataclass(frozen=True)
class Pair:
    """What the plan says and what was photographed, side by side, under one heading."""

    heading: str
    cells: tuple[Cell, ...]


@dataclass(frozen=True)
class Album:
    """The photos that a page shows, by the year of the plan they stand with, ready to be written in.

    ``left`` are those that there was no room for, ``lost`` those that could not be read.
    """

    photos: tuple[tuple[int, Photo, str], ...] = ()
    left: int = 0
    lost: int = 0

    @property
    def size(self) -> int:
        """Return what the photos take on the page [bytes]."""
        return sum(len(address) for _, _, address in self.photos)

    def of_year(self, year: int) -> list[tuple[Photo, str]]:
        """Return the photos of a year of the plan with their addresses, the oldest first."""
        return [(photo, address) for at, photo, address in self.photos if at == year]


def album(of: Set, which: str) -> Album:
    """Return the photos asked for (a key of :data:`CHOICES`), made small, with nothing in them but the picture.

    Those taken before the plan begins stand with its first year, those after it with its last.
    """
    years = of.timeline.years
    wanted = sorted(_wanted(of, which), key=lambda p: (p.on, p.picture))
    found: list[tuple[int, Photo, str]] = []
    lost = 0
    for photo in wanted[-MOST:]:
        kept = of.pictures(photo.picture) if of.pictures else None
        try:
            kind, data = smaller(kept[1], LONGEST_PX) if kept else ("", b"")
        except BadPhoto:
            data = b""
        if not data:
            lost += 1
            continue
        address = f"data:{kind};base64,{base64.b64encode(data).decode()}"
        found.append((min(max(photo.on.year, years[0]), years[-1]), photo, address))
    return Album(tuple(found), max(len(wanted) - MOST, 0), lost)


def _wanted(of: Set, which: str) -> Iterator[Photo]:
    if which not in CHOICES:
        raise SheetError(f"There is no choice {which!r} of photos. There are: {', '.join(CHOICES)}.")
    if which == NONE:
        return
    for peg in of.garden.pegs:
        name = f"from the peg “{peg.name or peg.id}”"
        last = {p.day[:4]: p for p in sorted(peg.photos, key=lambda p: p.day)}
        for taken in last.values():
            yield Photo(taken.picture, date.fromisoformat(taken.day), name, peg)
    if which == ALL:
        jobs = {j.id: j.name for j in of.garden.jobs}
        for entry in of.garden.journal:
            if entry.picture and entry.about:
                words = jobs.get(entry.about) or of.words.name(entry.about)
                yield Photo(entry.picture, date.fromisoformat(entry.day), words, None, entry.about)


def pairs(of: Set, photos: Sequence[tuple[Photo, str]]) -> Iterator[Pair]:
    """Yield photos beside the plan: from a peg what is seen from it, of a job or thing the view with it."""
    for photo, address in photos:
        day = format_day(photo.on)
        taken = Cell(f"As it was, {day}", f"Photo {'' if photo.peg else 'of '}{photo.words}, taken on {day}.", address)
        if photo.peg is not None:
            true = (photo.peg.bearing_deg + of.timeline.frame.north_offset_deg) % 360
            yield Pair(f"{capital(photo.words)}, looking {compass_words(true)}", (*_seen(of, photo.peg, photo), taken))
        else:
            yield Pair(photo.words, (*_shown(of, photo), taken))


def _seen(of: Set, peg: Peg, photo: Photo) -> Iterator[Cell]:
    """Yield what the plan shows from a peg on the photo's day: with and without what is new since a year, if it is seen."""
    scene = of.timeline.at(photo.on)
    look = look_from(peg, scene)
    for job in _new(of, scene, look)[:1]:
        found = _both(of, job.id, photo.on, peg.id)
        if found is not None:
            row = found.rows[0]
            yield _plan(of, row.without, f"The plan without “{job.name}”", found)
            yield _plan(of, row.within, f"The plan with it, {format_day(photo.on)}", found)
            return
    words = f"The plan, {format_day(photo.on)}"
    yield Cell(words, f"{words}: what would be seen {photo.words}.", _address(panel(look, of)))


def _new(of: Set, scene: Scene, look: Outlook) -> list[Job]:
    """Return the jobs done in the year before a scene's day of which something is seen, most of it first."""
    shares = dict((*look.besides, *look.shares))
    rows = []
    for job in of.garden.jobs:
        if not job.start or not 0 <= (scene.on - ready_on(of, job)).days <= A_YEAR_DAYS:
            continue
        seen = sum(shares.get(owner, 0.0) for owner in {t.partition("/")[0] for t in job.does})
        if seen >= LEAST_SEEN:
            rows.append((-seen, job.id, job))
    return [job for *_, job in sorted(rows, key=lambda row: row[:2])]


def _shown(of: Set, photo: Photo) -> Iterator[Cell]:
    """Yield the view with what a job makes as the plan has it on the photo's day; nothing where it isn't there yet."""
    found = _both(of, photo.job, photo.on)
    if found is not None:
        yield _plan(of, found.rows[0].within, f"The plan, {format_day(photo.on)}, {found.where}", found)


def _both(of: Set, about: str, on: date, *places: str) -> Both | None:
    try:
        return next(both(of, about, places, when=Moment(on.year, (on.month, on.day))))
    except SheetError:
        return None


def _plan(of: Set, look: Outlook, words: str, found: Both) -> Cell:
    return Cell(words, f"{words}: {found.name}, {found.where}.", _address(panel(look, of)))


def _address(svg: str) -> str:
    return "data:image/svg+xml;base64," + base64.b64encode(svg.encode()).decode()


def counts(of: Set, choices: Iterable[str] = CHOICES) -> list[dict[str, object]]:
    """Return for each choice its words, how many photos it holds and what they take [bytes]."""
    out: list[dict[str, object]] = []
    for which in choices:
        found = album(of, which)
        out.append({"id": which, "words": CHOICES[which], "photos": len(found.photos), "bytes": found.size})
    return out
