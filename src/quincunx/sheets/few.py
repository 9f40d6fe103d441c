"""Small sets of papers: what to carry outdoors for the next job, and what to give to whoever helps with it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass

from quincunx.sheets import plan, saturday, setting_out, take_care
from quincunx.sheets._front import Months, Part, front, front_for_helpers
from quincunx.sheets._outdoors import this_month
from quincunx.sheets._set import Set
from quincunx.sheets.book import Page, SheetError, bind
from quincunx.units import listed

NO_JOB = Page("This Saturday", ({"t": "text", "s": saturday.NEEDS},), (0.0, 0.0))


@dataclass(frozen=True, slots=True)
class Few:
    """A small set: its id, what it is called, what is in it, and how its parts and its first page are made."""

    id: str
    words: str
    about: str
    parts: Callable[[Set, float | None], list[tuple[str, str, list[Page]]]]
    front: Callable[[Set, Sequence[Part], Months | None], Page]


def _at_hand(of: Set) -> Months | None:
    """Return the month and the jobs the set is for: the one asked about, or those of the first month still to do."""
    asked = next((j for j in of.garden.jobs if j.id == of.about), None)
    if asked is None:
        return this_month(of)
    if not asked.start:
        raise SheetError(f"The job {asked.name!r} has no month yet. Give it one, then its papers can be made.")
    return str(asked.start), [asked]


def _saturday(of: Set, found: Months | None, *, money: bool) -> list[Page]:
    if found is None:
        return [Page(NO_JOB.title, NO_JOB.blocks, of.paper.size_mm)]
    return [saturday.page_of(of, *found, money=money)]


def _to_carry(of: Set, wanted: float | None) -> list[tuple[str, str, list[Page]]]:
    found = _at_hand(of)
    days = list(saturday.pages(of, wanted)) if not of.about else _saturday(of, found, money=True)
    return [
        (plan.ID, plan.WORDS, list(plan.pages(of, wanted))),
        (saturday.ID, saturday.WORDS, days or _saturday(of, None, money=True)),
        (take_care.ID, take_care.WORDS, list(take_care.pages(of))),
        (setting_out.ID, setting_out.WORDS, list(setting_out.pages_for(of, found[1] if found else ()))),
    ]


def _to_help(of: Set, wanted: float | None) -> list[tuple[str, str, list[Page]]]:
    found = _at_hand(of)
    jobs = found[1] if found else []
    return [
        (plan.ID, plan.WORDS, list(plan.pages(of, wanted))),
        (saturday.ID, saturday.WORDS, _saturday(of, found, money=False)),
        (take_care.ID, take_care.WORDS, list(take_care.pages_for(of, jobs)) if jobs else []),
        (setting_out.ID, setting_out.WORDS, list(setting_out.pages_for(of, jobs))),
    ]


FEW: tuple[Few, ...] = (
    Few(
        "to-carry", "To carry outdoors", "a first page, the plan, this Saturday’s page, take care, the next job’s setting out",
        _to_carry, front,
    ),
    Few(
        "to-help", "For whoever helps", "a first page, the plan, the job’s page, its cautions and setting out; no money",
        _to_help, front_for_helpers,
    ),
)  # fmt: skip
"""The small sets there are; each holds few pages, all of them of use on the day."""


def few_called(name: str) -> Few:
    """Return the small set called ``name``; :class:`SheetError` naming those there are."""
    found = next((f for f in FEW if f.id == name), None)
    if found is None:
        raise SheetError(f"There is no set {name!r}. There are: {listed([f.id for f in FEW])}.")
    return found


def pages_in(of: Set, few: Few, scale: float | None = None) -> Iterator[Page]:
    """Yield the pages of a small set, the first of which says what is in it and on which page."""
    made: list[Part] = []
    at = 1
    for name, words, pages in few.parts(of, scale):
        made += [Part(name, words, tuple(pages), at, chosen=True)] if pages else []
        at += len(pages)
    yield few.front(of, made, _at_hand(of))
    for part in made:
        yield from part.pages


def pdf_of(of: Set, few: Few, scale: float | None = None, made: str = "") -> bytes:
    """Return a small set as one PDF."""
    return bind(list(pages_in(of, few, scale)), of.garden.name, of.garden.style, made)
