"""A sheet of many holds what reaches it, and nothing that can't."""

from __future__ import annotations

from shapely.geometry import LineString, box

from quincunx.shapes import PathFigure, TextFigure
from quincunx.sheets import year_plans
from quincunx.sheets._near import near
from quincunx.sheets.labels import box_of
from quincunx.sheets.plan import plan_pages, sheets_of
from quincunx.sheets.scales import Scale, tiles
from quincunx.sheets.svg import Look
from tests.sheets.outdoors import SHED, demo, job, plot, set_for

SCALE = 20.0


def test_nothing_that_reaches_a_sheet_is_left_out() -> None:
    of = demo("kettle-hill")
    figures = [*of.summer(of.timeline.years[-1]).figures, *of.frame()]
    look = Look(SCALE, of.garden.style)
    sheets = tiles(of.bounds, of.paper.frame_mm, Scale(SCALE, "1:20"))
    assert len(sheets) > 12
    fewer = 0
    for tile in sheets:
        kept = near(figures, tile.bounds, SCALE)
        assert kept == [f for f in figures if f in kept], "in their order"
        fewer += len(kept) < len(figures) / 2
        for figure in figures:
            if figure in kept:
                continue
            if isinstance(figure, TextFigure):
                assert not box(*box_of(figure, look)).intersects(box(*tile.bounds))
            elif isinstance(figure, PathFigure) and len(figure.points) > 1:
                assert not LineString(figure.points).intersects(box(*tile.bounds))
    assert fewer > len(sheets) / 3


def test_what_surrounds_a_sheet_reaches_it() -> None:
    ring = ((-50.0, -50.0), (50.0, -50.0), (50.0, 50.0), (-50.0, 50.0))
    around = PathFigure(ring, "datum", "boundary", closed=True)
    assert near([around], (0.0, 0.0, 1.0, 1.0), SCALE) == [around]


def test_all_sheets_of_a_plan_hold_less_than_each_of_them_held() -> None:
    of = demo("kettle-hill")
    year = of.timeline.years[-1]
    every = len([*of.summer(year).figures, *of.frame()])
    pages = list(plan_pages(of, year, "Plan", "", SCALE))
    size = [len(str(p.blocks)) for p in pages]
    whole = len(str(next(iter(plan_pages(of, year, "Plan", "", 500.0))).blocks))
    assert every > 100
    assert sum(size) < whole * len(pages) / 2


def test_a_large_garden_of_many_years_has_a_sheet_a_year_and_not_hundreds() -> None:
    ground = [[0, 0], [300, 0], [300, 300], [0, 300]]
    of = set_for(
        plot(SHED, boundary=ground, jobs=[job("den", start="2040-04")], means={"first_year": 2027, "years": 30})
    )
    sheets, whole = sheets_of(of)
    assert sheets * len(of.timeline.years) > 80
    pages = list(year_plans.pages(of))
    assert len(pages) <= 30
    assert {p.scale for p in pages} == {whole.said}
    assert all("name a scale for a larger one" in p.note for p in pages)
    assert len(list(year_plans.pages(of, 400.0))) > len(pages), "unless a scale is asked for"
