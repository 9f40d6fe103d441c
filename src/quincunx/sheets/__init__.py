"""The sheets: one file each, and this explicit list of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from contextlib import AbstractContextManager, nullcontext
from types import ModuleType

from quincunx.garden import Garden, timeline
from quincunx.review import Review, review
from quincunx.review.judging import Progress, age_if_large
from quincunx.review.read import words_for
from quincunx.scene import Timeline
from quincunx.sheets import (
    as_built,
    cane_test,
    care,
    comes_true,
    distances,
    harvest,
    levels,
    notes,
    plan,
    planting,
    readings_form,
    rooms_and_ways,
    same_spot,
    saturday,
    seasons,
    setting_out,
    shade_at_seats,
    shelter,
    stake_tags,
    stills,
    sun_by_season,
    survey_plan,
    take_care,
    views,
    walk_heights,
    water,
    what_changed,
    where_feet_go,
    which_roof,
    why,
    with_and_without,
    work_list,
    year_plans,
    years_chart,
    years_table,
)
from quincunx.sheets._builds import BUILDS
from quincunx.sheets._front import FROM, Part, front
from quincunx.sheets._set import Pictures, Set
from quincunx.sheets.book import Page, Paper, SheetError, bind
from quincunx.sheets.empty import needs
from quincunx.years.kept import Keep

SHEETS: tuple[ModuleType, ...] = (
    years_table,
    years_chart,
    work_list,
    why,
    what_changed,
    plan,
    year_plans,
    notes,
    rooms_and_ways,
    distances,
    where_feet_go,
    views,
    sun_by_season,
    shade_at_seats,
    which_roof,
    walk_heights,
    same_spot,
    stills,
    comes_true,
    with_and_without,
    shelter,
    planting,
    seasons,
    harvest,
    care,
    water,
    saturday,
    take_care,
    *BUILDS,
    setting_out,
    as_built,
    cane_test,
    readings_form,
    survey_plan,
    levels,
    stake_tags,
)
"""Every sheet in the order of the set; each has ID, WORDS and ``pages(set, scale)``.

One that may have nothing to show has NEEDS: the line that says what it needs, shown only if it is asked for by name; if it
takes long to draw, ``has_pages(set)`` says whether it has something.
"""


def prepare(
    garden: Garden,
    *,
    paper: str | None = None,
    through: Timeline | None = None,
    judged: Review | None = None,
    tell: Progress | None = None,
    keep: Keep | None = None,
    about: str = "",
    pictures: Pictures | None = None,
) -> Set:
    """Return what the sheets draw from: the garden stood up and judged, on the paper asked for.

    ``keep`` is where answers that take long to work out are kept, if anywhere; ``pictures`` gives the photos of the
    garden's file.
    """
    through = through or timeline(garden)
    judged = judged or review(garden, through, progress=tell)
    on = Paper(paper or garden.writing.paper, style=garden.style)
    return Set(garden, through, judged, words_for(garden, through), on, keep, pictures, about)


def pages_of(
    of: Set, ids: Sequence[str] = (), scale: float | None = None, empty: list[str] | None = None
) -> Iterator[Page]:
    """Yield the pages of the sheets called ``ids`` (all if none is named); :class:`SheetError` for an unknown one.

    The names of sheets that hold nothing, and so are left out, are added to ``empty``.

    A set of several sheets and more than a few pages begins with one that says what is in it and where.
    """
    known = {s.ID: s for s in SHEETS}
    for name in ids:
        if name not in known:
            raise SheetError(f"There is no sheet {name!r}. There are: {', '.join(known)}.")
    made: list[Part] = []
    at = 1
    for sheet in SHEETS:
        if not ids or sheet.ID in ids:
            pages = tuple(sheet.pages(of, scale) if not ids else _asked(sheet, of, scale))
            made += [Part(sheet.ID, sheet.WORDS, pages, at)] if pages else []
            if not pages and empty is not None:
                empty.append(sheet.ID)
            at += len(pages)
            age_if_large(of.garden)
    if len(made) > 1 and at > FROM:
        yield front(of, made)
    for part in made:
        yield from part.pages


def _asked(sheet: ModuleType, of: Set, scale: float | None) -> list[Page]:
    """Return the pages of a sheet that was asked for by name; if it has nothing to show, one that says what it needs."""
    made: list[Page] = list(sheet.pages(of, scale))
    needs = getattr(sheet, "NEEDS", "")
    return made or ([Page(sheet.WORDS, ({"t": "text", "s": needs},), of.paper.size_mm)] if needs else [])


def unfilled(of: Set, turn: Callable[[], AbstractContextManager[None]] = nullcontext) -> dict[str, str]:
    """Return the sheets that would hold nothing yet by their ids, and what each needs; each is looked at in a ``turn`` of its own."""
    told = {}
    for sheet in SHEETS:
        with turn():
            told[sheet.ID] = needs(sheet, of)
    return {id_: words for id_, words in told.items() if words}


def pdf(
    of: Set, ids: Sequence[str] = (), scale: float | None = None, made: str = "", empty: list[str] | None = None
) -> bytes:
    """Return the sheets as one PDF; the names of those left out for holding nothing are added to ``empty``."""
    pages = list(pages_of(of, ids, scale, empty))
    age_if_large(of.garden)
    age_if_large(of.garden)  # what was aged once is let go now: setting a thousand pages takes all the memory there is
    return bind(pages, of.garden.name, of.garden.style, made)


__all__ = ["SHEETS", "Page", "Paper", "Set", "SheetError", "pages_of", "pdf", "prepare", "unfilled"]
