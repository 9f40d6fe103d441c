"""Upkeep that takes more hours than the plan sets aside for it, or in some months more than there are at all."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units.dates import MONTHS

if TYPE_CHECKING:
    from quincunx.garden.tending import Tending

SOURCE = (
    "minutes for a plant, a metre, a square metre or a litre, from memory of handbooks (common practice, no source); your"
    " own times are better"
)
OVER_SHARE, OVER_H = 1.2, 4.0
"""So much over what is set aside is worth a word: by share, and by hours in the year [h]."""


def check(view: View) -> Iterator[Finding]:
    """Yield one finding on the years whose upkeep goes beyond the hours set aside, and one on months beyond all hours."""
    means = view.garden.means
    if not any(means.hours_by_month):
        return
    from quincunx.garden.tending import tending, too_much

    found = tending(view.timeline, view.today)
    over = {y: one for y, one in found.items() if _over(one, sum(means.upkeep(y)))}
    if over:
        yield _aside(view, over)
    full = {y: months for y, one in found.items() if (months := too_much(view.garden, one))}
    if full:
        yield _full(view, found, full)


def _over(one: Tending, aside_h: float) -> bool:
    return one.hours > OVER_SHARE * aside_h and one.hours - aside_h > OVER_H


def _aside(view: View, over: dict[int, Tending]) -> Finding:
    hours, first, last = view.words.hours, min(over), max(over)
    aside = {y: round(sum(view.garden.means.upkeep(y))) for y in over}
    said = [f"{y} {hours(round(o.hours))} ({hours(aside[y]) if aside[y] else 'none'})" for y, o in over.items()]
    most = ", ".join(f"{x.words} {hours(round(x.hours))}" for x in over[last].lines[:2] if round(x.hours))
    return Finding(
        "upkeep-aside", Severity.CARE,
        f"Upkeep takes more hours than are set aside for it (in brackets): {', '.join(said)}. Most of it in {last}: {most}.",
        "Set the reckoned hours aside, so that works are planned with what is left: the question Age offers it, or"
        " `quincunx hours --take`. Or grow less that has to be clipped, mown and watered.",
        SOURCE, (), None, first,
    )  # fmt: skip


def _full(view: View, found: dict[int, Tending], full: dict[int, tuple[int, ...]]) -> Finding:
    hours, first = view.words.hours, min(full)
    given = {y: view.garden.means.given(y) for y in full}
    said = []
    for year, months in full.items():
        worst = max(months, key=lambda m: found[year].months[m - 1] - given[year][m - 1])
        takes, there = hours(round(found[year].months[worst - 1])), round(given[year][worst - 1])
        said.append(f"{MONTHS[worst - 1]} {year} {takes} of {hours(there) if there else 'none'}")
    last = max(full)
    worst = max(full[last], key=lambda m: found[last].months[m - 1] - given[last][m - 1])
    most = max(found[last].lines, key=lambda x: x.months[worst - 1])
    return Finding(
        "upkeep-full", Severity.FAULT,
        f"In some months upkeep alone takes more hours than there are: {', '.join(said)}. Most of that in"
        f" {MONTHS[worst - 1]} {last}: {most.words}.",
        "Give those months more hours, have some of it done, water by drip lines, or leave something out of the plan.",
        SOURCE, (), None, first,
    )  # fmt: skip
