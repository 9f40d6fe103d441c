"""True to scale: 10 m at 1:100 is 100.0 mm in the PDF, 10.000 m in the DXF; what doesn't fit is tiled."""

from __future__ import annotations

import ctypes
import io
from math import dist
from pathlib import Path

import pypdfium2 as pdfium
import pytest
from pypdfium2 import raw

from quincunx.garden import garden_from
from quincunx.review import Review
from quincunx.shapes import DimensionFigure, PathFigure, TextFigure
from quincunx.sheets import SheetError, pages_of, pdf, prepare
from quincunx.sheets.book import Page, Paper, bind
from quincunx.sheets.dxf import dxf
from quincunx.sheets.labels import box_of, spread_labels
from quincunx.sheets.scales import OVERLAP_MM, Scale, fitting, tiles
from quincunx.sheets.svg import Look, draw
from quincunx.units import Style

MM = 25.4 / 72
TEN = PathFigure(((1.0, 1.0), (11.0, 1.0)), "datum")


def straight_lines_mm(data: bytes, page: int = 0) -> list[float]:
    """Return the lengths of all two-point paths on a page [mm], with every matrix above them."""
    doc = pdfium.PdfDocument(data)
    out = []
    for obj in doc[page].get_objects(max_depth=10, filter=[raw.FPDF_PAGEOBJ_PATH]):
        points = []
        chain, here = [obj.get_matrix()], obj.container
        while here is not None:
            chain.append(here.get_matrix())
            here = here.container
        for i in range(raw.FPDFPath_CountSegments(obj.raw)):
            x, y = ctypes.c_float(), ctypes.c_float()
            raw.FPDFPathSegment_GetPoint(raw.FPDFPath_GetPathSegment(obj.raw, i), x, y)
            at = (x.value, y.value)
            for matrix in chain:
                at = matrix.on_point(*at)
            points.append(at)
        if len(points) == 2:
            out.append(dist(*points) * MM)
    doc.close()
    return out


def page_of(scale: float) -> Page:
    paper = Paper("A4", flat=True)
    svg = draw([TEN], (0, 0, 12, 2), Look(scale))
    return Page("Test", ({"t": "drawing", "svg": svg, "w": 12000 / scale, "h": 2000 / scale},), paper.size_mm)


@pytest.mark.parametrize(("scale", "millimetres"), [(100, 100.0), (50, 200.0), (200, 50.0), (120, 83.3333)])
def test_ten_metres_measure_true_in_the_pdf(scale: float, millimetres: float) -> None:
    lengths = straight_lines_mm(bind([page_of(scale)], "Test", Style()))
    assert min(abs(found - millimetres) for found in lengths) < 0.05, lengths


def test_the_test_bar_measures_true_both_ways() -> None:
    page = page_of(100)
    drawn = Page(page.title, page.blocks, page.paper_mm, scale="1:100")
    metric = pdfium.PdfDocument(bind([drawn], "Test", Style()))
    boxes = [[v * MM for v in obj.get_bounds()] for obj in metric[0].get_objects(max_depth=1)]
    metric.close()
    lying = [b for b in boxes if abs(b[2] - b[0] - 10) < 0.05 and abs(b[3] - b[1] - 1.6) < 0.05]
    upright = [b for b in boxes if abs(b[3] - b[1] - 10) < 0.05 and abs(b[2] - b[0] - 1.6) < 0.05]
    assert (len(lying), len(upright)) == (10, 10)
    assert max(b[2] for b in lying) - min(b[0] for b in lying) == pytest.approx(100.0, abs=0.05)
    assert max(b[3] for b in upright) - min(b[1] for b in upright) == pytest.approx(100.0, abs=0.05)


def test_the_dxf_says_its_unit_and_measures_ten_metres() -> None:
    from ezdxf.entities.lwpolyline import LWPolyline
    from ezdxf.filemanagement import read

    doc = read(io.StringIO(dxf([TEN])))
    assert doc.header["$INSUNITS"] == 6  # metres
    lines = [e for e in doc.modelspace() if isinstance(e, LWPolyline) and e.dxf.layer == "DATUM"]
    (start, end) = [p[:2] for p in lines[0].get_points()]
    assert dist(start, end) == pytest.approx(10.0, abs=1e-9)
    bar = next(e for e in doc.modelspace() if e.dxf.layer == "SCALE-BAR" and e.dxftype() == "LINE")
    assert (bar.dxf.end - bar.dxf.start).magnitude == pytest.approx(10.0, abs=1e-9)


def test_the_scale_is_the_largest_that_fits() -> None:
    assert fitting(18, 46, (190, 258), Style()).number == 200
    assert fitting(18, 25, (190, 258), Style()).number == 100
    feet = fitting(45, 45, (195, 240), Style("feet"))
    assert (feet.number, feet.said) == (240, "1 in = 20 ft")


def test_tiles_cover_everything_and_overlap() -> None:
    bounds, frame, scale = (0.0, 0.0, 50.0, 30.0), (190.0, 258.0), Scale(50, "1:50")
    sheets = tiles(bounds, frame, scale)
    assert len(sheets) == len({(t.column, t.row) for t in sheets})
    for x in (0.0, 13.7, 25.0, 49.99):
        for y in (0.0, 11.1, 29.99):
            assert any(t.bounds[0] <= x <= t.bounds[2] and t.bounds[1] <= y <= t.bounds[3] for t in sheets)
    first, second = sheets[0], sheets[1]
    assert (first.bounds[2] - second.bounds[0]) * 1000 / scale.number == pytest.approx(OVERLAP_MM)


def plot(wide: float, high: float) -> dict[str, object]:
    return {
        "format": "quincunx/1",
        "name": "Plot",
        "boundary": [[0, 0], [wide, 0], [wide, high], [0, high]],
        "features": [{"kind": "wall", "id": "wall", "line": [[1, 1], [11, 1]], "there_from": "start"}],
        "means": {"years": 2},
    }


def test_a_plan_too_large_for_its_paper_is_tiled_with_marks() -> None:
    of = prepare(garden_from(plot(90, 90)), judged=Review((), ()))
    whole = list(pages_of(of, ["plan"], 500))
    parts = list(pages_of(of, ["plan"], 100))
    assert (len(whole), whole[0].scale) == (1, "1:500")
    assert len(parts) > 20
    assert all("lay the crosses on each other" in p.blocks[0]["svg"] for p in parts)


def test_a_drawing_never_leaves_its_frame() -> None:
    for wide, high in ((8, 5), (18, 46), (45, 45), (120, 60)):
        of = prepare(garden_from(plot(wide, high)), judged=Review((), ()))
        drawn = [p for p in pages_of(of, ["plan", "year-plans"]) if p.scale]
        assert len(drawn) >= 2
        for page in drawn:
            block, paper = page.blocks[0], of.paper.lying(flat=page.paper_mm[0] > page.paper_mm[1])
            assert block["w"] <= paper.frame_mm[0] + 1e-6
            assert block["h"] <= paper.frame_mm[1] + 1e-6


def test_an_unknown_paper_or_sheet_is_named() -> None:
    of = prepare(garden_from(plot(8, 5)), judged=Review((), ()))
    with pytest.raises(SheetError, match="There are: years-table, "):
        pdf(of, ["sketch"])
    with pytest.raises(SheetError, match="no paper 'A7'"):
        _ = Paper("A7").size_mm


def test_the_same_set_gives_the_same_drawings() -> None:
    sets = [prepare(garden_from(plot(18, 46)), judged=Review((), ())) for _ in range(2)]
    first, second = ([p.blocks for p in pages_of(s)] for s in sets)
    assert first == second


def test_words_are_moved_apart_and_small_ones_dropped() -> None:
    look = Look(100.0)
    crowd = [TextFigure((5.0, 5.0 + i * 0.01), f"Cobnut {i}", "grown", size="small") for i in range(30)]
    room = TextFigure((5.0, 5.0), "Nuttery", "room")
    kept = [f for f in spread_labels([*crowd, room], look) if isinstance(f, TextFigure)]
    assert room in kept
    assert 3 < len(kept) < 30
    boxes = [box_of(f, look) for f in kept]
    for i, a in enumerate(boxes):
        for b in boxes[:i]:
            assert not (a[0] < b[2] and b[0] < a[2] and a[1] < b[3] and b[1] < a[3])


def test_dimensions_are_written_in_the_persons_units() -> None:
    figure = DimensionFigure((0, 0), (3.81, 0), 3.81)
    assert "12&#x27; 6&quot;" in draw([figure], (-1, -1, 5, 1), Look(50.0, Style("feet")))
    assert "3.81 m" in draw([figure], (-1, -1, 5, 1), Look(50.0))


def test_the_pdf_carries_its_own_typeface(tmp_path: Path) -> None:
    data = bind([page_of(100)], "Test", Style())
    assert b"SourceSans" in data
