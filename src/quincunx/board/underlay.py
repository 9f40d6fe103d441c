"""The picture to trace: how well it fits its known points, and how it lies under the sheet."""

from __future__ import annotations

import math
from typing import Any

from quincunx.board.ask import Ask
from quincunx.garden import Garden
from quincunx.garden.underlay import LEAST, Traced, laid
from quincunx.survey import Underlay
from quincunx.survey.underlay import odd_one
from quincunx.survey.words import small
from quincunx.units import Style, capital

MATTERS_M = 0.05
"""A misfit below this is no more than the width of a drawn line [m]."""


def underlay(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/underlay``: the picture's fit in words, and how far each of its points is off."""
    garden = ask.session.standing().garden
    traced = garden.underlay
    if traced is None:
        return {"laid": False, "words": [], "off": []}
    found = laid(traced)
    if isinstance(found, str):
        return {"laid": False, "words": [found], "off": []}
    off = [f"{small(max(m, 0.001), garden.style)} off" for m in found.misfits_m]
    return {"laid": True, "words": _words(traced, found, garden.style), "off": off}


def _words(traced: Traced, found: Underlay, style: Style) -> list[str]:
    if not found.misfits_m:
        return [_as_traced(LEAST - len(traced.points))]
    if not found.checked:
        return [
            "It lies under the sheet. Three points fit a stretched picture whatever they say: a fourth would prove it."
        ]
    count = len(traced.points)
    words = [f"It fits its {count} points to within {small(max(found.rms_m, 0.001), style)}."]
    odd = odd_one(
        [(p.u, p.v) for p in traced.points],
        [(float(p.at[0]), float(p.at[1])) for p in traced.points],
        stretch=traced.stretch,
    )
    if odd is not None and odd[1] > MATTERS_M:
        name = traced.points[odd[0]].name or f"point {odd[0] + 1}"
        words.append(f"{capital(name)} fits worst, {small(odd[1], style)} off by the others: is it the right one?")
    elif max(found.misfits_m) > MATTERS_M and count == 3:
        words.append("One of the three may be wrong; a fourth point would tell which.")
    pixel = small(max(found.metres_per_pixel, 0.001), style)
    words.append(f"One pixel of the picture is {pixel} on the ground; trace no finer than that.")
    return words


def _as_traced(missing: int) -> str:
    points = f"{missing} point{'s' if missing > 1 else ''}"
    return (
        "It lies as it did when the ground was traced from it, and nothing proves that. "
        f"Mark {points} more that you know on the ground: then it lies by them, and a wrong one shows."
    )


def under_sheet(garden: Garden) -> dict[str, Any] | None:
    """Return the picture shown under the sheet and its place: x = a u + b v + c, y = d u + e v + f [m]; None for none."""
    traced = garden.underlay
    if traced is None or not traced.shown:
        return None
    found = laid(traced)
    if isinstance(found, str):
        return None
    place = [found.a, found.b, found.c, found.d, found.e, found.f]
    if not all(math.isfinite(v) for v in place):
        return None
    return {"picture": traced.picture, "wide": traced.wide, "high": traced.high, "place": place}
