"""A picture of a plan to trace: laid under the sheet by three or more points that are known on the ground."""

from __future__ import annotations

from typing import TYPE_CHECKING, Annotated

from pydantic import Field

from quincunx.units import capital
from quincunx.units.fields import Doc, Length, Name, Point, Slug, field, length

if TYPE_CHECKING:
    from quincunx.survey import Underlay

LEAST = 3
"""Points needed, so that a wrong one shows."""


class KnownPoint(Doc):
    """A point of the picture that is known on the ground."""

    u: float = field("Across the picture, from its left", unit="px", ge=0, le=100_000)
    v: float = field("Down the picture, from its top", unit="px", ge=0, le=100_000)
    at: Point = field("Where it is on the ground")
    name: Name = field("What it is", "", max_length=80)


class AsTraced(Doc):
    """Where the picture lay, north up, when the ground was traced from it: it lies so until known points say better."""

    at: Point = field("Where its lower left corner lies")
    across: Length = length("How wide it is on the ground", ge=0.01, le=100_000.0)


class Traced(Doc):
    """A picture kept with the garden, its size and its known points."""

    picture: Slug = field("Picture")
    wide: int = field("Width of the picture", unit="px", ge=1, le=100_000)
    high: int = field("Height of the picture", unit="px", ge=1, le=100_000)
    points: Annotated[tuple[KnownPoint, ...], Field(max_length=40)] = field("Known points", ())
    as_traced: AsTraced | None = field("How it lay when the ground was traced from it", None)
    stretch: bool = field("Stretched unevenly, as a photo of a paper plan may be", False)
    shown: bool = field("Shown under the sheet", True)


def laid(traced: Traced) -> Underlay | str:
    """Return how the picture lies on the ground, or a sentence that says what is missing."""
    from quincunx.survey import fit_underlay

    if len(traced.points) < LEAST:
        if traced.as_traced is not None:
            return _as_traced(traced, traced.as_traced)
        more = LEAST - len(traced.points)
        return f"Mark {more} point{'s' if more > 1 else ''} more that you know on the ground; with three a wrong one shows."
    try:
        return fit_underlay(
            [(p.u, p.v) for p in traced.points],
            [(float(p.at[0]), float(p.at[1])) for p in traced.points],
            stretch=traced.stretch,
        )
    except ValueError as error:
        said = str(error)
        return f"{capital(said)}."


def _as_traced(traced: Traced, lay: AsTraced) -> Underlay:
    """Return how the picture lay when it was traced; nothing of it is checked."""
    from quincunx.survey import Underlay

    x, y = (float(v) for v in lay.at)
    scale = float(lay.across) / traced.wide
    return Underlay(scale, 0.0, x, 0.0, -scale, y + scale * traced.high, (), checked=False)
