"""A drawing for contractors (DXF): a layer for each trade, in the order in which they come.

The unit is written in the header and beside a bar that can be measured; dimensions are real ones that can be clicked.
"""

from __future__ import annotations

import io
import json
import math
from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from functools import lru_cache
from importlib import resources
from itertools import pairwise
from typing import Any

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from quincunx.build.floors import floor_take_off
from quincunx.build.screening import DEFERS
from quincunx.garden.costing import rules_of
from quincunx.scene import Stood
from quincunx.shapes import XY, AreaWork, FrameWork, KitWork, LineWork, Work, united
from quincunx.sheets._building import COUNTED
from quincunx.sheets._set import Set
from quincunx.units import counted, format_length
from quincunx.units.dates import first_day, month_from_index
from quincunx.walk.barriers import polygons

FT_M = 0.3048
SMALL_M, TEXT_M, DOT_M = 0.12, 0.18, 0.05
SHORT_M = 0.6
"""Sides shorter than this get no dimension of their own [m]."""


@lru_cache(maxsize=1)
def trades() -> dict[str, Any]:
    """Return the layers and which work belongs to which; treat it as read-only."""
    text = (resources.files("quincunx.sheets") / "data" / "trades.json").read_text(encoding="utf-8")
    found: dict[str, Any] = json.loads(text)
    return found


def trade_of(table: Mapping[str, str], material: str) -> str:
    """Return the layer of a material: that of the longest beginning the table knows."""
    best = max((p for p in table if p in (material, "") or material.startswith(f"{p} ")), key=len)
    return table[best]


def trades_dxf(of: Set, job: str | None = None) -> str:
    """Return all works still to do (or one job's) as a DXF (R2010), in metres, or in feet where the garden is written so."""
    return _Drawing(of).drawn(job)


class _Drawing:
    """A drawing being put together; points come in metres and go out in the drawing's unit."""

    def __init__(self, of: Set) -> None:
        from ezdxf import units
        from ezdxf.filemanagement import new

        self.of, self.style = of, of.garden.style
        self.before = of.timeline.at(date(of.timeline.years[0], 1, 1))
        self.feet = self.style.system == "feet"
        self.scale = 1 / FT_M if self.feet else 1.0
        self.doc = new("R2010", setup=True)
        self.doc.units = units.FT if self.feet else units.M
        self.doc.header["$MEASUREMENT"] = 0 if self.feet else 1
        for name, (colour, line) in trades()["layers"].items():
            self.doc.layers.add(name, color=colour, linetype=line)
        self.space = self.doc.modelspace()
        self._dimensions()

    def _dimensions(self) -> None:
        self.doc.header["$LTSCALE"] = 0.02 * self.scale
        made = self.doc.dimstyles.duplicate_entry("EZDXF", "GARDEN")
        made.dxf.dimtxt = TEXT_M * self.scale
        made.dxf.dimasz = 0.1 * self.scale
        made.dxf.dimexe, made.dxf.dimexo, made.dxf.dimgap = (0.06 * self.scale,) * 3
        made.dxf.dimlfac, made.dxf.dimscale = 1.0, 1.0

    def drawn(self, job: str | None) -> str:
        """Return the drawing as text."""
        self._site()
        done = {e.about for e in self.of.garden.journal if e.what == "done"}
        for c in self.of.costed:
            if c.job.id not in done and job in (None, c.job.id):
                self._away(c.job.takes_away)
                for works in c.works.values():
                    for work in works:
                        self._work(work)
                self._plants(c.job)
        self._about()
        out = io.StringIO()
        self.doc.write(out)
        return out.getvalue()

    # What is there already.

    def _site(self) -> None:
        frame = self.of.timeline.frame
        self._ring(_ring(frame.boundary), "BOUNDARY")
        start = self.before
        for solid in start.solids:
            if not solid.reluctant:
                self._shape(solid.footprint, "EXISTING-BUILDINGS")
        for plant in start.plants:
            for at in plant.at:
                self._circle(at, max(plant.spread_m[1] / 2, 0.1), "EXISTING-TREES")
        for line in start.buried:
            words = line.carries + ("" if line.depth_m is None else f", {self._long(line.depth_m)} down")
            self._path([(float(x), float(y)) for x, y in line.line.coords], "SERVICES")
            if line.cover is not None:
                self._shape(line.cover, "SERVICES")
            self._words(
                line.line.interpolate(0.5, normalized=True).coords[0], f"{words}: locate before digging", "SERVICES"
            )
        for spot in self.of.garden.levels.heights:
            x, y = (float(v) for v in spot.at)
            self._level((x, y), float(spot.z_m))
        for mark in frame.spots:
            self._cross(mark.at, "SETTING-OUT")
            self._words(mark.at, mark.name, "SETTING-OUT")
        self._cross((0.0, 0.0), "SETTING-OUT")
        self._words((0.0, 0.0), "datum 0, 0; y is true north", "SETTING-OUT")

    def _away(self, ids: Iterable[str]) -> None:
        start = self.before
        for id_ in ids:
            shapes: list[BaseGeometry] = [s.footprint for s in start.solids if s.owner == id_]
            shapes += [s.area for s in start.surfaces if s.owner == id_]
            for shape in shapes:
                self._shape(shape, "DEMOLITION")
            if shapes:
                at = united(shapes).representative_point()
                self._words((at.x, at.y), f"take away: {self.of.words.name(id_)}", "DEMOLITION")

    # What is built.

    def _work(self, work: Work) -> None:
        if isinstance(work, AreaWork):
            self._floor(work)
        elif isinstance(work, LineWork):
            self._run(work)
        elif isinstance(work, FrameWork):
            self._frame(work)
        elif isinstance(work, KitWork):
            self._pads(work.footings, 0.4, "FOUNDATIONS")

    def _floor(self, work: AreaWork) -> None:
        top = work.layers[0].material if work.layers else ""
        layer = trade_of(trades()["floors"], top)
        if not work.dug:
            return  # a roof's covering, laid flat: its frame draws the roof
        self._shape(work.outline, layer)
        at = work.outline.representative_point()
        deep = floor_take_off(work).dug_m3 / max(work.outline.area, 1e-9)
        pattern = "" if work.pattern == "none" else f", {work.pattern}"
        self._words((at.x, at.y), f"{self.of.words.name(work.owner)}: {top}{pattern}", layer)
        if deep >= 0.02:
            self._shape(work.outline, "EXCAVATION")
            self._words((at.x, at.y - 2 * SMALL_M), f"dig {self._long(deep)} below the finished level", "EXCAVATION")
        if len(work.layers) > 1 and deep >= 0.02:
            self._shape(work.outline, "BASE")
            under = "; ".join(f"{x.material} {self._long(x.thickness_m)}" for x in work.layers[1:] if x.thickness_m)
            self._words((at.x, at.y - 4 * SMALL_M), f"under it: {under}", "BASE")
        self._sides(work.outline)

    def _run(self, work: LineWork) -> None:
        layer = trade_of(trades()["lines"], work.material)
        wide = shapely.LinearRing(work.course.coords) if work.closed else work.course
        self._shape(wide.buffer(max(work.thickness_m, 0.01) / 2, cap_style="flat", join_style="mitre"), layer)
        at = work.line.interpolate(0.5, normalized=True)
        words = f"{self.of.words.name(work.owner)}: {work.material}, {self._long(work.height_m)} high"
        self._words((at.x, at.y), words, layer)
        for a, b in work.sides:
            self._dimension(a, b)

    def _frame(self, work: FrameWork) -> None:
        deep = rules_of(self.of.garden).ground.footing_depth_m
        below = min((m.start[2] for m in work.members if m.support == "post"), default=0.0)
        if work.on_pads or below > -0.05:
            self._pads(work.footings, work.pad_m, "FOUNDATIONS")
            words = f"{counted(len(work.footings), 'pad')} {self._long(work.pad_m)} square, {self._long(deep)} deep"
        else:
            for at in work.footings:
                self._circle(at, work.hole_m / 2, "FOUNDATIONS")
            words = f"{counted(len(work.footings), 'hole')} {self._long(work.hole_m)} across, {self._long(-below)} deep"
        if work.footings:
            x, y = work.footings[0]
            self._words((x, y - 0.5), words, "FOUNDATIONS")
        for m in work.members:
            if m.support == "post":
                half = m.section_m[0] / 2
                x, y = m.start[:2]
                self._ring(
                    [(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)], "TIMBER"
                )
            elif math.dist(m.start[:2], m.end[:2]) > 1e-3:
                line = shapely.LineString([m.start[:2], m.end[:2]])
                self._shape(line.buffer(m.section_m[0] / 2, cap_style="flat"), "TIMBER")
        if work.roof is not None:
            ends = [p[:2] for m in work.members for p in (m.start, m.end)]
            self._shape(shapely.MultiPoint(ends).convex_hull, "ROOFING")
        for a, b in [*pairwise(work.footings)][:8]:
            self._dimension(a, b)

    def _plants(self, job: Any) -> None:
        month = self.of.timeline.last_month(job)
        if month is None:
            return
        on = first_day(month_from_index(month + 1))
        for name in dict.fromkeys(t.partition("/")[0] for t in job.does):
            feature = self.of.timeline.feature(name)
            if feature is not None:
                self._planted(name, self.of.timeline.stood(feature, on))

    def _planted(self, name: str, stood: Stood) -> None:
        for plant in stood.plants:
            for at in plant.at:
                self._cross(at, "PLANTING")
            x, y = plant.at[0]
            many = f" × {len(plant.at)}" if len(plant.at) > 1 else ""
            self._words((x, y), f"{self.of.words.name(name)}{many}", "PLANTING")

    # Levels, dimensions, words.

    def _sides(self, outline: Polygon) -> None:
        ring = _ring(outline)
        for a, b in pairwise((*ring, ring[0])):
            self._dimension(a, b)
        ground = self.of.timeline.frame.ground
        for at in ring[:12]:
            self._level(at, ground.height(*at).item())

    def _level(self, at: XY, z_m: float) -> None:
        self._cross(at, "LEVELS")
        sign = "+" if z_m >= 0 else "-"
        self._words((at[0], at[1] + SMALL_M), f"{sign}{self._long(abs(z_m))} ground", "LEVELS")

    def _dimension(self, a: XY, b: XY) -> None:
        if math.dist(a, b) < SHORT_M:
            return
        dim = self.space.add_aligned_dim(
            self._at(a), self._at(b), 0.3 * self.scale, text=format_length(math.dist(a, b), self.style), dimstyle="GARDEN",
            dxfattribs={"layer": "DIMENSIONS"},
        )  # fmt: skip
        dim.render()

    def _about(self) -> None:
        west, south, east, _ = self.of.timeline.frame.boundary.bounds
        long, unit, words = (10 * FT_M, "foot", "10 ft") if self.feet else (10.0, "metre", "10.000 m")
        y = south - 2.0
        self._path([(west, y), (west + long, y)], "NOTES")
        said = (
            f"This bar is {words} (drawing unit: {unit}). Measure it before you trust the drawing.",
            f"{self.of.garden.name}: works still to do, each trade on its layer. Heights are over the datum; ground as it lies now.",
            f"{COUNTED} {DEFERS}",
        )
        for n, text in enumerate(said, 1):
            self._words((west, y - 0.4 * n), text, "NOTES")
        x = east + 1.0
        self._path([(x, south), (x, south + 3.0)], "NOTES")
        self._path([(x - 0.2, south + 2.6), (x, south + 3.0), (x + 0.2, south + 2.6)], "NOTES")
        self._words((x, south + 3.3), "N", "NOTES")

    # Entities.

    def _long(self, value_m: float) -> str:
        return format_length(value_m, self.style)

    def _at(self, p: Sequence[float]) -> tuple[float, float]:
        return (float(p[0]) * self.scale, float(p[1]) * self.scale)

    def _shape(self, shape: BaseGeometry, layer: str) -> None:
        for part in polygons(shape):
            for ring in (part.exterior, *part.interiors):
                self._ring([(float(x), float(y)) for x, y in ring.coords[:-1]], layer)

    def _ring(self, points: Sequence[XY], layer: str) -> None:
        self.space.add_lwpolyline([self._at(p) for p in points], close=True, dxfattribs={"layer": layer})

    def _path(self, points: Sequence[XY], layer: str) -> None:
        self.space.add_lwpolyline([self._at(p) for p in points], dxfattribs={"layer": layer})

    def _circle(self, at: XY, radius_m: float, layer: str) -> None:
        self.space.add_circle(self._at(at), radius_m * self.scale, dxfattribs={"layer": layer})

    def _cross(self, at: XY, layer: str) -> None:
        for dx, dy in ((DOT_M, 0.0), (0.0, DOT_M)):
            self._path([(at[0] - dx, at[1] - dy), (at[0] + dx, at[1] + dy)], layer)

    def _pads(self, at: Iterable[XY], side_m: float, layer: str) -> None:
        h = side_m / 2
        for x, y in at:
            self._ring([(x - h, y - h), (x + h, y - h), (x + h, y + h), (x - h, y + h)], layer)

    def _words(self, at: Sequence[float], text: str, layer: str) -> None:
        look = {"layer": layer}
        self.space.add_text(text, height=SMALL_M * self.scale, dxfattribs=look).set_placement(self._at(at))


def _ring(shape: Polygon) -> list[XY]:
    return [(float(x), float(y)) for x, y in shape.exterior.coords[:-1]]
