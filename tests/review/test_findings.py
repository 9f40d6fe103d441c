"""What Quincunx notices unasked: each check can find its fault, and keeps quiet where there is none."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import apply, garden_from, timeline
from quincunx.review import CHECKS, notice, review
from quincunx.review._roots import reach_m
from quincunx.review._twice_paid import twice_paid
from quincunx.review._view import View
from quincunx.review.read import words_for
from quincunx.shapes import Finding, Severity
from quincunx.units.dates import month_index

PLACE = {"place": {"name": "Ropewalk", "latitude_deg": 52.1, "longitude_deg": -1.4}}
BOUNDARY = [[0, 0], [20, 0], [20, 20], [0, 20]]
WALL = {"kind": "wall", "id": "wall", "line": [[2, 2], [12, 2]], "there_from": "start"}
GATE = {"kind": "gate", "id": "gate", "at": [5, 2], "there_from": "start"}


def found(**more: Any) -> dict[str, Finding]:
    data: dict[str, Any] = {"format": "quincunx/1", "site": PLACE, "boundary": BOUNDARY, "means": {"years": 4}, **more}
    garden = garden_from(data)
    through = timeline(garden)
    return {f.id: f for f in notice(View(garden, through, words_for(garden, through)))}


def test_an_old_house_along_the_boundary_is_not_to_be_moved_for_its_eaves() -> None:
    """Its gable wall stands on the line from 4 to 8 m, so that its eaves hang over by their whole width."""
    house = {"kind": "house", "id": "house", "outline": [[4, 0], [8, 0], [8, 16], [4, 16]], "there_from": "start"}
    told = found(features=[house])["over-boundary-house"]
    assert told.severity is Severity.HINT
    assert "Nothing is to be moved" in told.remedy
    slip = found(features=[{**house, "outline": [[4, -8], [8, -8], [8, 8], [4, 8]]}])["over-boundary-house"]
    assert slip.severity is Severity.CARE


@pytest.mark.parametrize(("latitude", "month", "asked"), [(52.1, "2027-12", "January"), (-35.0, "2027-06", "July")])
def test_how_cold_the_winters_are_is_asked_about_the_coldest_month_of_either_half(latitude, month, asked) -> None:
    tree = {"kind": "tree", "id": "tree", "at": [8, 8], "plant": "malus-domestica-m-26-rootstock", "there_from": month}
    site = {"place": {"name": "Somewhere", "latitude_deg": latitude, "longitude_deg": 0.0}}
    told = found(site=site, features=[tree])["winter-unknown"]
    assert told.remedy.endswith(f"whether the ground is open in {asked}.")


GARAGE = {"kind": "house", "id": "garage", "name": "Garage", "outline": [[4, 4], [10, 4], [10, 10], [4, 10]],
          "roof": "flat", "eaves_height": 2.6, "ridge_height": 2.6, "there_from": "start"}  # fmt: skip


def test_what_is_drawn_over_a_garage_is_told_to_be_reckoned_for_the_ground_only() -> None:
    deck = {"kind": "deck", "id": "deck", "outline": [[5, 5], [9, 5], [9, 9], [5, 9]], "there_from": "2028-03"}
    shelter = {"kind": "roofed-shelter", "id": "shelter", "at": [7, 7], "width": 2, "depth": 2, "there_from": "2029-03"}
    pond = {"kind": "pond", "id": "pool", "outline": [[5, 5], [7, 5], [7, 7], [5, 7]], "there_from": "2028-03"}
    tree = {
        "kind": "tree",
        "id": "tree",
        "at": [9, 9],
        "plant": "malus-domestica-m-26-rootstock",
        "there_from": "2028-03",
    }
    told = found(features=[GARAGE, deck, shelter, pond, tree])
    one = told["on-building-garage"]
    assert one.severity is Severity.DANGER
    assert one.year == 2028
    assert one.words == "Deck, pond pool and tree lie over Garage from 2028, roofed shelter shelter from 2029."
    assert "no footing, post or hole" in one.remedy
    assert "structural engineer" in one.remedy
    assert not [name for name in told if name.startswith("clash-") and "garage" in name], "told once"


def test_a_low_deck_on_many_pads_is_told_what_a_higher_one_would_take() -> None:
    deck = {"kind": "deck", "id": "deck", "outline": [[5, 5], [9, 5], [9, 8], [5, 8]], "floor_height": 0.2}
    job = {"id": "build", "name": "Build the deck", "does": ["deck"], "start": "2028-03", "hours": 10}
    one = found(features=[deck], jobs=[job])["many-pads-deck"]
    # 4 x 3 m: 11 joists of 3 m on pads at most 1.2 m apart are 44; 3 beams of 3.9 m on posts at most 1.5 m apart are 12.
    assert "it takes 44 pads and" in one.words
    assert "“Boards above the ground at its middle” at 0.37 m or more it would stand on 12, with" in one.words
    assert one.severity is Severity.HINT
    assert "licensed person" in one.remedy
    high = {**deck, "floor_height": 0.37}
    assert "many-pads-deck" not in found(features=[high], jobs=[job])
    assert "many-pads-deck" not in found(features=[{**deck, "there_from": "start"}])


def test_what_stands_beside_a_building_or_in_a_greenhouse_is_not_on_a_roof() -> None:
    bed = {
        "kind": "raised-bed",
        "id": "bed",
        "outline": [[5, 10.2], [9, 10.2], [9, 11.2], [5, 11.2]],
        "there_from": "2028-03",
    }
    lawn = {"kind": "lawn", "id": "lawn", "outline": [[0, 0], [20, 0], [20, 20], [0, 20]], "there_from": "2028-03"}
    glass = {"kind": "greenhouse", "id": "glass", "at": [15, 15], "width": 3, "depth": 4, "there_from": "2028-03"}
    within = {
        "kind": "raised-bed",
        "id": "inside",
        "outline": [[14.5, 14], [15.5, 14], [15.5, 16], [14.5, 16]],
        "there_from": "2028-03",
    }
    there = {"kind": "garden-table", "id": "table", "at": [6, 6], "there_from": "start"}
    told = found(features=[GARAGE, bed, lawn, glass, within, there])
    assert not [name for name in told if name.startswith("on-building")]


def test_a_sound_garden_is_left_in_peace() -> None:
    assert found(features=[WALL, GATE]) == {}


def test_a_gate_one_gets_round_is_told_with_where_and_how_far() -> None:
    past = found(features=[WALL, {**GATE, "at": [11.9, 2], "width": 1.0}])["gate-past-an-end-gate"]
    assert past.severity is Severity.CARE
    assert past.at == (12.4, 2.0)
    assert "the nearest thing is 1.00 m off in 2027" in past.words, "the wall ends at 11.4 where the gate cuts it"


@pytest.mark.parametrize(
    "beside",
    [
        {"kind": "wall", "id": "side", "line": [[12.5, 0], [12.5, 8]], "there_from": "start"},
        {"kind": "house", "id": "side", "outline": [[12.5, 0], [16, 0], [16, 8], [12.5, 8]], "there_from": "start"},
    ],
)
def test_a_gate_between_a_wall_and_what_stands_beside_it_is_none_of_them(beside: dict[str, Any]) -> None:
    told = found(features=[WALL, {**GATE, "at": [11.9, 2], "width": 1.0}, beside])
    assert not [name for name in told if name.startswith("gate-past-an-end")]


def test_no_gate_of_the_demonstration_gardens_stands_past_an_end() -> None:
    for name in ("ropewalk", "kettle-hill"):
        garden = demo_garden(name)
        through = timeline(garden)
        view = View(garden, through, words_for(garden, through))
        assert not [f.id for f in notice(view) if f.id.startswith("gate-past-an-end")]


@pytest.mark.parametrize(
    ("more", "name", "severity"),
    [
        ({"boundary": []}, "no-boundary", Severity.HINT),
        ({"site": {}}, "no-place", Severity.HINT),
        ({"features": [{**GATE, "at": [5, 9]}]}, "opening-in-no-wall-gate", Severity.FAULT),
        ({"features": [{**WALL, "there_from": None}]}, "never-made-wall", Severity.FAULT),
        ({"features": [{**WALL, "line": [[15, 5], [25, 5]]}]}, "over-boundary-wall", Severity.CARE),
        (
            {"features": [WALL, {**WALL, "id": "other", "line": [[3, 2.05], [9, 2.05]]}]},
            "clash-other-wall",
            Severity.FAULT,
        ),
        ({"rooms": [{"id": "green", "inside": [5, 2]}], "features": [WALL]}, "room-point-green", Severity.FAULT),
        ({"rooms": [{"id": "green", "inside": [50, 2]}]}, "room-point-green", Severity.FAULT),
        (
            {
                "features": [
                    {"kind": "pond", "id": "pool", "outline": [[5, 5], [9, 5], [9, 9], [5, 9]], "there_from": "start"}
                ]
            },
            "water-pool",
            Severity.DANGER,
        ),
        ({"jobs": [{"id": "later", "name": "Later"}]}, "no-month-later", Severity.HINT),
        (
            {"jobs": [{"id": "dig", "name": "Dig", "start": "2027-12", "window": [4, 5]}]},
            "out-of-window-dig",
            Severity.FAULT,
        ),
        (
            {
                "jobs": [
                    {"id": "first", "name": "First", "start": "2028-04"},
                    {
                        "id": "second",
                        "name": "Second",
                        "start": "2028-05",
                        "after": [{"job": "first", "wait_months": 3}],
                    },
                ]
            },
            "too-early-second-first",
            Severity.FAULT,
        ),
        (
            {"jobs": [{"id": i, "name": i, "start": f"2028-0{n}", "large": True} for n, i in enumerate("abc", 4)]},
            "too-many-large-2028",
            Severity.CARE,
        ),
    ],
)
def test_each_fault_is_noticed_with_a_remedy_and_a_source(more: dict[str, Any], name: str, severity: Severity) -> None:
    noticed = found(**more)
    assert name in noticed, list(noticed)
    finding = noticed[name]
    assert finding.severity is severity
    assert finding.words.endswith(".")
    assert finding.remedy.endswith(".")
    assert len(finding.source) > 10


PERGOLA = {"kind": "pergola", "id": "slats", "name": "Vine court", "line": [[4, 5], [8, 5]]}
VINE = {
    "kind": "climber",
    "id": "vine",
    "name": "Vine",
    "line": [[4, 5], [8, 5]],
    "where": "over slats",
    "support": "slats",
}
SUM = [{"words": "All of it", "sum": 5000}]


@pytest.mark.parametrize(
    ("slats", "vine", "words"),
    [
        ("2030-01", "2027-03", "Vine is there from April 2027 on, but Vine court, which it is to grow on, stands only from February 2030 on."),
        (None, "2027-03", "Vine is there from April 2027 on, but Vine court, which it is to grow on, stands in no year of the plan yet."),
        ("2027-03", "2027-03", None),
        ("2027-01", "2028-03", None),
    ],
)  # fmt: skip
def test_a_climber_wants_something_to_climb_when_it_is_planted(slats, vine, words) -> None:
    jobs = [
        {"id": "build", "name": "Build", "does": ["slats"], "start": slats, "costs": SUM},
        {"id": "plant", "name": "Plant", "does": ["vine"], "start": vine, "costs": SUM},
    ]
    told = found(features=[PERGOLA, VINE], jobs=jobs).get("nothing-to-climb-vine")
    assert (told and told.words) == words
    assert "nothing-to-climb-vine" not in found(features=[{**PERGOLA, "there_from": "start"}, VINE], jobs=jobs[1:])


def test_a_month_with_too_few_hours_is_told_once_a_year_and_the_worst_one() -> None:
    def job(name: str, start: str, hours: float, months: int = 1) -> dict[str, Any]:
        return {"id": name.lower(), "name": name, "start": start, "hours": hours, "months": months, "costs": SUM}

    def short(*jobs: dict[str, Any], **means: Any) -> dict[str, Finding]:
        given = {"first_year": 2027, "years": 4, "hours_by_month": [8] * 12, "upkeep_by_month": [1] * 12, **means}
        return {k: f for k, f in found(jobs=list(jobs), means=given).items() if k.startswith("short-month")}

    (one,) = short(job("Slats", "2027-03", 21)).values()
    assert one.words == "March 2027 has 7 h for works, but “Slats” takes 21 h in it."
    assert one.remedy.startswith("Let it take more than 1 month")
    assert one.about == ("slats",)
    assert short(job("Slats", "2027-03", 21, months=3)) == {}
    assert short(job("Slats", "2027-03", 21), hours_by_month=[0] * 12) == {}
    (both,) = short(job("A", "2027-05", 6), job("B", "2027-05", 5), job("C", "2027-08", 8)).values()
    assert both.words == "May 2027 has 7 h for works, but “A” and “B” take 11 h in it."
    assert len(short(job("A", "2027-05", 9), job("B", "2028-05", 9))) == 2


def test_a_short_month_gone_by_is_told_no_more_and_what_was_worked_in_the_month_counts() -> None:
    """Read in May: March, the worst, can't be mended. Of May's 7 h six were worked, and four more are planned for it."""
    jobs = [
        {"id": i, "name": i.capitalize(), "start": start, "hours": hours, "costs": SUM}
        for i, start, hours in (("slats", "2027-03", 21), ("edge", "2027-05", 4), ("bed", "2027-05", 6))
    ]
    garden = garden_from({
        "format": "quincunx/1", "site": PLACE, "boundary": BOUNDARY, "jobs": jobs,
        "journal": [{"id": "e", "day": "2027-05-02", "about": "bed", "what": "done", "hours": 6}],
        "means": {"first_year": 2027, "years": 4, "hours_by_month": [8] * 12, "upkeep_by_month": [1] * 12},
    })  # fmt: skip

    def short(now: str | None) -> list[str]:
        at = garden if now is None else garden.model_copy(update={"means": garden.means.read_in(month_index(now))})
        through = timeline(at)
        told = notice(View(at, through, words_for(at, through)))
        return [f.words for f in told if f.id.startswith("short-month")]

    assert short(None) == ["March 2027 has 7 h for works, but “Slats” takes 21 h in it."]
    assert short("2027-05") == ["May 2027 has 7 h for works, but “Edge” and “Bed” take 10 h in it."]
    assert short("2027-06") == []


def test_what_nobody_has_put_a_cost_to_is_told_and_not_passed_over_as_nothing() -> None:
    def job(i: int, **more: Any) -> dict[str, Any]:
        return {"id": f"job-{i}", "name": f"Job {i}", "does": [f"wall-{i}"], "start": "2028-04", **more}

    walls = [{"kind": "wall", "id": f"wall-{i}", "line": [[2, 2 + i], [9, 2 + i]]} for i in range(6)]
    one = found(features=walls[:2], jobs=[job(0), job(1, costs=SUM)])["no-cost"]
    assert one.words.startswith("Nothing is written yet of what “Job 0” costs: it counts as nothing")
    assert one.severity is Severity.CARE
    free = [{"words": "Bricks from next door", "sum": 0}]
    assert "no-cost" not in found(features=walls[:2], jobs=[job(0, costs=free), job(1, costs=SUM)])
    done = [{"id": "e", "day": "2028-04-30", "about": "job-0", "what": "done"}]
    assert "no-cost" not in found(features=walls[:1], jobs=[job(0)], journal=done)
    many = found(features=walls, jobs=[job(i) for i in range(6)])["no-cost"]
    assert "“Job 3” and 2 more cost: they count" in many.words


def test_a_room_left_behind_in_water_is_told_with_how_to_move_its_point() -> None:
    pool = {"kind": "pond", "id": "pool", "name": "Pool", "outline": [[5, 5], [9, 5], [9, 9], [5, 9]]}
    rooms = [{"id": "hens", "name": "Hen run", "inside": [7, 7]}, {"id": "green", "name": "Green", "inside": [15, 15]}]
    noticed = found(rooms=rooms, features=[{**pool, "there_from": "start"}])
    assert "room-point-green" not in noticed
    told = noticed["room-point-hens"]
    assert told.words == "The point inside Hen run lies in Pool."
    assert "“What is there” open Hen run, press “Move it”" in told.remedy
    # Before the pool is dug its ground is open.
    assert "room-point-hens" not in found(rooms=rooms, features=[pool])


def test_digging_near_a_line_is_a_danger_with_the_usual_caution() -> None:
    noticed = found(
        features=[
            {"kind": "buried-line", "id": "gas", "line": [[0, 5], [20, 5]], "carries": "gas", "there_from": "start"},
            {"kind": "paving", "id": "court", "outline": [[4, 5.4], [9, 5.4], [9, 9], [4, 9]]},
            {"kind": "paving", "id": "far", "outline": [[4, 12], [9, 12], [9, 15], [4, 15]]},
        ],
        jobs=[{"id": "lay", "name": "Lay", "does": ["court", "far"], "start": "2028-04"}],
    )
    danger = noticed["dig-near-court-gas"]
    assert danger.year == 2028
    assert danger.severity is Severity.DANGER
    assert "located and marked" in danger.remedy
    assert "dig-near-far-gas" not in noticed


def test_digging_near_a_line_is_told_too_where_a_month_and_no_job_says_when() -> None:
    gas = {"kind": "buried-line", "id": "gas", "line": [[0, 5], [20, 5]], "carries": "gas", "there_from": "start"}
    way = {"kind": "path", "id": "way", "line": [[3, 0], [3, 18]], "width": 3.5, "there_from": "2028-03"}
    assert found(features=[gas, way])["dig-near-way-gas"].year == 2028
    # What is there already is dug no more.
    assert "dig-near-way-gas" not in found(features=[gas, {**way, "there_from": "start"}])


OAK = {"kind": "tree", "id": "oak", "name": "The old oak", "plant": "quercus-robur", "at": [3, 14], "stem": 0.75,
       "there_from": "start", "age_at_start": 120, "start_height": 14.6, "start_spread": 12}  # fmt: skip


@pytest.mark.parametrize(
    ("stem_m", "reach"),
    # BS 5837:2012, annex D, table D.1: stem 75 mm 0.90 m; 500 mm 6.00 m; 750 mm 9.00 m; 1,000 mm 12.00 m; 1,250 mm and
    # more 15.00 m (an area of 707 m2 at most).
    [(0.075, 0.9), (0.5, 6.0), (0.75, 9.0), (1.0, 12.0), (1.25, 15.0), (1.6, 15.0)],
)
def test_roots_are_kept_as_far_as_the_table_for_builders_says(stem_m, reach) -> None:
    assert reach_m(stem_m) == pytest.approx(reach)
    assert round(math.pi * reach_m(2.0) ** 2) == 707


def test_what_is_dug_or_heaped_among_the_roots_of_an_old_tree_is_told_once_for_the_tree() -> None:
    way = {"kind": "path", "id": "way", "name": "Builders' way", "line": [[3, 0], [3, 8]], "width": 3.5, "there_from": "2027-03",
           "there_until": "2028-11"}  # fmt: skip
    heap = {
        "kind": "material-heap",
        "id": "heap",
        "at": [6, 16],
        "width": 4,
        "depth": 3,
        "height": 1.5,
        "there_from": "2027-03",
    }
    far = {"kind": "paving", "id": "far", "outline": [[14, 1], [18, 1], [18, 4], [14, 4]], "there_from": "2029-03"}
    noticed = found(features=[OAK, way, heap, far])
    told = noticed["among-roots-oak"]
    # As in the table: 9.00 m; by its first summer the stem has grown by a hundredth.
    assert re.fullmatch(
        r"The material heap heap and Builders' way are dug in or lie among the roots of The old oak, within 9\.[01]\d m of its stem\.",
        told.words,
    ), told.words
    assert (told.year, told.severity, told.about) == (2027, Severity.CARE, ("oak", "heap", "way"))
    assert "arborist" in told.remedy
    assert "neighbour's tree" in told.remedy
    # A young tree, and what stood there before anybody planned, ask for nothing.
    assert "among-roots-oak" not in found(features=[{**OAK, "there_from": "2027-02"}, way, heap])
    assert "among-roots-oak" not in found(features=[OAK, {**way, "there_from": "start"}, far])


@pytest.mark.parametrize(("felled", "told"), [("2027-02", False), ("2028-02", False), ("2029-11", True)])
def test_a_tree_felled_before_the_digging_has_no_roots_to_keep(felled: str, told: bool) -> None:
    court = {"kind": "paving", "id": "court", "name": "Court", "outline": [[2, 3], [6, 3], [6, 6], [2, 6]]}
    jobs = [
        {"id": "fell", "name": "Fell it", "takes_away": ["oak"], "start": felled},
        {"id": "lay", "name": "Lay the court", "does": ["court"], "start": "2029-03"},
    ]
    assert ("among-roots-oak" in found(features=[OAK, court], jobs=jobs)) == told


@pytest.mark.parametrize("latitude", [52.0, -41.0])
@pytest.mark.parametrize(
    ("felled", "told"), [("2027-03", False), ("2027-05", True), ("2028-01", True), ("2028-06", True)]
)
def test_a_tree_felled_between_the_digging_and_the_next_summers_end_had_roots(
    felled: str, told: bool, latitude: float
) -> None:
    """The end of a southern summer is February: what is felled between the digging and then was among the diggers' roots."""
    court = {"kind": "paving", "id": "court", "name": "Court", "outline": [[2, 3], [6, 3], [6, 6], [2, 6]]}
    jobs = [
        {"id": "fell", "name": "Fell it", "takes_away": ["oak"], "start": felled},
        {"id": "lay", "name": "Lay the court", "does": ["court"], "start": "2027-03"},
    ]
    site = {"place": {"latitude_deg": latitude, "longitude_deg": 0.0}}
    assert ("among-roots-oak" in found(features=[OAK, court], jobs=jobs, site=site)) == told


def test_the_way_back_of_a_closed_wall_is_dug_too() -> None:
    noticed = found(
        features=[
            {"kind": "buried-line", "id": "gas", "line": [[4, 7], [1, 7]], "carries": "gas", "there_from": "start"},
            {"kind": "wall", "id": "ring", "line": [[4, 5], [9, 5], [9, 9], [4, 9]], "closed": True},
        ],
        jobs=[{"id": "lay", "name": "Lay", "does": ["ring"], "start": "2028-04"}],
    )
    assert noticed["dig-near-ring-gas"].severity is Severity.DANGER


def test_water_carries_its_caution_and_never_promises_safety() -> None:
    pool = {
        "kind": "pond",
        "id": "pool",
        "outline": [[5, 5], [9, 5], [9, 9], [5, 9]],
        "depth": 1.0,
        "there_from": "start",
    }
    finding = found(features=[pool])["water-pool"]
    assert "no barrier replaces watching" in finding.remedy
    assert "toddler safe" not in finding.words.lower()


@pytest.mark.parametrize("latitude", [52.1, -33.5])
def test_water_made_after_the_last_summer_carries_its_caution_too(latitude: float) -> None:
    """In the north a year is judged in August, in the south in February: October comes after both."""
    pool = {"kind": "pond", "id": "pool", "outline": [[5, 5], [9, 5], [9, 9], [5, 9]]}
    work = {"id": "dig", "name": "Dig it", "does": ["pool"], "start": "2028-10"}
    site = {"place": {"name": "Low", "latitude_deg": latitude, "longitude_deg": -1.4}}
    told = found(site=site, features=[pool], jobs=[work], means={"first_year": 2027, "years": 2})["water-pool"]
    assert told.year == 2028
    assert " m of water from November 2028. Small children drown" in told.words


HELD = {
    "kind": "held",
    "id": "seat-place",
    "outline": [[4, 4], [7, 4], [7, 7], [4, 7]],
    "greatest_height": 2.0,
    "decide_by": "2030-10",
    "shortlist": [
        {"id": "low", "words": "a low wall", "feature": {"kind": "wall", "line": [[4.5, 5], [6.5, 5]], "height": 0.6}}
    ],
}


def test_a_held_place_says_when_to_choose_and_what_does_not_fit() -> None:
    jobs = [{"id": "build", "name": "Build", "does": ["seat-place"], "start": "2029-04"}]
    assert "undecided-seat-place" in found(features=[HELD], jobs=jobs)
    assert "undecided-seat-place" not in found(features=[{**HELD, "chosen": "low"}], jobs=jobs)
    wide = {"id": "wide", "words": "a long wall", "feature": {"kind": "wall", "line": [[2, 5], [9, 5]], "height": 2.4}}
    noticed = found(features=[{**HELD, "shortlist": [wide]}], jobs=jobs)
    assert noticed["held-too-small-seat-place-wide"].words == "A long wall doesn't fit inside held place seat-place."
    assert "kept clear to 2.00 m" in noticed["held-too-low-seat-place-wide"].words


def test_one_receipt_entered_from_two_phones_is_told_and_both_sums_count() -> None:
    jobs = [{"id": n, "name": n.capitalize(), "costs": [{"words": "x", "sum": 5000}]} for n in ("shed", "path")]
    paid = {"day": "2027-05-02", "what": "spent", "about": "shed", "sum": 4250}
    lines = [
        {**paid, "id": "a", "by": "Ann"}, {**paid, "id": "b", "by": "Ben"},
        {**paid, "id": "c", "about": "path"}, {**paid, "id": "d", "day": "2027-05-03"}, {**paid, "id": "e", "sum": 4251},
    ]  # fmt: skip
    noticed = found(jobs=jobs, journal=lines, writing={"currency": "EUR"})
    (told,) = [f for id_, f in noticed.items() if id_.startswith("twice-")]
    assert told.severity is Severity.CARE
    assert told.about == ("shed",)
    assert told.words == "€42.50 of 2 May 2027 stands twice for “Shed”, entered by Ann and Ben; all of it counts."
    assert not [id_ for id_ in found(jobs=jobs, journal=lines[1:]) if id_.startswith("twice-")]


def test_counting_one_receipt_once_takes_out_no_line_that_says_more_than_its_sum() -> None:
    paid = {"day": "2027-05-02", "about": "shed", "sum": 4250}
    lines = [
        {**paid, "id": "kept", "what": "spent", "text": "the timber, as delivered"}, {**paid, "id": "bare", "what": "spent"},
        {**paid, "id": "done", "what": "done"}, {**paid, "id": "worked", "what": "spent", "hours": 3.5},
        {**paid, "id": "other", "what": "done", "sum": 1},
    ]  # fmt: skip
    data = {"format": "quincunx/1", "boundary": BOUNDARY, "means": {"years": 4}}
    garden = garden_from({**data, "jobs": [{"id": "shed", "name": "Shed"}], "journal": lines})
    (twice,) = twice_paid(garden, str)
    after, back = apply(garden, twice.once)
    told = {e.id: (e.what, e.sum, e.hours) for e in after.journal}
    assert told == {
        "kept": ("spent", 4250, None), "done": ("done", None, None), "worked": ("hours", None, 3.5), "other": ("done", 1, None),
    }  # fmt: skip
    assert not list(twice_paid(after, str))
    assert apply(after, back)[0] == garden


def test_findings_come_gravest_first_and_each_once() -> None:
    pool = {"kind": "pond", "id": "pool", "outline": [[5, 5], [9, 5], [9, 9], [5, 9]], "there_from": "start"}
    noticed = list(found(features=[{**GATE, "at": [15, 15]}, pool], jobs=[{"id": "x", "name": "X"}]).values())
    assert [f.severity for f in noticed] == [Severity.DANGER, Severity.FAULT, Severity.HINT]


def test_every_check_is_a_file_of_its_own() -> None:
    assert len({c.__module__ for c in CHECKS}) == len(CHECKS) >= 9


def test_a_review_counts_only_musts_that_are_not_muted() -> None:
    must = {"kind": "spend-no-more", "id": "money", "sum": 100}
    jobs = [{"id": "a", "name": "A", "start": "2027-04", "costs": [{"words": "x", "sum": 500}]}]
    data = {"format": "quincunx/1", "jobs": jobs, "means": {"years": 2, "sum_a_year": 1000}}
    assert review(garden_from({**data, "intents": [must]})).fails
    assert not review(garden_from({**data, "intents": [{**must, "muted": True}]})).fails


def test_what_was_browsed_is_told_with_what_it_costs_and_what_to_do():
    from quincunx.review import _set_back

    document = {
        "format": "quincunx/1",
        "boundary": [[0, 0], [20, 0], [20, 10], [0, 10]],
        "features": [{"kind": "hedge", "id": "hedge", "name": "Long hedge", "line": [[0, 8], [10, 8]], "plant": "crataegus-monogyna"}],
        "jobs": [{"id": "plant", "name": "Plant the hedge", "does": ["hedge"], "start": "2027-11"}],
        "means": {"first_year": 2027, "years": 6},
        "intents": [{"kind": "plants-hide", "id": "hides", "by": 2032, "feature": "hedge", "high": 1.4}],
        "journal": [
            {"id": "b", "day": "2028-05-10", "what": "browsed", "about": "hedge"},
            {"id": "e", "day": "2027-05-10", "what": "died-back", "about": "hedge"},
        ],
    }  # fmt: skip
    garden = garden_from(document)
    through = timeline(garden)
    early, real = sorted(
        _set_back.check(View(garden, through, words_for(garden, through))), key=lambda f: f.severity.value, reverse=True
    )
    assert "not planted by then" in early.words
    assert real.words.startswith("Long hedge (hawthorn) was browsed on 10 May 2028. About 1 year of growth is gone")
    assert "years to spare" in real.words or "year to spare" in real.words
    assert real.remedy.startswith("May 2028: cut what was bitten")
    assert "March 2029: feed and mulch" in real.remedy
    assert (real.about, real.at) == (("hedge",), (10.0, 8.0))


PATH = {"kind": "path", "id": "walk", "line": [[8, 0.5], [8, 6]], "width": 1.2, "there_from": "start"}
HEDGE = {"kind": "hedge", "id": "hedge", "line": [[2, 3], [14, 3]], "there_from": "start", "age_at_start": 6}
STEPS = {"kind": "steps", "id": "flight", "line": [[8, 0.2], [8, 1.64]], "fall": 0.6, "there_from": "start"}


@pytest.mark.parametrize(
    ("features", "barred"),
    [
        ([WALL, PATH], {"way-barred-walk-wall"}),
        ([HEDGE, PATH], {"way-barred-walk-hedge"}),
        ([{**HEDGE, "age_at_start": 0}, PATH], {"way-barred-walk-hedge"}),  # people step through no young hedge
        ([WALL, {**GATE, "at": [8, 2]}, PATH], set()),
        ([HEDGE, {"kind": "gap", "id": "gap", "at": [8, 3], "along_deg": 90, "there_from": "start"}, PATH], set()),
        ([WALL, GATE, PATH], {"way-barred-walk-wall"}),  # its gate is three metres away
        ([WALL, {**PATH, "line": [[8, 2.1], [8, 6]]}], set()),  # it ends at the wall: it leads to it
        ([WALL, {**PATH, "line": [[12.4, 0.5], [12.4, 6]]}], set()),  # round the wall's end one gets by
        ([WALL, {**PATH, "line": [[3, 4], [11, 4]]}], set()),  # beside it
        ([{**WALL, "height": 0.15}, PATH], set()),  # stepped over
        ([WALL, STEPS], {"way-barred-flight-wall"}),  # no room to stand at their head
        ([WALL, {**STEPS, "line": [[8, -1.9], [8, -0.5]]}], set()),
        ([WALL, {**GATE, "at": [8, 2]}, STEPS], set()),
    ],
)
def test_a_way_that_runs_into_what_is_not_open_is_told(features: list[Any], barred: set[str]) -> None:
    assert {name for name in found(features=features) if name.startswith("way-barred")} == barred


def test_a_way_barred_until_its_gate_comes_says_so() -> None:
    later = {**GATE, "at": [8, 2], "there_from": "2029-03"}
    one = found(features=[WALL, PATH, later])["way-barred-walk-wall"]
    assert one.severity is Severity.CARE
    assert "until gate comes in 2029" in one.words
    assert one.remedy.startswith("Make ")
    assert one.evidence
    hedge = [HEDGE, {**PATH, "line": [[8, 0.5], [8, 6]]}, {**later, "at": [8, 3]}]
    assert "way-barred-walk-hedge" not in found(features=hedge)  # told of the hedge: its opening comes later
