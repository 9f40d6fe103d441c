"""The page for this weekend: the jobs of the month, where they go, what to buy and plant, what to take care of."""

from __future__ import annotations

import math
import re

import numpy as np
import pypdfium2 as pdfium
import pytest
import shapely

from quincunx.garden import garden_from
from quincunx.sheets import pages_of, pdf
from quincunx.sheets._outdoors import base_of
from tests.sheets.outdoors import SHED, cells, demo, job, pages, plot, said, set_for, tables


def test_kettle_hills_first_saturday_is_for_its_apples() -> None:
    (page,) = pages(demo("kettle-hill"), "saturday")
    text = said(page)
    assert (page.title, page.note) == ("This Saturday", "April 2027")
    assert "Plant the apples with guards" in text
    assert "5 apples, $210" in text
    assert "5 × apple, semi-vigorous (Malus domestica" in text
    points = tables(page)[0]["rows"]
    assert [cells(row)[2] for row in points] == ["Apple 1", "Apple 4", "Apple 2", "Apple 5", "Apple 3"]
    assert cells(points[0])[3] == "91' 1\" from G"
    assert "SE corner of Old painted barn" in text


def test_the_diagonals_have_room_for_what_was_built() -> None:
    (page,) = pages(demo("kettle-hill"), "saturday")
    table = tables(page)[1]
    assert table["head"][-2:] == ["as set out", "as built"]
    assert cells(table["rows"][0]) == ["", "1 to 3", "18' 0\"", '± 2 1/2"', "________", "________"]


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_it_is_one_page_two_at_most(name: str) -> None:
    doc = pdfium.PdfDocument(pdf(demo(name, noticed=True), ["saturday"]))
    assert 1 <= len(doc) <= 2
    doc.close()


def test_a_full_month_is_two_pages_at_most_and_names_the_rest() -> None:
    sheds = [{**SHED, "id": f"den-{n}", "name": f"Den {n}", "at": [3 + 3.5 * n, 5 + n]} for n in range(4)]
    costs = [{"words": f"Thing {n}", "sum": 1000 * n + 50} for n in range(6)]
    jobs = [job(f"den-{n}", id=f"work-{n}", costs=costs, tasks=[f"Step {k}" for k in range(6)]) for n in range(4)]
    of = set_for(plot(*sheds, jobs=jobs))
    _, page = pages(of, "saturday")
    assert "Also this month: Work-2, Work-3." in said(page)
    doc = pdfium.PdfDocument(pdf(of, ["saturday"]))
    assert len(doc) <= 3
    doc.close()


def test_steps_costs_and_hire_are_listed() -> None:
    costs = [
        {"words": "Boards", "sum": 12000, "quantity": 14, "unit": "m"},
        {"words": "Auger", "sum": 4050, "hired": True},
    ]
    of = set_for(plot(SHED, jobs=[job("den", costs=costs, tasks=["Dig", "Build"], hours=6)]))
    text = said(pages(of, "saturday"))
    assert "14 m Boards, €120" in text
    assert "Auger (hired or done for you), €40.50" in text
    assert (
        text.index("Tape every check")
        < text.index("Dig")
        < text.index("Build")
        < text.index("Write down what was built")
    )


def test_a_plan_that_was_never_measured_is_tried_first() -> None:
    of = set_for(plot(SHED, jobs=[job("den")]))
    text = said(pages(of, "saturday"))
    first = re.search(r"First tape (\w) to (\w): the plan says ([\d.]+) m\. The corners are taken as drawn", text)
    assert first is not None
    at = base_of(of).at
    assert float(first[3]) == pytest.approx(math.dist(at[first[1]], at[first[2]]), abs=0.001)
    assert "First tape" not in said(pages(demo("kettle-hill"), "saturday"))


def test_cautions_belong_to_the_job() -> None:
    line = {"kind": "buried-line", "id": "gas", "name": "Gas", "there_from": "start", "carries": "gas"}
    near, under = ({**line, "line": [[0, y], [20, y]]} for y in (8.5, 6))
    text = said(pages(set_for(plot(SHED, under, jobs=[job("den")]), noticed=True), "saturday"))
    assert text.count("located and marked") == 1
    assert "is dug within" in text
    text = said(pages(set_for(plot(SHED, near, jobs=[job("den")]), noticed=True), "saturday"))
    assert "have buried lines located and marked" in text
    assert "Drawn near: Gas (gas) about" in text
    assert "ladder" in text
    assert "Open water" not in text
    pond = {"kind": "pond", "id": "pool", "name": "Pool", "outline": [[2, 2], [5, 2], [5, 5], [2, 5]]}
    assert "Open water: a small child can drown" in said(pages(set_for(plot(pond, jobs=[job("pool")])), "saturday"))
    glass = {"kind": "greenhouse", "id": "house", "name": "House", "at": [8, 8]}
    assert "Glass: gloves" in said(pages(set_for(plot(glass, jobs=[job("house")])), "saturday"))
    bed = {"kind": "raised-bed", "id": "bed", "name": "Bed", "outline": [[2, 2], [4, 2], [4, 3], [2, 3]]}
    assert "Timber beside what you will eat" in said(pages(set_for(plot(bed, jobs=[job("bed")])), "saturday"))


def test_it_says_what_its_numbers_cover() -> None:
    text = said(pages(demo("ropewalk"), "saturday"))
    assert "your local code and a licensed person decide" in text


def test_with_nothing_to_do_it_is_left_out_unless_asked_for() -> None:
    of = set_for(
        plot(SHED, jobs=[job("den")], journal=[{"id": "e1", "day": "2027-04-20", "what": "done", "about": "work"}])
    )
    assert "This Saturday" not in {p.title for p in pages_of(of)}
    (page,) = pages(of, "saturday")
    assert "no job with a month" in said(page)
    assert pdf(of, ["saturday"]).startswith(b"%PDF")


HOUSE = {
    "kind": "house", "id": "house", "outline": [[4, 9], [12, 9], [12, 14], [4, 14]], "there_from": "start",
}  # fmt: skip


def test_ground_that_was_never_measured_is_pegged_and_taped_first() -> None:
    (page,) = pages(set_for(plot(HOUSE)), "saturday")
    assert (page.title, page.note) == ("This Saturday", "the ground")
    rows = [cells(row) for row in tables(page)[0]["rows"]]
    plan = {row[1]: row[2] for row in rows}
    # A 20 x 15 m ground: sides and both diagonals (a 3-4-5 triangle), then two tapes to each corner of the house.
    assert [plan[k] for k in ("A to B", "B to C", "C to D", "D to A")] == [
        "20.000 m",
        "15.000 m",
        "20.000 m",
        "15.000 m",
    ]
    assert plan["A to C"] == plan["B to D"] == "25.000 m"
    assert len(rows) == 6 + 2 * 4
    at = base_of(set_for(plot(HOUSE))).at
    for ends, far in plan.items():
        a, b = ends.split(" to ")
        assert float(far.removesuffix(" m")) == pytest.approx(math.dist(at[a], at[b]), abs=0.001)
    inside = shapely.Polygon(HOUSE["outline"]).buffer(-0.1)
    for ends in plan:
        a, b = ends.split(" to ")
        if b > "D":  # a corner of the house: no tape goes through the walls
            assert not shapely.LineString([at[a], at[b]]).intersects(inside)
    assert "locates buried lines" in said(page)


def test_no_tape_leads_over_a_neighbours_ground_or_through_a_house() -> None:
    """An L of 18 x 9 and 10 x 7 m: from beyond the inward corner the far corners are taped only on our own ground."""
    ell = [[0, 0], [18, 0], [18, 9], [10, 9], [10, 16], [0, 16]]
    house = {**HOUSE, "outline": [[2, 11], [6, 11], [6, 14], [2, 14]]}
    garden = garden_from({**plot(house).model_dump(mode="json"), "boundary": ell})
    (page,) = pages(set_for(garden), "saturday")
    rows = [cells(row) for row in tables(page)[0]["rows"]]
    told = {row[1] for row in rows if row[5] == "shows a side misread"}
    # B to E, C to E and C to F leave the ground; B to F (12.4 m up at x = 4) and D to F (13.2 m) meet the house.
    assert told == {"A to C", "A to D", "A to E", "B to D"}
    assert [r[1] for r in rows if "side, taped" in r[5]] == ["A to B", "B to C", "C to D", "D to E", "E to F", "F to A"]


def test_the_line_across_allows_what_the_other_tapes_leave() -> None:
    from quincunx.garden.starting import corners
    from quincunx.sheets._first_ground import _second_diagonal_sd
    from quincunx.survey.accuracy import tape_sd_m

    rng = np.random.default_rng(11)
    lengths = np.array([14.2, 22.0, 13.9, 21.4, 26.1])
    sds = np.array([tape_sd_m(x) for x in lengths])

    def other(given: np.ndarray) -> float:
        ring = corners(given[:4].tolist(), float(given[4]))
        return math.dist(ring[1], ring[3])

    here = other(lengths)
    read = [other(lengths + rng.normal(0, sds)) + rng.normal(0, tape_sd_m(here)) for _ in range(4000)]
    ring = corners(lengths[:4].tolist(), float(lengths[4]))
    assert _second_diagonal_sd(ring, sds.tolist()) == pytest.approx(
        float(np.std(read)), rel=0.05
    )  # Monte Carlo, 1.1 % at one sd


def test_measured_ground_and_begun_works_need_no_first_taping() -> None:
    assert all(p.note != "the ground" for p in pages(demo("kettle-hill"), "saturday"))
    begun = plot(
        HOUSE, SHED, jobs=[job("den")], journal=[{"id": "e1", "day": "2027-04-20", "what": "done", "about": "work"}]
    )
    assert all(p.note != "the ground" for p in pages(set_for(begun), "saturday"))


def sheets_of(name: str, job_id: str) -> int:
    from quincunx.sheets.book import bind
    from quincunx.sheets.saturday import page_of

    of = demo(name, noticed=True)
    one = next(j for j in of.garden.jobs if j.id == job_id)
    page = page_of(of, str(one.start), [one])
    return len(pdfium.PdfDocument(bind([page], of.garden.name, of.garden.style, "")))


@pytest.mark.parametrize(
    ("name", "job_id"),
    [
        ("kettle-hill", "deer-fence-job"),
        ("kettle-hill", "orchard-hedge-job"),
        ("ropewalk", "plant-room-hedges"),
        ("ropewalk", "arch-and-gates"),
    ],
)
def test_a_job_with_a_short_list_has_it_beside_the_tapes_on_one_sheet(name: str, job_id: str) -> None:
    assert sheets_of(name, job_id) == 1


def test_a_hedge_with_an_opening_says_on_the_page_from_where_to_where_it_is_planted() -> None:
    hedge = {"kind": "hedge", "id": "green", "name": "Green", "line": [[2, 5], [12, 5]], "spacing": 0.5}
    gap = {"kind": "gap", "id": "way", "name": "Way", "at": [6, 5], "width": 1.0}
    told = said(pages(set_for(plot(hedge, gap, jobs=[job("green", "way")])), "saturday")).replace("\xa0", " ")
    # The gap takes 3.5 to 4.5 m; half a spacing beside it are 3.25 and 4.75 m, the first plant is at 0.25 m.
    assert (
        "7 from 0.000 m to 3.000 m, 11 from 4.500 m to 9.500 m. None between 3.250 m and 4.250 m: Way is there." in told
    )
    whole = said(pages(set_for(plot(hedge, jobs=[job("green")])), "saturday"))
    assert "apart along" not in whole


def test_the_letter_of_a_stake_at_the_edge_of_a_drawing_is_not_cut() -> None:
    from quincunx.shapes import TextFigure
    from quincunx.sheets._place import stake_mark, view
    from quincunx.sheets.svg import Look

    of = set_for(plot(SHED, jobs=[job("den")]))
    drawing, scale = view(of, [(0.0, 0.0), (4.0, 4.0)], [], (60.0, 60.0), stakes={"G": (2.0, 4.9)})
    look = Look(scale.number, of.garden.style, thin=0.8)
    (alone,) = (f for f in stake_mark((2.0, 4.9), "G", look) if isinstance(f, TextFigure))
    (y,) = (float(m) for m in re.findall(r'y="([-\d.]+)"[^>]*>G<', str(drawing["svg"])))
    high = float(drawing["h"]) * scale.number / 1000
    assert 0 < y < high
    assert alone.at[1] > 4.9


def test_a_corner_that_comes_between_leaves_the_others_their_letters() -> None:
    from quincunx.garden.starting import Answers, begin
    from quincunx.sheets._first_ground import first_tapes

    begun = begin(Answers.model_validate({"sides": [20, 15, 20, 15], "diagonal": 25}))
    base, tapes = first_tapes(set_for(begun)) or (None, [])
    assert [t.start + t.end for t in tapes[:4]] == ["AB", "BC", "CD", "DA"]
    a, b, *rest = [[float(x), float(y)] for x, y in begun.boundary]
    more = [a, [(a[0] + b[0]) / 2, (a[1] + b[1]) / 2 - 2], b, *rest]
    bent = garden_from({**begun.model_dump(mode="json"), "boundary": more})
    base, tapes = first_tapes(set_for(bent)) or (None, [])
    assert [t.start + t.end for t in tapes[:5]] == ["AE", "EB", "BC", "CD", "DA"]
    assert base is not None
    assert base.at["C"] == pytest.approx((20, 15), abs=0.001)


def test_a_corner_on_a_straight_side_is_none_to_peg() -> None:
    from quincunx.sheets._first_ground import first_tapes

    ring = [[0, 0], [10, 0], [20, 0], [20, 15], [0, 15]]
    garden = garden_from({**plot(HOUSE).model_dump(mode="json"), "boundary": ring})
    _, tapes = first_tapes(set_for(garden)) or (None, [])
    assert [t.start + t.end for t in tapes if t.what.startswith("a side")] == ["AB", "BC", "CD", "DA"]


def test_a_house_in_a_corner_is_not_tied_by_tapes_of_no_length_or_along_one_line():
    from quincunx.garden.starting import Answers, begin
    from quincunx.sheets._first_ground import first_tapes

    house = {"width": "8.00", "depth": "5.00", "side": 1, "along": "0", "set_back": "0"}
    begun = begin(
        Answers.model_validate({"sides": ["12.00", "20.00", "12.00", "20.00"], "diagonal": "23.32", "house": house})
    )
    base, tapes = first_tapes(set_for(begun)) or (None, [])
    assert base is not None
    assert base.about["A"] == "SW corner of the boundary, and SW corner of House"  # one peg, one letter
    assert len(base.controls) == 7
    ties = [t for t in tapes if t.what == "places what is built"]
    assert ties
    assert min(t.metres for t in ties) > 1
    across = {t.start + t.end: t.what for t in tapes if t.what.startswith(("fixes", "shows"))}
    assert across == {"AC": "fixes the shape, past what stands on the line", "BD": "shows a side misread"}


def test_a_side_may_differ_by_what_the_length_that_began_it_leaves() -> None:
    from quincunx.garden.starting import Answers, begin
    from quincunx.sheets._first_ground import SURE, first_tapes
    from quincunx.survey.accuracy import begun_sd_m, tape_sd_m

    rough = begin(Answers.model_validate({"sides": ["20", "15.00", "20", "15.00"], "diagonal": "25.00"}))
    _, tapes = first_tapes(set_for(rough)) or (None, [])
    within = {t.start + t.end: t.within_m for t in tapes}
    assert within["AB"] == pytest.approx(SURE * math.hypot(begun_sd_m(20, 1.0), tape_sd_m(20)), abs=0.002)
    assert within["BC"] < 0.1 < within["AB"]
    assert within["BD"] > 0.5  # two sides known to the metre leave the line across no surer


def test_three_corners_have_no_line_across_so_a_third_tape_to_the_house_shows_a_slip() -> None:
    from quincunx.garden.starting import Answers, begin
    from quincunx.sheets._first_ground import first_ground, first_tapes, what_to_tape

    house = {"width": 8, "depth": 5, "side": 1, "along": 10, "set_back": 4}
    taped = {"sides": [31.4, 42.15, 36.8], "first_year": 2027, "sum_a_year": 120000}
    of = set_for(begin(Answers.model_validate({**taped, "house": house})))
    _, tapes = first_tapes(of) or (None, [])
    assert [t.what for t in tapes].count("a side, taped once more") == 3
    (third,) = [t for t in tapes if t.what == "shows a side misread"]
    assert {t.end for t in tapes if t.start in "ABC"} >= {third.end}
    assert sum(t.end == third.end for t in tapes) == 3
    assert "the third tape to one corner of what is built" in first_ground(of)[1]["s"]
    assert what_to_tape(of, tapes) == "a tape along each side and to what is built"
    alone = set_for(begin(Answers.model_validate(taped)))
    assert "somewhere near the middle" in first_ground(alone)[1]["s"]
    assert what_to_tape(alone, (first_tapes(alone) or (None, []))[1]) == "a tape along each side"


def test_whoever_helps_is_told_on_paper_what_the_work_is_and_what_to_bring() -> None:
    from quincunx.sheets.saturday import page_of

    of = demo("ropewalk", noticed=True)
    fence = next(j for j in of.garden.jobs if j.id == "deer-fence-job")
    assert not fence.tasks
    helping, own = (said(page_of(of, str(fence.start), [fence], money=money)) for money in (False, True))
    for words in ("Bring: ", "spade", "spirit level", "Dig and concrete in a post: 12", "Hang and strain mesh or wire"):
        assert words in helping
    assert helping.index("Measure and saw a piece") < helping.index("Dig and concrete in a post"), (
        "posts are sawn first"
    )
    assert "Bring: " not in own
    assert "£" not in helping
