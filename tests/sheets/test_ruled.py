"""Patterns as strokes: the same picture as the tiles make, and no tile left that a browser would turn into points."""

from __future__ import annotations

import base64
import io
import re
from xml.etree import ElementTree as ET

import pytest
import typst
from PIL import Image, ImageChops, ImageStat

from quincunx.shapes import AreaFigure, Pattern
from quincunx.sheets.ruled import address_of, ruled
from quincunx.sheets.svg import Look, draw

RING = ((1.3, 1.2), (8.7, 1.9), (9.1, 7.6), (2.2, 8.4))
HOLE = ((4.0, 4.0), (6.0, 4.0), (6.0, 6.0), (4.0, 6.0))
PATTERNS: tuple[Pattern, ...] = ("hatch", "cross", "dots", "waves", "boards", "bricks", "tufts", "stones", "flags")


def drawing(pattern: Pattern, role: str = "built") -> str:
    return draw([AreaFigure((RING, HOLE), role, "x", pattern)], (0, 0, 10, 10), Look(200.0))  # type: ignore[arg-type]


def picture(svg: str) -> Image.Image:
    """Return a drawing as points, by a renderer that knows tiles and strokes alike."""
    source = (
        '#set page(width: 50mm, height: 50mm, margin: 0mm)\n#image(bytes(sys.inputs.svg), format: "svg", width: 50mm)'
    )
    out = typst.Compiler(source.encode(), sys_inputs={"svg": svg}).compile(format="png", ppi=200)
    assert isinstance(out, bytes)
    return Image.open(io.BytesIO(out)).convert("L")


@pytest.mark.parametrize("pattern", PATTERNS)
def test_as_much_ink_in_the_same_area_and_none_outside_it(pattern: Pattern) -> None:
    """Tiles are drawn by a renderer to whole points: its picture is the same to the eye, and not point for point."""
    tiled = drawing(pattern)
    plain = picture(re.sub(r'<path [^>]*fill="url[^>]*/>', "", tiled))
    of_tiles, of_strokes = (ImageChops.difference(plain, picture(svg)) for svg in (tiled, ruled(tiled)))
    ink, drawn = (ImageStat.Stat(one).mean[0] for one in (of_tiles, of_strokes))
    assert ink > 0.2, "the pattern shows"
    assert drawn == pytest.approx(ink, rel=0.35)
    west, north, east, south = of_strokes.getbbox() or (0, 0, 0, 0)
    side = plain.width / 10
    assert west >= 1.3 * side - 1
    assert east <= 9.1 * side + 1
    assert north >= (10 - 8.4) * side - 1
    assert south <= (10 - 1.2) * side + 1
    hole = of_strokes.crop((round(4.2 * side), round(4.2 * side), round(5.8 * side), round(5.8 * side)))
    assert hole.getbbox() is None


def test_no_tile_is_left_and_ids_are_its_own_in_nested_drawings() -> None:
    svg = ruled(f"<svg>{drawing('tufts')}{drawing('tufts')}{drawing('hatch', 'wall')}</svg>")
    assert "<pattern" not in svg
    assert "url(#tufts" not in svg
    ids = re.findall(r' id="([^"]+)"', svg)
    assert len(ids) == len(set(ids)) == 6
    assert set(re.findall(r"url\(#([^)]+)\)", svg)) <= set(ids)
    assert ET.fromstring(base64.b64decode(address_of(drawing("bricks")).partition(",")[2])).tag.endswith("svg")


def test_what_has_no_pattern_stays_as_it_is() -> None:
    plain = drawing("plain")
    assert ruled(plain) == plain
