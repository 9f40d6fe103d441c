"""Plan and truth: photos kept with the garden, year by year, each beside what the plan says would be seen from there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from quincunx.garden.seen import Peg
from quincunx.scene import Scene
from quincunx.sheets._both import LEAST_SEEN, Both, both
from quincunx.sheets._both_card import panel
from quincunx.sheets._moments import Moment
from quincunx.sheets._outdoors import ready_on
from quincunx.sheets._outlooks import look_from
from quincunx.sheets._photos import address_in, small
from quincunx.sheets._set import Set
from quincunx.sheets.book import SheetError
from quincunx.sheets.ruled import address_of
from quincunx.sheets.year_page import year_of
from quincunx.sight.outlook import Outlook
from quincunx.units import capital, compass_words, format_bytes, format_clock, format_day, listed
from quincunx.works import Entry, Job

LONGEST_PX = 1000
"""The longer side of a photo on the page [pixels]: as wide as the page shows one."""
A_YEAR_DAYS = 366
"""What was done no longer before a photo than this is new in it [days]."""
MOST = 80
"""Photos on one page at most, the newest."""
PEGS, ALL, NONE = "pegs", "all", "none"
CHOICES = {
    PEGS: "those of the same spots",
    ALL: "those of the same spots, and those noted with jobs, things and places",
    NONE: "none",
}
"""Which photos a page may hold, by what is asked for, in words."""
PINNED = 0
"""In place of a year: photos pinned to places, of which no day is known."""


@dataclass(frozen=True)
class Photo:
    """A photo kept with the garden: its name there, its day, what it shows in words, and the peg or job it belongs to.

    ``on`` is None where no day is known; ``hour`` counts from midnight by the clock [h], None where it isn't known.
    """

    picture: str
    on: date | None
    words: str
    peg: Peg | None = None
    job: str = ""
    hour: float | None = None

    @property
    def when(self) -> str:
        """Return the day and the hour in words, as far as they are known."""
        day = "" if self.on is None else format_day(self.on)
        return day if self.hour is None or not day else f"{day}, {format_clock(self.hour)}"


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
        """Return the photos of a year of the plan (or :data:`PINNED`) with their addresses, the oldest first."""
        return [(photo, address) for at, photo, address in self.photos if at == year]


def album(of: Set, which: str) -> Album:
    """Return the photos asked for (a key of :data:`CHOICES`), made small, with nothing in them but the picture.

    Those taken before the plan begins stand with its first year, those after it with its last.  Each is
    there once, however often it was noted or pinned.  A photo is of the year whose season it shows, as all else on the page.
    """
    years = of.timeline.years
    once: dict[str, Photo] = {}
    for photo in _wanted(of, which):
        once.setdefault(photo.picture, photo)
    wanted = sorted(once.values(), key=lambda p: (p.on or date.max, p.picture))
    found: list[tuple[int, Photo, str]] = []
    for photo in wanted[-MOST:]:
        if made := _small(of, photo.picture):
            year = (
                PINNED if photo.on is None else min(max(year_of(of.garden.site.place, photo.on), years[0]), years[-1])
            )
            found.append((year, photo, made))
    left = max(len(wanted) - MOST, 0)
    return Album(tuple(found), left, len(wanted) - left - len(found))


def _small(of: Set, name: str) -> str:
    kept = of.pictures(name) if of.pictures else None
    made = small(kept[1], LONGEST_PX) if kept else None
    return address_in(*made) if made else ""


def _wanted(of: Set, which: str) -> Iterator[Photo]:
    if which not in CHOICES:
        raise SheetError(f"There is no choice {which!r} of photos. There are: {', '.join(CHOICES)}.")
    if which == NONE:
        return
    place = of.garden.site.place
    for peg in of.garden.pegs:
        name = f"from the peg “{peg.name or peg.id}”"
        last = {
            year_of(place, date.fromisoformat(p.day)): p
            for p in sorted(peg.photos, key=lambda p: (p.day, p.hour or 0.0))
        }
        for taken in last.values():
            yield Photo(taken.picture, date.fromisoformat(taken.day), name, peg, hour=taken.hour)
    if which == ALL:
        noted = sorted((e for e in of.garden.journal if e.picture), key=lambda e: bool(e.about))
        jobs = {j.id: j.name for j in of.garden.jobs}
        for entry in noted:
            if entry.about:
                words = jobs.get(entry.about) or of.words.name(entry.about)
                yield Photo(str(entry.picture), date.fromisoformat(entry.day), words, None, entry.about)
        yield from _pinned(of, {str(e.picture): e for e in noted})


def _pinned(of: Set, noted: Mapping[str, Entry]) -> Iterator[Photo]:
    """Yield the photos pinned to places that no job or thing has already, with their day if the journal knows it."""
    places: dict[str, list[str]] = {}
    for pin in of.garden.pins:
        for picture in pin.pictures:
            places.setdefault(picture, []).append(f"the place “{pin.name}”" if pin.name else "a place on the plan")
    for picture, names in places.items():
        entry = noted.get(picture)
        if entry is None or not entry.about:
            on = None if entry is None else date.fromisoformat(entry.day)
            yield Photo(picture, on, f"of {listed(list(dict.fromkeys(names)))}")


def pairs(of: Set, photos: Sequence[tuple[Photo, str]]) -> Iterator[Pair]:
    """Yield photos beside the plan: from a peg what is seen from it, of a job or thing the view with it."""
    for photo, address in photos:
        when = photo.when
        named = photo.words if photo.peg or not photo.job else f"of {photo.words}"
        taken = Cell(
            f"As it was, {when}" if when else "As it was",
            f"Photo {named}{f', taken on {when}' if when else ''}.",
            address,
        )
        if photo.peg is not None and photo.on is not None:
            true = (photo.peg.bearing_deg + of.timeline.frame.north_offset_deg) % 360
            yield Pair(
                f"{capital(photo.words)}, looking {compass_words(true)}",
                (*_seen(of, photo.peg, photo, photo.on), taken),
            )
        elif photo.job and photo.on is not None:
            yield Pair(photo.words, (*_shown(of, photo, photo.on), taken))
        else:
            yield Pair(capital(photo.words.removeprefix("of ")), (taken,))


def _seen(of: Set, peg: Peg, photo: Photo, on: date) -> Iterator[Cell]:
    """Yield what the plan shows from a peg on the photo's day: with and without what is new since a year, if it is seen.

    The sun then stands as at the photo's hour, where that is known.
    """
    scene = of.timeline.at(on)
    look = look_from(peg, scene)
    for job in _new(of, scene, look)[:1]:
        found = _both(of, job.id, on, photo.hour, peg.id)
        if found is not None:
            row = found.rows[0]
            yield _plan(of, row.without, f"The plan without “{job.name}”", found)
            yield _plan(of, row.within, f"The plan with it, {photo.when}", found)
            return
    words = f"The plan, {format_day(on)}"
    yield Cell(words, f"{words}: what would be seen {photo.words}.", address_of(panel(look, of)))


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


def _shown(of: Set, photo: Photo, on: date) -> Iterator[Cell]:
    """Yield the view with what a job makes as the plan has it on the photo's day; nothing where it isn't there yet."""
    found = _both(of, photo.job, on, None)
    if found is not None:
        yield _plan(of, found.rows[0].within, f"The plan, {format_day(on)}, {found.where}", found)


def _both(of: Set, about: str, on: date, hour: float | None, *places: str) -> Both | None:
    try:
        return next(both(of, about, places, when=Moment(on.year, (on.month, on.day), hour)))
    except SheetError:
        return None


def _plan(of: Set, look: Outlook, words: str, found: Both) -> Cell:
    return Cell(words, f"{words}: {found.name}, {found.where}.", address_of(panel(look, of)))


def counts(of: Set, choices: Iterable[str] = CHOICES) -> list[dict[str, object]]:
    """Return for each choice its words, how many photos it holds and what they take, in words; each is made small once."""
    out: list[dict[str, object]] = []
    for which in choices:
        found = album(of, which)
        out.append(
            {
                "id": which,
                "words": CHOICES[which],
                "photos": len(found.photos),
                "takes": format_bytes(found.size, of.garden.style),
            }
        )
    return out
