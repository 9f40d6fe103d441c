"""What openings leave free of the lines along which plants are set: told once, and asked by whoever counts or draws them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

from shapely import LineString, Point

from quincunx.plants.rows import Stretch
from quincunx.shapes import XY

IN_LINE_M = 0.15
"""An opening whose ends lie no farther than this beside what grows along a line is in it [m] (our own choice: about what
a gate drawn by hand misses its hedge by)."""
ALONG = 0.5
"""An opening takes at least this share of its own width out of a line it is in: one across it takes less (our own choice)."""


@dataclass(frozen=True, slots=True)
class Way:
    """An opening in a planted line: whose it is, the stretch it takes, from when till when (months since year 0)."""

    stretch: Stretch
    owner: str
    begins: int
    ends: int


@dataclass(frozen=True, slots=True)
class LeftOpen:
    """The stretches of a planted line left out when it was planted, and those cleared for openings made since [m]."""

    first: tuple[Stretch, ...] = ()
    since: tuple[Stretch, ...] = ()

    @classmethod
    def on(cls, ways: Sequence[Way], planted: int, month: int) -> LeftOpen:
        """Return what is open in ``month`` of a line planted in the month ``planted``.

        What was dug out for an opening stays out when the opening goes again.
        """
        first = tuple(w.stretch for w in ways if w.begins <= planted < w.ends)
        since = tuple(w.stretch for w in ways if planted < w.begins <= month)
        return cls(first, since) if first or since else NOTHING_LEFT


NOTHING_LEFT = LeftOpen()


def planted_line(feature: object) -> tuple[tuple[XY, ...], float] | None:
    """Return the line along which a feature's plants are set and half the width they grow to [m]; None for others."""
    asked: Any = getattr(feature, "planted_line", None)
    found: tuple[tuple[XY, ...], float] | None = None if asked is None else asked()
    return found


def kept_free(feature: object) -> LineString | None:
    """Return the line an opening takes in what it stands in, its posts with it [m]; None for what is none."""
    asked: Any = getattr(feature, "kept_free", None)
    found: LineString | None = None if asked is None else asked()
    return found


def stretch_of(line: Sequence[XY], half_width_m: float, opening: LineString) -> Stretch | None:
    """Return from where to where along a line an opening takes it [m]; None if it isn't in it.

    Across where a closed line begins and ends it goes on past its end: from 39.3 to 40.2 m of 40 m.
    """
    course = LineString(line)
    ends = [Point(opening.coords[i]) for i in (0, -1)]
    if any(course.distance(end) > half_width_m + IN_LINE_M for end in ends):
        return None
    low, high = sorted(float(course.project(end)) for end in ends)
    if course.is_closed and high - low > course.length / 2:
        low, high = high, low + float(course.length)
    return (low, high) if high - low >= ALONG * opening.length else None
