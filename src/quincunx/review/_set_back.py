"""What the journal says was browsed, died back or was lost: what is set back by it, and what is to be done about it."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import TYPE_CHECKING

from quincunx.garden.losses import Befell, befell, in_care
from quincunx.review._view import View
from quincunx.shapes import XY, Finding, Severity
from quincunx.units import capital, format_length, format_mass
from quincunx.units.dates import format_month, month_from_index

if TYPE_CHECKING:
    from quincunx.grow.reached import When
    from quincunx.grow.set_back import SetBack

SOURCE = (
    "years of growth that browsing (half to two) and dying back (one to four) take, and what is done about it: common practice,"
    " no source; when it closes and bears by the plant's own figures"
)
LOWER_M = 0.05
"""A plant less than this lower is not said to be [m]."""


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each planting of which the journal tells something that moves its growth."""
    from quincunx.grow.set_back import TOLD

    about = {e.about for e in view.timeline.journal if e.what in TOLD}
    if not about - {None}:
        return
    for one in befell(view.garden, view.timeline, view.called, view.today):
        if one.odd:
            yield _odd(view, one)
        elif one.planting is not None:
            yield _real(view, one.planting, one)
        elif one.then:
            yield Finding(
                f"set-back-{one.owner}", Severity.CARE, one.told, one.then, SOURCE, (one.owner,),
                _where(view, one.owner), one.last.year,
            )  # fmt: skip


def _odd(view: View, one: Befell) -> Finding:
    return Finding(
        f"set-back-early-{one.owner}", Severity.FAULT, one.told, one.then, SOURCE, (one.owner,),
        _where(view, one.owner), one.last.year,
    )  # fmt: skip


def _real(view: View, one: SetBack, said: Befell) -> Finding:
    parts = [said.told, *_grown(view, one)]
    if one.gone:
        parts.append("Nothing stands there until it is planted again.")
    elif one.closes:
        parts.append(_later("close", *one.closes))
    elif one.bears:
        parts.append(_later("bear", *one.bears))
    if one.kilograms:
        fewer = ", ".join(f"{y} {format_mass(kg, view.garden.style)}" for y, kg in sorted(one.kilograms.items()))
        parts.append(f"Less picked of it: {fewer}.")
    parts += _musts(view, one.owner)
    last = one.happened[-1][0]
    return Finding(
        f"set-back-{one.owner}", Severity.CARE, " ".join(p for p in parts if p), _remedy(view, one, last), SOURCE,
        (one.owner,), _where(view, one.owner), last.year,
    )  # fmt: skip


def _grown(view: View, one: SetBack) -> Iterator[str]:
    low, mid, high = one.years.triple
    if mid:
        lower = format_length(one.lower_m, view.garden.style, precision=1)
        size = f", so that it is about {lower} lower at the end of summer" if one.lower_m >= LOWER_M else ""
        yield f"About {_years(mid)} of growth {'is' if mid == 1 else 'are'} gone (between {_years(low)} and {_years(high)}){size}."


def _years(years: float) -> str:
    if years == 0.5:
        return "half a year"
    return f"{years:g} year{'s' * (years != 1)}"


def _later(what: str, was: When, now: When) -> str:
    if now == was:
        return ""
    says = f"does not {what} {now.words.removeprefix('not ')}" if now.not_before is None else f"{what}s {now.words}"
    return f"It {says}; without that, {was.words}."


def _musts(view: View, owner: str) -> Iterator[str]:
    """Yield how much is to spare for each must with a year that names it."""
    for must in view.garden.intents:
        spare = must.spare_years(view.timeline).get(owner) if owner in must.things() and not must.muted else None
        if spare is None:
            continue
        sentence = must.sentence(view.words).rstrip(".")
        if spare < 0:
            yield f"“{sentence}” comes {_years(-spare)} too late."
        else:
            yield f"“{sentence}” still comes in time, with {_years(spare) if spare else 'no year'} to spare."


def _remedy(view: View, one: SetBack, last: date) -> str:
    from quincunx.grow.aftercare import aftercare

    month = last.year * 12 + last.month - 1
    every = [a for a in aftercare(view.timeline, view.today) if a.owner == one.owner and a.month >= month]
    todo = [
        f"{capital(format_month(month_from_index(a.month)))}: {a.words} ({view.words.hours(max(round(a.hours * 4) / 4, 0.25))})."
        for a in every
    ]
    return " ".join((*todo, *([in_care(every)] if todo else []), WHERE))


WHERE = "If the order of the works may change, plan the rest again (Years, As it went)."


def _where(view: View, owner: str) -> XY | None:
    feature = next((f for f in view.garden.features if f.id == owner), None)
    places = [h.at for h in feature.handles()] if feature else []
    return places[len(places) // 2] if places else None
