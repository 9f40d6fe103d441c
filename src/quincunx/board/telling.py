"""A verdict told: a mark, a figure, a sentence, and what is behind *how do we know?*."""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Any

from quincunx.board.standing import Standing
from quincunx.intents import Intent
from quincunx.review.verdicts import Known
from quincunx.shapes import Unit, Verdict
from quincunx.units import (
    Style,
    format_area,
    format_day,
    format_hours,
    format_length,
    format_mass,
    format_money,
    format_volume,
    own_marks,
)
from quincunx.works import HOW_KNOWN

BEING_JUDGED = "Being judged."
LEVEL = 1e-3
"""A slope (rise over run) no steeper than this is told as level, as in the sentences of the musts."""
_BY_COMMAND = re.compile(r",? or(?: by)? `quincunx [^`]*`| \(or(?: by)? `quincunx [^`]*`\)")
"""The other way to do something, for whoever works from the command line."""


def on_board(words: str) -> str:
    """Return a remedy as it is said on the board, where nobody types a command."""
    return _BY_COMMAND.sub("", words)


def verdict_json(
    known: Known | None, year: int, must: Intent, at: Standing, *, waiting: bool = False
) -> dict[str, Any]:
    """Return one verdict as a mark, a figure, a sentence and what is behind *how do we know?*.

    Of one that is still ``waiting`` to be judged anew nothing is told of how it was come by.
    """
    if known is None:
        return {"year": year, "state": "unknown", "figure": "", "because": BEING_JUDGED, "how": [], "waiting": True}
    v, style = known.verdict, at.garden.style
    figure = "" if v.measured is None or _is_plain(v) else in_words(v.measured, v.unit, style)
    told = {"year": year, "state": v.state.value, "figure": figure, "because": v.because}
    return {**told, "how": [], "waiting": True} if waiting else {**told, "how": how(known, must, style)}


def _is_plain(verdict: Verdict) -> bool:
    """Return whether the figure adds nothing to the mark: as many as were asked for."""
    return verdict.unit == "count" and verdict.measured == verdict.target


def how(known: Known, must: Intent, style: Style) -> list[str]:
    """Return the lines that say how a verdict was come by."""
    v = known.verdict
    lines = [must.about]
    if known.scenes:
        days = " and ".join(format_day(on) for on, _ in known.scenes)
        lines.append(f"Judged as the garden stands on {days}.")
    if v.measured is not None and v.target is not None and v.unit not in ("count", "none"):
        lines.append(f"Found {in_words(v.measured, v.unit, style)}; asked for {in_words(v.target, v.unit, style)}.")
    if v.margin is not None and v.unit not in ("count", "none", "slope"):  # slopes don't take from each other
        spare = "to spare" if v.margin >= 0 else "lacking"
        lines.append(f"{in_words(abs(v.margin), v.unit, style)} {spare}.")
    if v.range is not None:
        low, high = (in_words(x, v.unit, style) for x in v.range)
        lines.append(f"Not less than {low}, not more than {high}.")
    if must.reads & {"money", "hours"}:
        lines.append(HOW_KNOWN)
    return lines


def in_words(value: float, unit: Unit, style: Style) -> str:
    """Return a measured figure as the person writes it; nothing for what has no unit."""
    written = _WRITTEN.get(unit)
    return "" if written is None else written(value, style)


_WRITTEN: dict[Unit, Callable[[float, Style], str]] = {
    "m": format_length,
    "m2": format_area,
    "money": lambda v, style: format_money(round(v), style, whole=True),
    "h": format_hours,
    "deg": lambda v, _: f"{v:.0f}°",
    "share": lambda v, _: f"{v:.0%}",
    "ratio": lambda v, style: own_marks(f"{v:.2f}", style),
    "slope": lambda v, _: f"1 in {1 / v:.0f}" if v > LEVEL else "level",
    "kg": format_mass,
    "litre": lambda v, style: format_volume(v / 1000.0, style, kind="liquid"),
    "year": lambda v, _: f"{v:.0f}",
    "count": lambda v, _: f"{v:.0f}",
}
