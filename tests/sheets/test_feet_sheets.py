"""The sheets about walking: rooms and ways, distances, where feet will go; from the demonstration gardens."""

import json
import math
import re

import pytest
from shapely import box

from quincunx.demos import demo_garden
from quincunx.garden import read_garden
from quincunx.review import Review
from quincunx.shapes import PathFigure, TextFigure
from quincunx.sheets import pages_of, pdf, prepare
from quincunx.sheets._feet import LETTER_MM, _names
from quincunx.sheets.distances import measured, walked_spots
from quincunx.walk.reach import walk_of
from tests.sheets.outdoors import plot, said, set_for


@pytest.fixture(scope="module", params=["ropewalk", "kettle-hill"])
def made(request):
    return prepare(demo_garden(request.param), judged=Review((), ()))


def table(page):
    return next(b for b in page.blocks if b["t"] == "table")


def plain(cell) -> str:
    return str(cell["s"] if isinstance(cell, dict) else cell)


def test_rooms_and_ways_has_a_plan_a_map_and_every_room(made):
    plan, chart = pages_of(made, ["rooms-and-ways"])
    assert plan.scale
    assert {b["t"] for b in chart.blocks} >= {"drawing", "table", "text"}
    rooms = {r.name for r in made.timeline.frame.rooms}
    assert {plain(row[0]) for row in table(chart)["rows"]} == rooms
    drawing = next(b for b in chart.blocks if b["t"] == "drawing")
    for name in rooms:
        assert name in drawing["svg"]
    assert "way" in chart.blocks[-1]["s"]


def test_ways_in_are_told_by_name():
    rows = table(list(pages_of(prepare(demo_garden("ropewalk"), judged=Review((), ())), ["rooms-and-ways"]))[1])["rows"]
    green = next(row for row in rows if plain(row[0]) == "Drying green")
    assert [plain(c) for c in green[1:]] == ["Closed all round", "Side gate", "yes", "yes", "yes"]


def test_the_table_of_distances_says_both_halves(made):
    (page,) = pages_of(made, ["distances"])
    rows = table(page)["rows"]
    n = len(rows)
    assert len(table(page)["head"]) == n + 1
    for i, row in enumerate(rows):
        for j, cell in enumerate(row[1:]):
            text = plain(cell)
            if i == j:
                assert text == ""
            elif text != "no way":
                assert text.endswith("min") == (j < i), (i, j, text)
    assert page.blocks[-1]["s"].startswith("Farthest apart:")


def test_distances_are_symmetric_and_keep_the_triangle(made):
    scene = made.summer(made.timeline.years[-1])
    person = made.words.walker("person")
    spots = walked_spots(scene)
    metres, seconds = measured(walk_of(scene, person, polite=True), spots)
    n = len(spots)
    for i in range(n):
        for j in range(n):
            assert metres[i, j] == pytest.approx(metres[j, i], abs=1e-6) or math.isinf(metres[i, j])
            if j < i and math.isfinite(metres[i, j]):
                assert seconds[i, j] >= metres[i, j] / person.pace - 1e-6
                for k in range(n):
                    assert metres[i, j] <= metres[i, k] + metres[k, j] + 1e-6


def test_where_feet_go_lists_every_walk_and_numbers_its_lines(made):
    pages = list(pages_of(made, ["where-feet-go"]))
    walks = table(pages[-1])["rows"]
    assert len(walks) == len(made.garden.trips)
    lines = [b for b in pages[-1].blocks if b["t"] == "table"][1]["rows"]
    assert [plain(row[0]) for row in lines] == [str(k) for k in range(1, len(lines) + 1)]
    said = [b["s"] for b in pages[-1].blocks if b["t"] == "text"][1:]
    assert any(
        re.match(r"\d+: (Make a path of it|Take the path round this way, or pave it), .* wide for ", s) for s in said
    )


def test_a_bare_garden_says_what_each_sheet_needs():
    bare = prepare(read_garden(json.dumps({"format": "quincunx/1", "name": "Bare"})), judged=Review((), ()))
    for name in ("rooms-and-ways", "distances", "where-feet-go"):
        (page,) = pages_of(bare, [name])
        assert len(page.blocks[0]["s"]) > 40


def test_they_print():
    made = prepare(demo_garden("ropewalk"), judged=Review((), ()))
    assert pdf(made, ["rooms-and-ways", "distances"]).startswith(b"%PDF")


def test_names_on_the_map_of_rooms_cover_no_room_and_no_other_name():
    # Two rooms nearer to each other than a name is long, with an opening above another.
    boxes = [((20.0, 30.0), (19.0, 5.5)), ((67.0, 30.0), (19.0, 5.5)), ((67.0, 8.0), (19.0, 5.5))]
    lines = [PathFigure(((39.0, 30.0), (48.0, 30.0)), "way", "a"), PathFigure(((67.0, 24.5), (67.0, 13.5)), "way", "b")]
    said = {"a": "Gate of the hen run, 0.90 m", "b": "Door, 0.80 m"}
    names = [n for n in _names(lines, said, boxes) if isinstance(n, TextFigure)]
    rooms = [box(x - w, y - h, x + w, y + h) for (x, y), (w, h) in boxes]
    half = [(len(n.text) * LETTER_MM[0] / 2, LETTER_MM[1] / 2) for n in names]
    covered = [box(n.at[0] - w, n.at[1] - h, n.at[0] + w, n.at[1] + h) for n, (w, h) in zip(names, half, strict=True)]
    assert [n.text for n in names] == ["Gate of the hen run, 0.90 m", "Door, 0.80 m"]
    assert names[1].at == (67.0, 19.0), "where there is room the name stands in the middle of its line"
    assert all(a.intersection(b).area == 0 for a in covered for b in rooms)
    assert covered[0].intersection(covered[1]).area == 0


def test_spots_without_room_in_the_table_of_distances_are_named():
    spots = [{"id": f"spot-{n:02d}", "name": f"Spot {n:02d}", "at": [1 + n, 4]} for n in range(16)]
    (page,) = pages_of(set_for(plot(spots=spots)), ["distances"])
    assert "Not in the table for want of room: Spot 14 and Spot 15." in said([page])
    (few,) = pages_of(set_for(plot(spots=spots[:14])), ["distances"])
    assert "for want of room" not in said([few])
