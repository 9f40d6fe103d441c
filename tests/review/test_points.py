"""Corners from a file in a garden: where they are laid, what they become, one step back."""

from __future__ import annotations

import io
import json
import math
from datetime import date

import numpy as np
import pytest
from ezdxf.filemanagement import new

from quincunx.garden import Garden, apply, garden_from, timeline
from quincunx.garden.on_earth import geojson
from quincunx.review.ground import measure
from quincunx.review.points import look
from quincunx.review.points_laid import Asked
from quincunx.site.geodesy import lon_lat_deg
from quincunx.survey import parse_lines
from quincunx.survey.readings import Stake, Survey

CORNERS = "name,easting,northing,z\nA,452312.12,5772310.40,31.2\nB,452330.32,5772310.40,31.1\nC,452330.32,5772356.40,30\nD,452312.12,5772356.40,29\n"
HOUSE = "name,easting,northing\nP,452315.12,5772313.4\nQ,452322.12,5772313.4\nR,452322.12,5772320.4\nS,452315.12,5772320.4\n"


def ring_in(text: str, garden: Garden, **asked) -> tuple[tuple[float, float], ...]:
    found = look(garden, text, Asked(**asked), "plan")
    assert found.round is not None
    return found.round.corners


def lay_of(garden: Garden, text: str, **asked) -> str:
    found = look(garden, text, Asked(**asked), "c.csv")
    assert found.laid is not None
    return found.laid.lay


def empty(**parts) -> Garden:
    return garden_from({"format": "quincunx/1", **parts})


def taken(garden: Garden, text: str, **asked) -> Garden:
    found = look(garden, text, Asked(**asked), "corners.csv")
    assert found.faults == ()
    assert found.edit is not None
    after, back = apply(garden, found.edit)
    assert apply(after, back)[0] == garden
    return after


def plan(garden: Garden) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in garden.boundary]


def test_the_first_corner_becomes_the_datum_and_what_comes_later_is_laid_beside_it():
    garden = taken(empty(), CORNERS)
    assert plan(garden) == [(0, 0), (18.2, 0), (18.2, 46), (0, 46)]
    assert garden.site.datum.numbers == (452312.12, 5772310.40)
    garden = taken(garden, HOUSE, become="house")
    assert garden.features[0].lines()["outline"][0] == pytest.approx((3, 3))
    assert garden.features[0].kind == "house"


def test_the_other_order_mirrors_the_ground_and_both_are_shown_before():
    found = look(empty(), "0,0,A\n18,0,B\n18,46,C\n0,46,D\n", Asked(), "c.csv")
    assert (found.order, [w[0] for w in found.ways]) == ("east", ["east", "north"])
    assert found.ways[1][1] == ((0, 0), (0, 18), (46, 18), (46, 0))
    assert plan(taken(empty(), "0,0,A\n18,0,B\n18,46,C\n0,46,D\n", order="north"))[1] == (0, 18)


@pytest.mark.parametrize(
    ("unit", "metres"), [("m", 1), ("mm", 0.001), ("ft", 0.3048), ("us-ft", 1200 / 3937), ("in", 0.0254)]
)
def test_units_are_asked_for(unit, metres):
    k = 40 / metres
    text = f"0,0\n{k},0\n{k},{k}\n"
    assert plan(taken(empty(), text, unit=unit))[1] == pytest.approx((40, 0), abs=0.001)


def test_it_says_whose_word_the_unit_is():
    def said(text: str, unit: str = "") -> str:
        return look(empty(), text, Asked(unit=unit), "c").said[0]

    bare, told = "0,0\n40,0\n40,40\n", "x (m),y (m)\n0,0\n40,0\n40,40\n"
    assert said(bare) == "3 points, in metres (the file doesn't say: is that so?)."
    assert said(bare, unit="ft") == "3 points, in feet (international, 0.3048 m) (as you say)."
    assert said(told) == "3 points, in metres (as the file says)."
    assert said(told, unit="ft").endswith("(as you say).")


def test_degrees_are_laid_level_and_true_and_give_the_garden_its_place():
    on_earth = lon_lat_deg(np.array([[0, 0], [18.2, 0], [18.2, 46], [0, 46]], float), 52.1, -1.2)
    text = "".join(f"{lat:.8f},{lon:.8f}\n" for lon, lat in on_earth)
    garden = taken(empty(), text)
    assert np.allclose(plan(garden), [(0, 0), (18.2, 0), (18.2, 46), (0, 46)], atol=0.002)
    place = garden.site.place
    assert place is not None
    assert (place.latitude_deg, place.longitude_deg) == (52.1, -1.2)
    swapped = look(empty(), text, Asked(order="east"), "c.csv")
    assert swapped.edit is not None  # what the person says goes; both pictures were shown
    near = empty(site={"place": {"latitude_deg": -1.2, "longitude_deg": 52.1}})
    assert look(near, text, Asked(), "c.csv").order == "east"


def test_what_was_written_for_maps_comes_back_where_it_was():
    garden = taken(
        empty(site={"place": {"latitude_deg": 42.4, "longitude_deg": -72.5, "north_offset_deg": 20.0}}), CORNERS
    )
    garden = garden.changed(
        site=garden.site.changed(datum=garden.site.datum.changed(latitude_deg=42.41, longitude_deg=-72.51))
    )
    text = geojson(garden, timeline(garden).at(date(2030, 6, 1)))
    assert json.loads(text)["origin"]["latitude_deg"] == 42.41
    found = look(garden, text, Asked(), "map.geojson")
    assert found.laid is not None
    assert (found.unit, found.laid.lay) == ("deg", "same")
    assert np.allclose(sorted(ring_in(text, garden)), sorted(plan(garden)), atol=0.003)


def taped(text: str) -> Garden:
    readings, problems = parse_lines(text, empty().style)
    assert not problems
    stakes = [Stake(id=i, name=i.upper()) for i in "abcd"]
    return empty().changed(survey=Survey(stakes=tuple(stakes), readings=readings))


def test_points_called_as_stakes_are_laid_by_them_turned_but_not_stretched():
    garden = taped("A B 18.2\nB C 46\nC D 18.2\nD A 46\nA C 49.47\nB D 49.47\nA>B sees C left\n")
    found = look(garden, CORNERS, Asked(become="spots"), "c.csv")
    assert found.laid is not None
    assert found.laid.lay == "names"
    assert any(w.startswith("Laid by A, B, C, D: they fit to within") for w in found.said)
    places = measure(garden).places
    for name, at in zip("abcd", found.laid.at, strict=True):
        assert math.dist(places[name], at) < 0.02
    far = CORNERS.replace("452330.32,5772356.40", "452370.32,5772356.40")
    assert lay_of(garden, far, become="spots") == "first"


def test_stakes_hold_the_plan_and_taped_ones_hang_on_them():
    garden = taped("A B 18.2\nB C 46\nC D 18.2\nD A 46\nA C 49.47\nB D 49.47\nA>B sees C left\n")
    two = "\n".join(CORNERS.splitlines()[:3])
    after = taken(garden, two, become="stakes")
    m = measure(after)
    assert {s.name for s in after.survey.stakes if s.held} == {"A", "B"}
    assert set(m.places) == {"a", "b", "c", "d"}
    assert [s.level for s in after.survey.stakes if s.id == "a"] == [31.2]
    alone = look(garden, "name,x,y\nT1,0,0\nT2,9,0\n", Asked(become="stakes"), "c.csv")
    assert alone.faults[0].startswith("The stakes that were taped hang on none of these points.")
    twice = look(empty(), "A,0,0\nA,9,0\n", Asked(become="stakes"), "c.csv")
    assert "Two points are called 'A'" in twice.faults[0]
    again = taken(empty(), "A,0,0\nB,9,0\nA,0.01,0\n", become="stakes")
    assert len(again.survey.stakes) == 2


def test_heights_and_trees_and_only_some_in_another_order():
    garden = taken(empty(), CORNERS, become="heights")
    assert [float(h.z_m) for h in garden.levels.heights] == pytest.approx([0, -0.1, -1.2, -2.2])
    assert "have no heights" in look(empty(), HOUSE, Asked(become="heights"), "c").faults[0]
    assert len(taken(empty(), CORNERS, become="tree").features) == 4
    assert plan(taken(empty(), CORNERS, only=("c", "B", "A")))[1] == pytest.approx((0, -46))
    assert "No point is called 'Z'" in look(empty(), CORNERS, Asked(only=("Z",)), "c").faults[0]


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ({"become": "castle"}, "Points can't become 'castle'."),
        ({"unit": "furlong"}, "'furlong' is no unit here."),
        ({"order": "up"}, "'up' is no order."),
        ({"group": 4}, "holds 1 part, not that many"),
        ({"lay": "names"}, "Two or more of the points must be called as stakes"),
        ({"lay": "same"}, "Nothing was brought in before"),
        ({"unit": "deg"}, "no longitudes and latitudes"),
    ],
)
def test_what_cannot_be_done_says_so_and_takes_nothing(asked, says):
    found = look(empty(), CORNERS, Asked(**asked), "c.csv")
    assert found.edit is None
    assert any(says in f for f in found.faults)


def drawing(units: int = 6) -> str:
    made = new()
    made.units = units
    space = made.modelspace()
    space.add_lwpolyline([(103, 205), (110, 205), (110, 212)], close=True, dxfattribs={"layer": "HOUSE"})
    space.add_lwpolyline(
        [(100, 200), (118, 200), (118, 246, 0, 0, 0.4), (100, 246)], close=True, dxfattribs={"layer": "PLOT"}
    )
    space.add_point((105, 230))
    out = io.StringIO()
    made.write(out)
    return out.getvalue()


def test_a_drawing_gives_its_outlines_the_widest_first_with_its_unit():
    found = look(empty(), drawing(), Asked(), "plan.dxf")
    assert [g.words for g in found.brought.groups] == ["outline on layer PLOT", "outline on layer HOUSE", "the points"]
    assert found.brought.unit == "m"
    # The bulge 0.4 is the tangent of a quarter of the arc's angle (DXF reference, LWPOLYLINE, group 42): it rises 0.4 of
    # half its chord of 18 m above the corners at 46 m.
    assert max(y for _, y in ring_in(drawing(), empty())) == pytest.approx(46 + 0.4 * 9, abs=0.02)
    assert look(empty(), drawing(2), Asked(), "plan.dxf").unit == "ft"
    assert "can't be read" in look(empty(), drawing()[:4000], Asked(), "plan.dxf").faults[0]
    assert "binary DXF" in look(empty(), "AutoCAD Binary DXF\r\n\x1a", Asked(), "plan.dxf").faults[0]


TAGGED = """<kml><Placemark><name>NE peg</name><Point><altitudeMode>x</altitudeMode>
<coordinates>1.5,52.1,3</coordinates></Point></Placemark><Placemark><name>Edge</name><LineString>
<tessellate>1</tessellate><coordinates>1.5,52.1 1.5001,52.1 1.5001,52.1001</coordinates></LineString></Placemark></kml>"""


def test_kml_is_read_whatever_stands_before_its_coordinates_and_by_the_names_of_its_places():
    edge, single = look(empty(), TAGGED, Asked(become="spots")).brought.groups
    assert (edge.words, len(edge.points)) == ("Edge", 3)
    assert [(p.name, p.first, p.second) for p in single.points] == [("NE peg", 1.5, 52.1)]


@pytest.mark.parametrize(
    "text",
    [
        TAGGED.replace("1.5,52.1,3", "+,1e"),
        "x,y,z\n1,2,1e999\n3,4,5",
        "x,y\n1e9,2\n3,4",
        '{"type":"Point","coordinates":[' + "9" * 5000 + ",1]}",
        '{"type":"Point","coordinates":[' + "9" * 400 + ",1]}",
        'x,y,name\n1,2,"' + "a" * 140_000 + '"',
    ],
)
@pytest.mark.parametrize("become", ["boundary", "spots", "stakes", "heights"])
def test_numbers_beyond_all_bounds_are_told_and_nothing_is_raised(text, become):
    found = look(empty(), text, Asked(become=become))
    assert found.faults
    assert found.edit is None


def test_bare_numbers_beside_lengths_are_in_the_unit_of_their_head():
    found = look(empty(), "x (ft),y (ft)\n30,20\n30' 6\",20\n", Asked(become="spots", lay="first"))
    assert found.laid is not None
    (ax, ay), (bx, by) = found.laid.at
    assert (bx - ax, by - ay) == pytest.approx((0.5 * 0.3048, 0.0), abs=1e-3)
    (fault,) = look(empty(), "x (m),y (m),z (ft)\n3,4,3\n", Asked(become="spots")).faults
    assert "one unit" in fault


def test_heights_from_another_zero_are_not_laid_beside_those_there_are():
    had = empty(levels={"heights": [{"at": [1, 1], "z_m": 0.0}]})
    (fault,) = look(had, "x,y,z\n1,2,130\n3,4,131", Asked(become="heights")).faults
    assert "another zero" in fault
