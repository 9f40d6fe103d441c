"""The edge of a terrace: where the ground drops from one level to another."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise
from typing import Any, ClassVar, Literal

import shapely
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.features._base import Axis, Group
from quincunx.features._floors import Lies
from quincunx.features._lined import Lined
from quincunx.features._plan import area_figure, bearing, direction, side_strip, tuple_add, xy
from quincunx.scene.moment import Moment, Stood
from quincunx.shapes import Figure, Height, LevelChange, LineWork, PathFigure, Plane, Solid, Surface
from quincunx.shapes.heights import GROUND
from quincunx.units.fields import Length, field, length

Made = Literal["dry stone", "mortared stone", "brick", "block", "sleepers", "gabions", "grass bank"]
BANK = "grass bank"
SCRAP_M2 = 1e-4
"""Pieces of a bank smaller than this are left out [m2]."""
TICK_M = 0.6
"""Distance between the strokes that show which way it falls [m]."""


class TerraceEdge(Lined):
    """A level change along a line, held by a wall or left as a bank."""

    words: ClassVar[str] = "terrace edge"
    about: ClassVar[str] = (
        "The ground drops here: a wall on its lower side holds the upper level, or a bank slopes down. Who steps no "
        "further than the drop, and wheels on a steep bank, are stopped; steps and ramps lead through. A wall that holds "
        "back soil is a structure: ask what your place allows before digging."
    )
    group: ClassVar[Group] = "ground"
    example: ClassVar = {
        "id": "terrace-edge",
        "line": [[0, 0], [6, 0], [8, 2]],
        "retained": 0.6,
        "there_from": "2028-03",
    }

    weighed: ClassVar[tuple[str, ...]] = ("made",)
    kind: Literal["terrace-edge"] = "terrace-edge"
    high_left: bool = field("The higher ground is on the left", True, help="as seen going along the line")
    retained: Length = length("Drop from the upper to the lower ground", 0.6, ge=0.05, le=4.0)
    made: Made = field("Made of", "dry stone")
    thickness: Length = length("Thickness at the foot", 0.4, ge=0.05, le=6.0, help="of a bank: how far it slopes out")
    above: Length = length("Stands above the upper ground", 0.0, ge=0.0, le=1.5)

    def mirrored(self, axis: Axis) -> dict[str, Any]:
        """Keep the higher ground on the side that mirrors its own."""
        return {**super().mirrored(axis), "high_left": not self.high_left}

    def face(self) -> Polygon:
        """Return what lies below the edge in plan [m]: the wall or the bank, on the lower side of the line."""
        return side_strip(self.course(), float(self.thickness), left=not self.high_left)

    def level_changes(self) -> tuple[LevelChange, ...]:
        """Return the break in the ground: its top along the line, its foot beside it on the lower side."""
        aside = float(self.thickness) * (-1 if self.high_left else 1)
        lower = LineString(self.course()).offset_curve(aside, join_style="mitre")
        return (LevelChange(self.id, self.course(), xy(lower.coords), float(self.retained)),)

    def stand(self, moment: Moment) -> Stood:
        """Give the wall, as high as it holds back from the lower ground; a bank gives a slope to climb."""
        shape, drop = self.face(), float(self.retained)
        ticks = self._ticks()
        if self.made == BANK:
            firm = moment.year_months((0.3, 0.3, 0.4, 0.5, 0.6, 0.6, 0.6, 0.6, 0.6, 0.5, 0.4, 0.3))
            banks = tuple(
                Surface(self.id, str(k) if k else "", piece, "grass", lie, firm, run_off=0.3, layer=Lies.BANK)
                for k, (piece, lie) in enumerate(self._slopes(shape))
            )
            return Stood(surfaces=banks, figures=(area_figure(shape, "grown", self.id, "hatch", "fine"), *ticks))
        wall = Solid(self.id, "", shape, top=Height(drop + float(self.above)), retains=True)
        high, thick = drop + float(self.above), float(self.thickness)
        work = LineWork(self.id, LineString(self.course()), high, thick, f"retaining {self.made}")
        return Stood((wall,), figures=(area_figure(shape, "wall", self.id, "stones", "thick"), *ticks), work=(work,))

    def _slopes(self, face: Polygon) -> Iterator[tuple[Polygon, Plane]]:
        """Yield the bank in pieces, each below one straight part of the edge, and how it slopes down from that."""
        course, grade = self.course(), float(self.retained) / float(self.thickness)
        parts = shapely.linestrings([list(pair) for pair in pairwise(course)])
        left: BaseGeometry = face
        found: list[tuple[int, BaseGeometry]] = []
        for k, pair in enumerate(pairwise(course)):
            strip = side_strip(pair, float(self.thickness), left=not self.high_left)
            found.append((k, shapely.intersection(left, strip)))
            left = shapely.difference(left, strip)
        found += [(int(shapely.distance(parts, p).argmin()), p) for p in shapely.get_parts(left)]  # round a bend
        for k, shape in found:
            (ax, ay), (bx, by) = course[k], course[k + 1]
            down = (bearing((ax, ay), (bx, by)) + (90.0 if self.high_left else -90.0)) % 360.0
            foot = tuple_add(((ax + bx) / 2, (ay + by) / 2), direction(down), float(self.thickness))
            for piece in shapely.get_parts(shape):
                if isinstance(piece, Polygon) and piece.area > SCRAP_M2:
                    yield piece, Plane(*foot, GROUND, down, grade)

    def _ticks(self) -> tuple[Figure, ...]:
        """Draw strokes down from the edge: long and short by turns, towards the lower side."""
        strokes: list[Figure] = [PathFigure(self.course(), "wall", self.id, weight="normal")]
        line, side_deg = LineString(self.course()), 90.0 if self.high_left else -90.0
        count = max(round(line.length / TICK_M), 1)
        for i in range(count):
            along = line.length * (i + 0.5) / count
            top, ahead = line.interpolate(along), line.interpolate(along + 0.01)
            down = direction(bearing((top.x, top.y), (ahead.x, ahead.y)) + side_deg)
            foot = tuple_add((top.x, top.y), down, 0.5 if i % 2 else 0.25)
            strokes.append(PathFigure(((top.x, top.y), foot), "wall", self.id, weight="fine"))
        return tuple(strokes)
