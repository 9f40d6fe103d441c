"""What lies below the ground and must not be dug into."""

from __future__ import annotations

from dataclasses import dataclass

from shapely import LineString, Polygon


@dataclass(frozen=True, slots=True)
class Buried:
    """A line below the ground: its course [m], depth to its top (None: not known) and how surely its place is known [m].

    ``cover`` is where one gets at it from above [m], kept free of whatever stands or grows.
    """

    owner: str
    line: LineString
    carries: str
    depth_m: float | None
    sure_to_m: float
    in_use: bool = True
    cover: Polygon | None = None
