"""Floors finished more than once on one line: each finish as a column of layers, and what is fixed when the first is dug."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from quincunx.build._data import table
from quincunx.features import Feature
from quincunx.garden.costing import works_of
from quincunx.garden.safety import country
from quincunx.scene import Scene
from quincunx.shapes import AreaFigure, AreaWork, DimensionFigure, Figure, LineWork, PathFigure, Plane, TextFigure
from quincunx.sheets._building import care, ended
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.scales import fitting
from quincunx.sheets.svg import Look, draw
from quincunx.site.codes import held
from quincunx.units import compass_words, format_length
from quincunx.units.dates import format_month

BOX_MM = (92.0, 48.0)
WIDE_M, APART_M = 0.5, 0.25
HOUSE_M2, HOUSE_M = 6.0, 2.0
"""What stood at the start on as much ground and as high counts as a building (own choice) [m2, m]."""
AGAINST_M = 0.3
FALLS = 0.002
"""A floor that falls less than this share counts as level."""
CARE = "a first look, not a design: your local code and a licensed person decide"


def finished_twice(of: Set) -> Iterator[Page]:
    """Yield the page of floors with several finishes, where there are any."""
    blocks: list[Block] = []
    for feature in of.garden.features:
        if len(feature.finish_ids()) > 1:
            blocks += _told(of, feature)
    if blocks:
        lead: Block = {
            "t": "text",
            "s": "The dig and the finished level are settled once, for the deepest finish: a later one neither digs nor moves an edge.",
        }
        pages = ended([lead, *blocks], care())
        yield Page("Finished more than once", pages, of.paper.size_mm, "what is fixed when the first is dug", foot=CARE)


def _told(of: Set, feature: Feature) -> Iterator[Block]:
    every = [(i, _floor(of, feature, i)) for i in feature.finish_ids()]
    floors = [(i, w) for i, w in every if w is not None]
    if not floors:
        return
    style = of.garden.style
    figures, bounds = _columns([w for _, w in floors])
    scale = fitting(bounds[2] - bounds[0], bounds[3] - bounds[1], BOX_MM, style)
    wide, high = (1000 * d / scale.number for d in (bounds[2] - bounds[0], bounds[3] - bounds[1]))
    drawing: list[Block] = [
        {"t": "small", "s": f"each finish in section, {scale.said}"},
        {"t": "drawing", "svg": draw(figures, bounds, Look(scale.number, style)), "w": wide, "h": high},
    ]
    rows = [[f"{n}. {_when(of, feature, i)}", _layers(of, w)] for n, (i, w) in enumerate(floors, 1)]
    listed: Block = {
        "t": "table", "head": ["finish", "from the top down"], "rows": rows, "widths": [1, 1.7], "align": ["left", "left"],
        "size": 8.5, "inset": 1.0,
    }  # fmt: skip
    yield {"t": "heading", "s": of.words.name(feature.id)}
    yield {"t": "row", "widths": [1, 1], "cells": [drawing, [listed]]}
    fixed = [[{"s": name, "bold": True}, said] for name, said in fixed_at_start(of, feature, floors[0][1])]
    yield {
        "t": "table", "head": ["fixed at the start", ""], "rows": fixed, "widths": [1, 4.6], "align": ["left", "left"], "size": 8.5,
        "inset": 1.0,
    }  # fmt: skip


def _floor(of: Set, feature: Feature, finish: str) -> AreaWork | None:
    return next((w for w in works_of(of.timeline, feature, finish) if isinstance(w, AreaWork)), None)


def _when(of: Set, feature: Feature, finish: str) -> str:
    """Return the month in which a finish is laid, as far as a job says it."""
    first = finish == feature.finish_ids()[0]
    names = (feature.id, f"{feature.id}/{finish}") if first else (f"{feature.id}/{finish}",)
    job = next((j for j in of.garden.jobs if any(t in names for t in j.does)), None)
    if job is None:
        return "there already" if first else "in no job yet"
    return f"{job.name}, {format_month(job.start)}" if job.start else job.name


def _layers(of: Set, work: AreaWork) -> str:
    style = of.garden.style
    said = [f"{x.material} {format_length(x.thickness_m, style)}" for x in work.layers if x.thickness_m > 0]
    if not work.dug:
        said.append("on the base that lies there")
    return "; ".join(said)


def _columns(floors: Sequence[AreaWork]) -> tuple[list[Figure], tuple[float, float, float, float]]:
    """Return the finishes side by side under one finished level, each down to the bottom of the one dig [m]."""
    patterns = table("made_so")["patterns"]
    deep = sum(x.thickness_m for x in floors[0].layers) or 0.05
    figures: list[Figure] = []
    for n, work in enumerate(floors):
        west, top = n * (WIDE_M + APART_M), 0.0
        for layer in work.layers:
            if layer.thickness_m > 0:
                figures.append(_box(west, top - layer.thickness_m, top, patterns.get(layer.material, "plain")))
                top -= layer.thickness_m
        if top > -deep + 1e-4:
            figures.append(_box(west, -deep, top, "plain"))
        figures.append(TextFigure((west + WIDE_M / 2, 0.05), str(n + 1), "note", "", "small"))
    east = (len(floors) - 1) * (WIDE_M + APART_M) + WIDE_M
    figures.append(PathFigure(((-0.15, 0.0), (east + 0.15, 0.0)), "datum", "level", weight="thick"))
    figures.append(PathFigure(((-0.15, -deep), (east + 0.15, -deep)), "below", "dig", weight="thin", dash=True))
    figures.append(DimensionFigure((east + 0.1, -deep), (east + 0.1, 0.0), deep, offset_m=-0.12))
    return figures, (-0.25, -deep - 0.1, east + 0.45, 0.16)


def _box(west: float, low: float, high: float, pattern: str) -> AreaFigure:
    ring = ((west, low), (west + WIDE_M, low), (west + WIDE_M, high), (west, high))
    return AreaFigure((ring,), "below", "", pattern, weight="thin")  # type: ignore[arg-type]  # a name of the table's


def fixed_at_start(of: Set, feature: Feature, first: AreaWork) -> Iterator[tuple[str, str]]:
    """Yield what the first finish settles for all later ones, each with its name: dig, level, fall, house, lines."""
    style = of.garden.style
    deep = sum(x.thickness_m for x in first.layers)
    yield "Dig", f"{format_length(deep, style)} below the finished level, once, for the deepest finish to come."
    start = of.timeline.at(of.timeline.leaf_date(of.timeline.years[0]))
    lie, (down_deg, grade) = _lie(of, feature, first)
    if isinstance(lie, Plane):
        above = format_length(lie.at.value_m, style)
        yield "Level", f"{above} above the ground at its middle, whatever lies on top."
    else:
        yield "Level", "Flush with the ground as it lies, whatever lies on top."
    yield from _fall(of, start, first, down_deg, grade)
    crossed = _crossed(of, first)
    if crossed:
        yield "Lines under it", f"{', '.join(crossed)}: have them located and marked before the dig, and lie below it."
    else:
        yield (
            "Lines under it",
            "None is drawn. Lay an empty duct across before the base if light or water may be wanted later.",
        )


def _lie(of: Set, feature: Feature, work: AreaWork) -> tuple[object, tuple[float, float]]:
    """Return how the floor lies, and where it falls to [deg] and how steeply (a share)."""
    frame = of.timeline.frame
    stood = of.timeline.as_made(feature)
    lie = stood.surfaces[0].lie if stood.surfaces else None
    if isinstance(lie, Plane):
        return lie, (lie.fall_deg, lie.grade)
    points = shapely.get_coordinates(work.outline)
    z = np.array([frame.ground.height(float(x), float(y)).item() for x, y in points])
    (gx, gy, _), *_ = np.linalg.lstsq(np.column_stack([points, np.ones(len(points))]), z, rcond=None)
    return lie, (math.degrees(math.atan2(-gx, -gy)) % 360.0, float(math.hypot(gx, gy)))


def _fall(of: Set, start: Scene, work: AreaWork, down_deg: float, grade: float) -> Iterator[tuple[str, str]]:
    """Yield which way the rain runs off, and how that lies to the nearest building."""
    house = _nearest(start, work.outline)
    way = f"1 in {1 / grade:.0f} towards {compass_words(down_deg)}" if grade > FALLS else "next to none"
    if house is None:
        yield "Fall", f"{way}."
        return
    owner, shape, apart = house
    near = shapely.shortest_line(shape, work.outline.centroid).coords
    out_deg = math.degrees(math.atan2(near[1][0] - near[0][0], near[1][1] - near[0][1]))
    turn = math.cos(math.radians(down_deg - out_deg))
    name = of.words.the(owner)
    said = (
        f"no fall to speak of, {format_length(apart, of.garden.style)} from {name}: rain stands on it" if grade <= FALLS
        else f"away from {name}" if turn > 0.25
        else f"TOWARDS {name}, {format_length(apart, of.garden.style)} off: turn the fall, or lay a drain before the floor" if turn < -0.25
        else f"along {name}"
    )  # fmt: skip
    where = country(of.garden)
    fall, damp = held(where, "fall"), held(where, "damp")
    asked = fall.figures["grade"]
    if apart < fall.figures["near_m"] and grade < asked - 1e-6 and turn >= -0.25:
        whose = "the code" if fall.own else "a model code"
        said += f"; beside a building {whose} asks for 1 in {1 / asked:.0f} away from it ({fall.cited()})"
    yield "Fall", f"{way}: {said}."
    if apart < AGAINST_M:
        low = format_length(damp.figures["low_m"], of.garden.style)
        said = (
            f"It lies against {name}: keep the finished level {low} below the damp course and clear of air bricks, "
            f"by {damp.cited()}; your local code decides. Look for the course before you dig."
        )
        yield "Damp course", said


def _nearest(start: Scene, outline: BaseGeometry) -> tuple[str, BaseGeometry, float] | None:
    """Return the nearest building that stood at the start: whose, its ground, how far [m]."""
    found = [
        (float(s.footprint.distance(outline)), s.owner, s.footprint)
        for s in start.solids
        if s.footprint.area >= HOUSE_M2 and s.top.value_m - s.base.value_m >= HOUSE_M and not s.reluctant
    ]
    if not found:
        return None
    apart, owner, shape = min(found, key=lambda f: (round(f[0], 6), f[1]))
    return owner, shape, apart


def _crossed(of: Set, work: AreaWork) -> list[str]:
    """Return the names of the lines, drains and ducts that will lie under a floor."""
    day, found = of.timeline.leaf_date(of.timeline.years[-1]), set[str]()
    for feature in of.garden.features:
        if feature.group == "services":
            stood = of.timeline.stood(feature, day)
            lines = [b.line for b in stood.buried] + [w.line for w in stood.work if isinstance(w, LineWork)]
            if any(line.intersects(work.outline) for line in lines):
                found.add(of.words.name(feature.id))
    return sorted(found)
