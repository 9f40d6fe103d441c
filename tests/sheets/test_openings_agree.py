"""Openings anywhere in a hedge, made in any year: plan, bill, hours, schedule, finding and job page count the same plants."""

from __future__ import annotations

import math
import re
from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given, settings, strategies as st
from shapely import LineString, Point

from quincunx.garden.lifting import lifted
from quincunx.scene import Stands
from quincunx.scene.left_open import kept_free
from quincunx.shapes import FrameWork, PlantWork
from quincunx.sheets import Set, pages_of
from quincunx.sheets._care import cautions
from quincunx.sheets._lifted import lifted_shortly
from quincunx.sheets._outdoors import base_of, planned
from quincunx.sheets._plant_rows import plant_rows
from quincunx.sheets._shaping import shaping
from quincunx.sheets.calendar_file import calendar_file
from quincunx.sheets.planting import schedule
from tests.sheets.outdoors import cells, job, plot, said, set_for, tables

LINES = {
    "straight": [[2, 5], [12, 5]],
    "bent": [[2, 5], [9, 5], [12, 10]],
    "closed": [[4, 4], [10, 4], [10, 9], [4, 9], [4, 4]],
}


def hedge(line, rows: int = 1, spacing: float = 0.5, **fields) -> dict:
    return {"kind": "hedge", "id": "green", "name": "Green", "line": line, "spacing": spacing, "rows": rows} | fields


def opening(line, along: float, kind: str, width: float) -> dict:
    """Return an opening so far along a line as a share of its length, in the direction of the line there."""
    course = LineString(line)
    at = course.interpolate(along * course.length)
    a, b = min(pairwise(line), key=lambda e: LineString(e).distance(at))
    deg = math.degrees(math.atan2(b[0] - a[0], b[1] - a[1])) % 360
    return {"kind": kind, "id": "way", "name": "Way", "at": [round(at.x, 3), round(at.y, 3)], "width": width,
            "along_deg": deg}  # fmt: skip


def there(of: Set, id_: str) -> Stands:
    found = of.timeline.feature(id_)
    assert found is not None
    return found


def counted(of: Set) -> dict[str, int]:
    """Return how many plants are set, by what says it."""
    (found,) = (c for c in of.costed if "green" in c.job.does)
    green = there(of, "green")
    (line,) = (x for x in schedule(of) if x.one.owner == "green")
    return {
        "bill": round(next(b.net for b in found.reckoned.bill if b.item.startswith("plant-"))),
        "hours": round(next(x.amount for x in found.reckoned.labour if x.norm == "plant-whip")),
        "schedule": line.count,
        "work": sum(w.count for w in of.timeline.as_made(green).work if isinstance(w, PlantWork)),
        "standing": sum(p.count for p in of.timeline.plants_on(green, date(2027, 8, 31))),
    }


@settings(max_examples=25, deadline=None)
@given(
    shape=st.sampled_from(sorted(LINES)),
    rows=st.integers(1, 2),
    spacing=st.sampled_from([0.33, 0.5, 0.7]),
    along=st.floats(0.0, 1.0),
    kind=st.sampled_from(["gate", "gap"]),
    width=st.sampled_from([0.8, 1.2, 2.0]),
    start=st.sampled_from(["2026-11", "2027-04", "2029-12", "2031-04"]),
)
def test_all_that_tells_of_a_hedge_with_an_opening_counts_the_same(shape, rows, spacing, along, kind, width, start):
    line = LINES[shape]
    way = opening(line, along, kind, width)
    of = set_for(plot(hedge(line, rows, spacing), way, jobs=[job("green"), job("way", id="later", start=start)]))
    told = counted(of)
    assert len(set(told.values())) == 1, told
    green, gate = there(of, "green"), there(of, "way")
    last = sum(p.count for p in of.timeline.plants_on(green, date(2032, 8, 31)))
    out = sum(len(x.at) for x in lifted(of.timeline, gate))
    assert told["standing"] - last == out
    (opened,) = (c for c in of.costed if "way" in c.job.does)
    assert sum(x.amount for x in opened.reckoned.labour if x.norm in ("lift-plant", "grub-out")) == out
    if of.timeline.ways_in(green):
        free = kept_free(gate)
        course, beside = LineString(line), spacing / 2
        for p in (q for one in of.timeline.plants_on(green, date(2032, 8, 31)) for q in one.at):
            on_line = course.interpolate(course.project(Point(p)))
            assert rows > 1 or on_line.distance(free) > beside - 0.16
    words = " ".join(shaping(of, planned(of, opened.job, base_of(of))))
    page = sum(int(n) for n in re.findall(r"Dig out (\d+) plant", words))
    assert page == out


@pytest.mark.parametrize("shape", sorted(LINES))
@pytest.mark.parametrize("rows", [1, 2])
def test_the_string_has_as_many_plants_as_are_bought(shape, rows) -> None:
    line = LINES[shape]
    of = set_for(plot(hedge(line, rows), opening(line, 0.3, "gap", 1.0), jobs=[job("green", "way")]))
    plan = planned(of, of.garden.jobs[0], base_of(of))
    told = [w.replace("\xa0", " ") for w in plant_rows(of, plan, "green", plan.stood["green"])]
    runs = [int("".join(n)) for w in told for n in re.findall(r"(\d+) from|(\d+) at|(\d+) more", w)]
    assert not told or sum(runs) == counted(of)["bill"]
    assert told or shape == "closed"


def test_the_string_of_a_closed_hedge_goes_back_to_where_it_began() -> None:
    """22 m round: 44 plants half a metre apart, the last beyond the last corner."""
    of = set_for(plot(hedge(LINES["closed"]), jobs=[job("green")]))
    plan = planned(of, of.garden.jobs[0], base_of(of))
    (told,) = (w.replace("\xa0", " ") for w in plant_rows(of, plan, "green", plan.stood["green"]))
    at = {plan.marks[i].at: str(n) for i, n in sorted(plan.numbers.items(), key=lambda kv: -kv[1])}
    first, *rest = (at[x, y] for x, y in LINES["closed"][:4])
    assert (
        f"along the string from {first} by {', '.join(rest)} and back to {first}: 44 from 0.250 m to 21.750 m." in told
    )


def later(*features: dict, start: str = "2029-04") -> Set:
    return set_for(plot(*features, jobs=[job("green"), job("way", id="later", start=start)]), noticed=True)


def way_words(of: Set) -> str:
    plan = planned(of, next(j for j in of.garden.jobs if j.id == "later"), base_of(of))
    return " ".join(shaping(of, plan)).replace("\xa0", " ")


GAP = {"kind": "gap", "id": "way", "name": "Way", "at": [6, 5], "width": 1.0, "along_deg": 90}


def test_the_page_of_a_later_gap_says_which_plants_when_and_what_becomes_of_them() -> None:
    """Counted by hand: plants at 0.25, 0.75, ... m; the gap from 3.5 to 4.5 m takes 3.75 and 4.25, not 3.25 and 4.75."""
    of = later(hedge(LINES["straight"]), GAP)
    words = way_words(of)
    assert (
        "Dig out 2 plants of Green for Way, measured along its line from its W end: 2 from 3.750 m to 4.250 m." in words
    )
    assert "November to March: before this job begins" in words
    assert "heel them in" in words
    alone = set_for(plot(hedge(LINES["straight"], there_from="start"), GAP, jobs=[job("way")]))
    assert "Dig out 2 plants of Green" in said(list(pages_of(alone, ["saturday"])))


def test_a_gap_made_in_winter_has_its_plants_lifted_then_and_old_ones_are_grubbed_out() -> None:
    of = later(hedge(LINES["straight"]), GAP, start="2029-12")
    assert "before this job begins" not in way_words(of)
    old = later(hedge(LINES["straight"], there_from="start", age_at_start=12), GAP)
    assert "grub out the stumps" in way_words(old)
    (found,) = (c for c in old.costed if "way" in c.job.does)
    assert [(x.norm, x.amount) for x in found.reckoned.labour] == [("grub-out", 2)]


def test_evergreens_are_lifted_in_spring_or_early_autumn_and_not_said_to_sleep() -> None:
    """Spring or early autumn, while the soil is warm (the months of ``grow.windows``)."""
    of = later(hedge(LINES["straight"], plant="taxus-baccata"), GAP, start="2029-12")
    words = way_words(of)
    assert "in March to April or September to October: before this job begins" in words
    assert "in leaf" not in words


def test_wires_end_at_a_gap_made_later_on_posts_at_its_sides_and_its_page_says_so() -> None:
    row = {"kind": "row", "id": "green", "name": "Green", "line": LINES["straight"], "wire_height": 1.5, "spacing": 0.5}
    of = later(row, GAP)
    assert "tie them off there, then cut them between" in way_words(of)
    green = there(of, "green")
    posts = {
        year: sorted(
            round(s.footprint.centroid.x, 2) for s in of.timeline.at(date(year, 8, 31)).solids if "post" in s.part
        )
        for year in (2028, 2030)
    }
    assert len(posts[2028]) < len(posts[2030])
    # Half of a post at the side of the gap is cut off with the clear width.
    assert [x for x in posts[2030] if 5.4 < x < 6.6] == pytest.approx([5.5, 6.5], abs=0.03)
    # What was bought for the row doesn't change with what comes later.
    works = [of.timeline.stood(green, date(year, 8, 31)).work for year in (2028, 2030)]
    frames = [[w for w in made if isinstance(w, FrameWork)] for made in works]
    assert frames[0] == frames[1]


def test_wires_of_a_row_that_is_gone_before_the_gap_comes_are_not_cut() -> None:
    row = {"kind": "row", "id": "green", "name": "Green", "line": LINES["straight"], "wire_height": 1.5, "spacing": 0.5}
    assert "wires" in way_words(later({**row, "there_until": "2029-08"}, GAP))
    assert "wires" not in way_words(later({**row, "there_until": "2028-11"}, GAP))


def test_a_page_with_little_room_says_how_many_of_all_are_dug_out_and_still_how_wires_are_cut() -> None:
    row = {"kind": "row", "id": "green", "name": "Green", "line": LINES["straight"], "wire_height": 1.5, "spacing": 0.5}
    other = {**hedge([[2, 5.05], [12, 5.05]]), "id": "other", "name": "Other"}
    of = set_for(plot(row, other, GAP, jobs=[job("green", "other"), job("way", id="later", start="2029-04")]))
    plan = planned(of, next(j for j in of.garden.jobs if j.id == "later"), base_of(of))
    first, *more = lifted_shortly(of, plan)
    assert first.startswith("Dig out 4 plants in the way")
    assert [("Green" in line, "whips" in line) for line in more] == [(True, True)]


def test_what_is_lifted_beside_a_buried_line_has_the_caution_with_what_the_distance_covers() -> None:
    gas = {"kind": "buried-line", "id": "gas", "name": "Gas pipe", "line": [[6, 0], [6, 15]], "carries": "gas",
           "sure_to": 0.5, "there_from": "start"}  # fmt: skip
    of = later(hedge(LINES["straight"]), GAP, gas)
    plan = planned(of, next(j for j in of.garden.jobs if j.id == "later"), base_of(of))
    assert {f.id for f in of.review.findings} >= {"dig-near-way-gas", "dig-near-green-gas"}
    assert any("located and marked" in c.words for c in cautions(of, plan))
    unseen = set_for(of.garden)
    (care,) = (c.words for c in cautions(unseen, plan) if "Drawn near" in c.words)
    assert "Gas pipe (gas) crosses it ± 0.500 m" in care.replace("\xa0", " ") or "± 0.50 m" in care
    assert "not a find" in care


@pytest.mark.parametrize("kind", ["gate", "gap"])
def test_the_gap_that_the_finding_offers_leaves_nothing_to_be_dug_out(kind) -> None:
    way = {**GAP, "kind": kind}
    of = later(hedge(LINES["straight"]), way)
    (told,) = (f for f in of.review.findings if f.id == "planted-in-way-green-way")
    wide = float(re.findall(r"a gap ([\d.]+)\sm wide", told.remedy)[0])
    kept = {**GAP, "id": "kept", "width": wide, "there_from": "start", "there_until": "2029-05"}
    taken = later(hedge(LINES["straight"]), way, kept)
    assert not [f.id for f in taken.review.findings if f.id.startswith("planted-in-way")]
    assert "Dig out" not in way_words(taken)
    assert counted(taken)["bill"] == 18


@pytest.mark.parametrize("rows", [1, 2])
def test_a_closed_hedge_begins_and_ends_at_one_stake(rows) -> None:
    of = set_for(plot(hedge(LINES["closed"], rows), jobs=[job("green")]))
    plan = planned(of, of.garden.jobs[0], base_of(of))
    assert sorted(m.at for m in plan.marks.values()) == sorted((float(x), float(y)) for x, y in LINES["closed"][:4])
    assert sum(m.words == "where it begins and ends" for m in plan.marks.values()) == 1
    assert all(d.exact_m > 1 for d in plan.found.diagonals)


def test_a_fence_drawn_round_begins_and_ends_at_one_stake() -> None:
    fence = {"kind": "fence", "id": "green", "line": LINES["closed"]}
    of = set_for(plot(fence, jobs=[job("green")]))
    plan = planned(of, of.garden.jobs[0], base_of(of))
    assert len(plan.marks) == 4


def lines_lifted(of: Set) -> list[list[str]]:
    pages = list(pages_of(of, ["work-list"]))
    return [
        [w for w in cells(row) if w] for p in pages for t in tables(p) for row in t["rows"] if "Lift for" in str(row)
    ]


def test_the_work_list_and_the_calendar_name_the_months_of_lifting() -> None:
    """Hornbeam is bare root from November to March: for a gap made in April it is lifted in the winter before."""
    of = later(hedge(LINES["straight"]), GAP)
    (line,) = lines_lifted(of)
    assert line[0] == "November to March 2029"
    assert line[1].startswith("Lift for “")
    assert line[1].endswith("(April 2029) what is to grow on: 2 plants of Green")
    calendar = calendar_file(of).decode().replace("\r\n ", "")
    (entry,) = (e for e in calendar.split("BEGIN:VEVENT") if "SUMMARY:Lift for" in e)
    assert "DTSTART;VALUE=DATE:20281101" in entry
    assert "DTEND;VALUE=DATE:20290401" in entry
    assert "November to March: before this job begins" in calendar


def test_plants_that_are_lifted_at_other_times_have_lines_of_their_own() -> None:
    """Before June hornbeam is lifted from November to March, yew, an evergreen, in March and April."""
    yew = {**hedge([[2, 2], [12, 2]]), "id": "yew", "name": "Yew", "plant": "taxus-baccata"}
    door = {**GAP, "id": "door", "name": "Door", "at": [6, 2]}
    jobs = [job("green", "yew"), job("way", "door", id="later", start="2029-06")]
    of = set_for(plot(hedge(LINES["straight"]), GAP, yew, door, jobs=jobs))
    told = [(line[0], line[1].rpartition(": ")[2]) for line in lines_lifted(of)]
    assert told == [("November to March 2029", "2 plants of Green"), ("March to April", "2 plants of Yew")]
    calendar = calendar_file(of).decode()
    assert calendar.count("SUMMARY:Lift for") == 2


def test_a_job_in_the_months_of_lifting_has_no_line_of_its_own_for_it_and_old_plants_none() -> None:
    winter = later(hedge(LINES["straight"]), GAP, start="2029-12")
    assert lines_lifted(winter) == []
    assert "Lift what is to grow on in November to March" in calendar_file(winter).decode().replace("\r\n ", "")
    assert lines_lifted(later(hedge(LINES["straight"], there_from="start", age_at_start=12), GAP)) == []


def test_the_last_plant_of_an_outer_row_is_told_with_its_row_where_a_closed_hedge_ends() -> None:
    """24 m round: the outer row's last stands at its very end, beside the last side."""
    ring = [[12, 6], [18, 6], [18, 12], [12, 12], [12, 6]]
    of = set_for(plot(hedge(ring, 2), jobs=[job("green")]))
    plan = planned(of, of.garden.jobs[0], base_of(of))
    told = " ".join(plant_rows(of, plan, "green", plan.stood["green"])).replace("\xa0", " ")
    assert "to its right: 48 from 0.500 m to 24.000 m" in told
    assert "1 at" not in told
    assert told.count("Row ") == 2


def test_a_row_round_a_square_no_longer_than_its_spacing_is_told_plant_by_plant() -> None:
    """Round 1 m by 1 m the outer of two rows bends between any two of its plants: none of them keeps the spacing."""
    ring = [[12, 6], [13, 6], [13, 7], [12, 7], [12, 6]]
    of = set_for(plot(hedge(ring, 2, 1.0, row_apart=0.5), jobs=[job("green")]))
    plan = planned(of, of.garden.jobs[0], base_of(of))
    stood = plan.stood["green"]
    told = " ".join(plant_rows(of, plan, "green", stood)).replace("\xa0", " ")
    assert (
        "Row 0.250 m to its left: 1 at 0.500 m. Row 0.250 m to its right: 8 round the bends, at 0.304 m, 1.000 m"
        in told
    )
    assert sum(len(one.at) for one in stood.plants) == 9
