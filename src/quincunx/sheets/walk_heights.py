"""The heights along the walks, as they stand at the end of the plan: drawn unrolled, left side over right."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString

from quincunx.features import Feature
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, TextFigure
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.sheets.scales import fitting
from quincunx.sheets.svg import Look, draw
from quincunx.sight.skyline import BESIDE_M, Skyline, skyline
from quincunx.units import capital, counted

ID = "walk-heights"
WORDS = "Heights along the walks"
NEEDS = "No walk of eight metres or more is drawn. Draw a path, and this page shows how high its two sides stand."
LEAST_M, MOST = 8.0, 3
"""Walks shorter than this have no skyline [m]; no more walks than this are shown."""


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - the scale that fits
    """Yield one page with the longest walks; nothing where there is none."""
    walks = [(f, line, skyline(of.summer(of.timeline.years[-1]), line)) for f, line in _walks(of)[:MOST]]
    blocks: list[Block] = []
    if not walks:
        return
    long_m = max(line.length for _, line, _ in walks)
    wide, tall = of.paper.frame_mm
    scale = fitting(
        long_m + 2.0,
        2 * max(_high(found) for *_, found in walks) + 2.0,
        (wide, tall / (len(walks) + 1.2)),
        of.garden.style,
    )
    for feature, line, found in walks:
        name = of.words.the(feature.id)
        blocks.append({"t": "heading", "s": f"{capital(name)}, {of.words.length(line.length)} long"})
        blocks += [
            {"t": "text", "s": _said(of, found)},
            _drawn(found, line.length, Look(scale.number, of.garden.style)),
        ]
    far = of.words.length(BESIDE_M)
    text = (
        f"What stands within {far} of the walk's middle; heights over the walk. Walked from left to right: the upper outline is "
        "what stands on the left, the lower, hanging one what stands on the right."
    )
    blocks.append({"t": "small", "s": text})
    yield Page(
        WORDS, tuple(blocks), of.paper.size_mm, f"late summer {of.timeline.years[-1]} · {scale.said}", scale.said
    )


def _walks(of: Set) -> list[tuple[Feature, LineString]]:
    """Return what is walked along, the longest first."""
    last, out = of.timeline.leaf_date(of.timeline.years[-1]), []
    for feature in of.garden.features:
        course = getattr(feature, "course", None)
        if course is None or not feature.finish_ids() or not of.timeline.stands_on(feature.id, last):
            continue
        line = LineString(course())
        if line.length >= LEAST_M:
            out.append((feature, line))
    return sorted(out, key=lambda pair: (-pair[1].length, pair[0].id))


def _said(of: Set, found: Skyline) -> str:
    """Say whether it is flat and how many heights there are."""
    bare = "" if found.bare < 0.05 else f" Along {100 * found.bare:.0f} % of its two sides nothing stands."
    if not found.heights:
        return "Nothing stands beside it."
    told = ", ".join(of.words.length(h) for h in found.heights)
    if found.flat:
        return f"Flat: all that stands beside it is about {told} high.{bare}"
    return f"{counted(len(found.heights), 'height')}: {told}.{bare}"


def _high(found: Skyline) -> float:
    return max(float(found.left_m.max()), float(found.right_m.max()), 1.0)


def _drawn(found: Skyline, long_m: float, look: Look) -> Block:
    up, down = max(float(found.left_m.max()), 1.0), max(float(found.right_m.max()), 1.0)
    bounds = (-1.0, -down - 1.0, long_m + 1.0, up + 1.0)
    figures: list[Figure] = [
        AreaFigure((_steps(found, 1.0),), "grown", weight="normal"),
        AreaFigure((_steps(found, -1.0),), "grown", weight="normal"),
        PathFigure(((0.0, 0.0), (long_m, 0.0)), "datum", weight="thick", arrow=True),
        TextFigure((0.0, up + 0.4), "left", "note", size="small", anchor="start"),
        TextFigure((0.0, -down - 0.8), "right", "note", size="small", anchor="start"),
    ]
    size = (1000 * (bounds[2] - bounds[0]) / look.scale, 1000 * (bounds[3] - bounds[1]) / look.scale)
    return {"t": "drawing", "svg": draw(figures, bounds, look), "w": size[0], "h": size[1]}


def _steps(found: Skyline, side: float) -> tuple[XY, ...]:
    """Return one side's heights as an outline, right way up for the left, hanging for the right."""
    highs = found.left_m if side > 0 else found.right_m
    top = [(float(x), side * float(h)) for x, h in zip(found.along_m, highs, strict=True)]
    return ((top[0][0], 0.0), *top, (top[-1][0], 0.0))
