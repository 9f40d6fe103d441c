"""Files of corners: what is read of each form, and the sentence for each line that can't be read."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, strategies as st

from quincunx.survey.given import UNITS, Brought
from quincunx.survey.points_in import read_points
from quincunx.survey.rings import AGAIN_M, crossing, round_of
from quincunx.units import Style

METRIC, COMMA, FEET = Style(), Style("metric", ","), Style("feet")


def rows(brought: Brought, group: int = 0) -> list[tuple[str, float, float, float | None]]:
    assert brought.faults == ()
    return [(p.name, p.first, p.second, p.z) for p in brought.groups[group].points]


@pytest.mark.parametrize(
    "text",
    [
        "x,y,name\n0,0,A\n18.2,0.5,B\n",
        "# from the total station\n\nName;East;North\nA;0;0\nB;18,2;0,5\n",
        "0\t0\tA\n18.2\t0.5\tB\n",
        "A 0 0\nB 18.2 0.5\n",
        "A 0,0 0,0\nB 18,2 0,5\n",
        "Northing,Easting,Point\n0,0,A\n0.5,18.2,B\n",
        '"Point","Easting (m)","Northing (m)"\n"A","0","0"\n"B","18.2","0.5"\n',
        "\ufeffx,y,name\r\n0,0,A\r\n18.2,0.5,B\r\n",
    ],
)
def test_a_table_is_read_however_it_is_parted_and_headed(text):
    assert rows(read_points(text, METRIC)) == [("A", 0.0, 0.0, None), ("B", 18.2, 0.5, None)]


def test_heights_counted_points_and_remarks_are_told_apart():
    read = read_points("1,5000.1,1000.2,31.5,post\n2,5010,1010,31.4,wall\n", METRIC)
    assert rows(read) == [("1", 5000.1, 1000.2, 31.5), ("2", 5010.0, 1010.0, 31.4)]
    assert "counts the points" in read.said[0]
    assert rows(read_points("0,0,2.5,A\n1,1,2.6,B\n", METRIC))[1] == ("B", 1.0, 1.0, 2.6)
    assert rows(read_points("0,0\n1,1\n", METRIC))[1] == ("2", 1.0, 1.0, None)


def test_a_unit_and_an_order_in_the_head_are_kept():
    assert (read_points("E_ft\tN_ft\n10\t20\n", METRIC).unit, read_points("x (mm),y (mm)\n1,2\n", METRIC).unit) == (
        "ft",
        "mm",
    )
    assert read_points("x,y\n1,2\n", METRIC).order == "east"
    assert read_points("1,2\n3,4\n", METRIC).order is None


def test_the_us_survey_foot_is_the_published_one():
    # 1200/3937 m = 0.3048006096 m (National Institute of Standards and Technology, Special Publication 811, 2008, B.6).
    assert UNITS["us-ft"][1] == pytest.approx(0.3048006096, abs=5e-11)


def test_lengths_with_their_units_are_read_as_elsewhere():
    read = read_points("0' 0\",12' 6 1/2\"\n10,3'\n", FEET)
    assert read.unit == "m"
    assert rows(read)[0][2] == pytest.approx(12.5 * 0.3048 + 0.0127)
    assert rows(read)[1][1] == pytest.approx(3.048)


def test_degrees_are_told_by_their_head_their_letters_or_how_near_they_lie():
    assert read_points("lat,lon\n52.1,-1.2\n", METRIC).unit == "deg"
    read = read_points("52°06'12.3\"N,1°12'W\n52°06'13\"N,1°12'1\"W\n", METRIC)
    assert (read.unit, read.order) == ("deg", "north")
    assert rows(read)[0][1:3] == pytest.approx((52 + 6 / 60 + 12.3 / 3600, -1.2))
    assert read_points("52.1,-1.2\n52.1004,-1.2003\n", METRIC).degrees
    assert not read_points("52.1,-1.2\n62.1,4.2\n", METRIC).degrees


SQUARE = "[[[0,0],[18,0],[18,46],[0,46],[0,0]]]"


@pytest.mark.parametrize(
    "text",
    [
        f'{{"type":"Polygon","coordinates":{SQUARE}}}',
        f'{{"type":"Feature","properties":null,"geometry":{{"type":"Polygon","coordinates":{SQUARE}}}}}',
        "POLYGON ((0 0, 18 0, 18 46, 0 46, 0 0))",
        "SRID=25832;POLYGON((0 0,18 0,18 46,0 46,0 0));",
    ],
)
def test_outlines_of_open_standards_are_read(text):
    read = read_points(text, METRIC)
    assert (read.groups[0].shape, read.order, read.unit) == ("outline", "east", None)
    assert [r[1:3] for r in rows(read)] == [(0, 0), (18, 0), (18, 46), (0, 46), (0, 0)]


def test_a_collection_is_parted_and_its_single_points_lie_together():
    one = '{"type":"Feature","properties":{"name":"%s"},"geometry":{"type":"Point","coordinates":[%s,52.1,3]}}'
    ring = "[[[-1.2,52.1],[-1.1999,52.1],[-1.2,52.1001],[-1.2,52.1]]]"
    plot = f'{{"type":"Feature","properties":{{"name":"Plot"}},"geometry":{{"type":"Polygon","coordinates":{ring}}}}}'
    text = f'{{"type":"FeatureCollection","features":[{one % ("A", -1.2)},{plot},{one % ("B", -1.2001)}]}}'
    read = read_points(text, METRIC)
    assert [(g.words, len(g.points)) for g in read.groups] == [("Plot", 4), ("the points", 2)]
    assert read.unit == "deg"
    assert rows(read, 1)[0] == ("A", -1.2, 52.1, 3.0)


def test_what_a_hand_receiver_writes_is_read():
    gpx = '<gpx version="1.1"><wpt lat="52.1" lon="-1.2"><ele>31</ele><name>A &amp; B</name></wpt><wpt lon="-1" lat="52"/></gpx>'
    assert rows(read_points(gpx, METRIC)) == [("A & B", -1.2, 52.1, 31.0), ("2", -1.0, 52.0, None)]
    kml = "<kml><LinearRing><coordinates> -1.2,52.1,0 -1.1,52.1 </coordinates></LinearRing></kml>"
    assert rows(read_points(kml, METRIC)) == [("1", -1.2, 52.1, 0.0), ("2", -1.1, 52.1, None)]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "The file is empty."),
        ("nonsense", 'Line 1: "nonsense" is no point; expected two numbers'),
        ("x,y\n", "no line with a point follows"),
        ("x,y\n1,2\n\nq,3\n", 'Line 4: "q" in column 1 is no number; expected one such as 12.34.'),
        ("1,2\n3\n", "Line 2: there is no number in column 2 (1 piece on the line)"),
        ("name,east,colour\nA,1,red\n", "none is called as the one that runs north"),
        ("52°N,1°W\n52°N,1°1°W\n", 'Line 2: "1°1°W" is no longitude or latitude'),
        ('{"type": "Polygon", "coord', "Line 1: the JSON breaks off"),
        ('{"type":"Point","coordinates":["a",1]}', "no pair of numbers"),
        ('{"name":"x"}', "There is no GeoJSON shape"),
        ("POLYGON ((0 0, 18", "The WKT can't be read"),
        ("<html></html>", "neither GPX nor KML"),
        ("<gpx></gpx>", "no point in that GPX"),
        ("1,2\0", "That is no text."),
        ("1,2\n" * 5001, "at most 5,000"),
    ],
)
def test_what_cannot_be_read_says_where_and_what_was_expected(text, says):
    assert any(says in f for f in read_points(text, METRIC).faults)


def test_commas_that_may_be_decimal_marks_are_refused():
    assert "semicolons" in read_points("12,5,3,2\n1,0,2,0\n", COMMA).faults[0]


def test_many_bad_lines_are_told_in_few_words():
    assert read_points("x,y\n" + "a,b\n" * 40, METRIC).faults[-1] == "… and 28 more lines."


@given(st.text(max_size=120) | st.lists(st.sampled_from("0,;\t \n\"'°NE.x{}[]<>-"), max_size=60).map("".join))
def test_no_text_makes_it_fall(text):
    read = read_points(text, METRIC)
    assert read.faults or any(g.points for g in read.groups)


POINT = st.tuples(st.floats(-900, 900), st.floats(-900, 900)).map(lambda p: (round(p[0], 3), round(p[1], 3)))


@given(st.lists(POINT, min_size=2, max_size=12), st.sampled_from([",", ";", "\t"]), st.booleans())
def test_what_is_written_is_read_again(points, mark, headed):
    lines = [mark.join((f"P{i}", repr(x), repr(y))) for i, (x, y) in enumerate(points)]
    text = "\n".join([mark.join(("name", "x", "y"))] * headed + lines)
    assert [(p.first, p.second) for p in read_points(text, METRIC).groups[0].points] == points


@given(st.lists(POINT, min_size=1, max_size=8))
def test_geojson_and_wkt_agree(points):
    geo = '{"type":"LineString","coordinates":%s}' % [list(p) for p in [*points, (5.0, 6.0)]]
    wkt = f"LINESTRING ({', '.join(f'{x!r} {y!r}' for x, y in [*points, (5.0, 6.0)])})"
    assert rows(read_points(geo, METRIC)) == rows(read_points(wkt, METRIC))


# Corners in a ring.


def ring(*points: tuple[float, float], names: str = "ABCDEFGH"):
    return round_of(points, tuple(names[: len(points)]), METRIC)


def test_the_first_again_as_the_last_is_taken_quietly():
    got = ring((0, 0), (18, 0), (18, 46), (0, 46), (0, 0))
    assert (len(got.corners), got.said, got.faults) == (4, (), ())


def test_a_ring_that_does_not_quite_close_says_by_how_much():
    got = ring((0, 0), (18, 0), (18, 46), (0, 46), (0.03, 0.04))
    assert len(got.corners) == 4
    assert "within 0.050 m, one part in 2,559" in got.said[0]
    again = ring((0, 0), (18, 0), (18, 46), (0, 46), (0.3, 0.4), names="ABCDA")
    assert "within 0.500 m" in again.said[0]
    assert len(ring((0, 0), (18, 0), (18, 46), (0, 46), (0.3, 0.4)).corners) == 5


def test_sides_that_cross_are_named():
    got = ring((0, 0), (10, 10), (10, 0), (0, 10))
    assert got.faults[0].startswith("The side from A to B crosses the side from C to D.")
    back = ring((0, 0), (10, 0), (4, 0), (4, 8))
    assert back.faults[0].startswith("The side from A to B lies on the side from B to C.")
    touch = ring((0, 0), (10, 0), (10, 8), (5, 0), (0, 8))
    assert "lies on" in touch.faults[0]


def test_unlikely_rings_are_asked_about():
    assert "right unit" in ring((0, 0), (18000, 0), (18000, 46000)).faults[0]
    assert "right unit" in ring((0, 0), (0.3, 0), (0.3, 0.4)).faults[0]
    assert "three or more; 2 points came" in ring((0, 0), (18, 0)).faults[0]


@given(st.lists(st.integers(3, 60), min_size=3, max_size=16), st.integers(0, 15))
def test_a_ring_seen_from_within_never_crosses_and_keeps_its_corners(reaches, start):
    n = len(reaches)
    turn = [(r * math.cos(2 * math.pi * i / n), r * math.sin(2 * math.pi * i / n)) for i, r in enumerate(reaches)]
    points = turn[start % n :] + turn[: start % n]
    got = round_of([*points, points[0]], [str(i) for i in range(n + 1)], METRIC)
    assert got.faults == ()
    assert got.corners == tuple(points)


@given(st.permutations(range(6)))
def test_six_corners_in_any_order_cross_or_have_the_hexagon_s_area_or_less(order):
    from shapely import Polygon

    hexagon = [(20 * math.cos(k * math.pi / 3 + 0.1), 20 * math.sin(k * math.pi / 3 + 0.1)) for k in range(6)]
    points = [hexagon[k] for k in order]
    assert (crossing(points) is None) == Polygon(points).is_valid


def test_again_is_nearer_than_any_two_corners_of_a_fence():
    assert AGAIN_M <= 0.10


def test_corners_of_one_code_are_four_corners():
    """The last of them is no closing error: its name is that of them all."""
    ring = [(0.0, 0.0), (10.0, 0.0), (10.0, 8.0), (0.0, 8.0)]
    assert round_of(ring, ["BDY"] * 4, Style()).corners == tuple(ring)
    assert round_of(ring, ["A", "B", "C", "A"], Style()).corners == tuple(
        ring
    )  # one part in 4: another corner of that name
    again = round_of([*ring, (0.3, 0.2)], ["A", "B", "C", "D", "A"], Style())
    assert again.corners == tuple(ring)
    assert "one part in 99 of the way round" in again.said[0]


def test_a_place_of_a_kml_with_a_number_left_out_is_named_and_not_shifted():
    text = "<kml><Placemark><LineString><coordinates>1.5,,30 1.6,52.1,0 1.7,52.1,</coordinates></LineString></Placemark></kml>"
    brought = read_points(text, Style())
    assert [(p.first, p.second) for p in brought.groups[0].points] == [(1.6, 52.1), (1.7, 52.1)]
    assert brought.faults == ('"1.5,,30" in that KML is no place; expected longitude,latitude such as 1.5034,52.1021.',)
