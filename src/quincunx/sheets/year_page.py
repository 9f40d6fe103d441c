"""The page to give away when a garden's season has ended: which year it is of, whether it is due, and where it is put.

It is made once a year, beside the garden's file, under a name at which nothing lies: what somebody made by hand is never written
over. What was made, and whether it is wanted at all, lies beside the garden in its file.
"""

from __future__ import annotations

import json
import re
from collections.abc import Container, Iterator
from dataclasses import asdict, dataclass, field as part, replace
from datetime import date
from pathlib import Path

from quincunx.garden import Garden
from quincunx.site import Place
from quincunx.works import Entry

FIRST_MONTH = {"north": 11, "south": 5}
"""The month after the season's end: from its first day on the page of the year is due (our own choice)."""
MONTHS = 3
"""So many months it stays due: a garden isn't opened every week in winter (our own choice)."""
WHERE = "year-page"
"""Under which name it lies beside the garden in its file."""
_NAME = re.compile(r"[^/\\]+-\d{4}(?:-\d+)?\.html")


@dataclass(frozen=True)
class YearPages:
    """The names of the pages made, by year, and whether no more are wanted."""

    made: dict[str, str] = part(default_factory=dict)
    unwanted: bool = False

    def with_made(self, year: int, name: str) -> YearPages:
        """Return it with the page of ``year`` made."""
        return replace(self, made={**self.made, str(year): name})


def read_pages(text: str | None) -> YearPages:
    """Return what lay beside the garden; nothing made where nothing readable did, and no name that isn't one of ours."""
    try:
        told = json.loads(text or "{}")
        made = {str(y): str(n) for y, n in told.get("made", {}).items() if _NAME.fullmatch(str(n))}
        return YearPages(made, told.get("unwanted") is True)
    except (ValueError, TypeError, AttributeError):
        return YearPages()


def written(pages: YearPages) -> str:
    """Return it as it lies beside the garden."""
    return json.dumps(asdict(pages), ensure_ascii=False)


def first_month(place: Place | None) -> int:
    """Return the month in which the page of a year falls due; in the north where no place is known."""
    return FIRST_MONTH["north" if place is None else place.hemisphere]


def year_ended(place: Place | None, on: date) -> int | None:
    """Return the year whose season ended in the last :data:`MONTHS` months; None where none did."""
    first = first_month(place)
    if (on.month - first) % 12 >= MONTHS:
        return None
    return on.year - (on.month < first)


def of_year(place: Place | None, year: int, day: str) -> bool:
    """Return whether a day (2028-06-15) is of a year: in the south of the twelve months that end with April, as its season does."""
    south = place is not None and place.hemisphere == "south"
    first, last = (f"{year - 1}-05-01", f"{year}-04-30") if south else (f"{year}-01-01", f"{year}-12-31")
    return first <= day <= last


def year_of(place: Place | None, day: date) -> int:
    """Return the year a day is of (:func:`of_year`)."""
    return day.year + (not of_year(place, day.year, day.isoformat()))


def done_in(garden: Garden, year: int) -> Iterator[Entry]:
    """Yield what was done in a year (:func:`of_year`), by its day."""
    done = (e for e in garden.journal if e.what == "done" and of_year(garden.site.place, year, e.day))
    yield from sorted(done, key=lambda e: e.day)


def due_year(garden: Garden, years: Container[int], on: date) -> int | None:
    """Return the year of which a page is due on a day: its season has ended, it is of the plan, and not without a deed or a photo."""
    year = year_ended(garden.site.place, on)
    if year is None or year not in years:
        return None
    return year if worth_giving(garden, year) else None


def worth_giving(garden: Garden, year: int) -> bool:
    """Return whether a page of a year has a deed or a photo to show."""
    photos = any(of_year(garden.site.place, year, p.day) for peg in garden.pegs for p in peg.photos if p.day)
    return photos or any(done_in(garden, year))


def put_new(file: Path, year: int, data: bytes) -> Path:
    """Write a page beside the garden's ``file`` under a name at which nothing lies, and return where."""
    n = 1
    while True:
        path = file.with_name(f"{file.stem}-{year}{f'-{n}' if n > 1 else ''}.html")
        try:
            with path.open("xb") as out:
                out.write(data)
        except FileExistsError:
            n += 1
        except OSError:
            path.unlink(missing_ok=True)
            raise
        else:
            return path
