"""Take care: every caution of every job that is still to do, on one sheet; what is cut from a job's page is there."""

from __future__ import annotations

import pytest

from quincunx.board.outdoors_lists import CARE, lists_json
from quincunx.garden.safety import LOCATE, in_place
from quincunx.shapes import Severity
from quincunx.sheets._care import DIGGING, GLASS, MORE, OVERHEAD, SAWING, care_at, cautions, locates
from quincunx.sheets._hazards import ANYWHERE, CEMENT, DUST, ENGINES, OLD, SAWDUST
from quincunx.sheets._outdoors import begins, made, planned, planned_whole, undated, waiting
from quincunx.sheets.take_care import COVERS, LOOK, NEEDS
from tests.sheets.outdoors import SHED, cells, demo, job, pages, plot, said, set_for, tables

PIPE = {
    "kind": "buried-line", "id": "gas", "name": "Gas line", "line": [[0, 4], [20, 4]], "carries": "gas", "depth": 0.6,
    "there_from": "start",
}  # fmt: skip
FENCE = {"kind": "fence", "id": "screen", "name": "Screen", "line": [[2, 12], [8, 12]]}
POND = {"kind": "pond", "id": "pool", "name": "Pool", "outline": [[12, 8], [15, 8], [15, 11], [12, 11]]}


def rows_of(garden: str) -> dict[str, list[str]]:
    (page,) = pages(demo(garden, noticed=True), "take-care")
    return {row[1]: row for row in map(cells, tables(page)[-1]["rows"])}


def test_gas_under_kettle_hills_court_stands_at_the_job_and_the_care_of_digging_once() -> None:
    of = demo("kettle-hill", noticed=True)
    (page,) = pages(of, "take-care")
    digging = in_place(DIGGING, of.garden)
    assert "call 811, free" in digging  # the garden lies in the United States
    letters = {cells(row)[1]: cells(row)[0] for row in tables(page)[0]["rows"]}
    court = rows_of("kettle-hill")["Lay the court in brick"]
    assert court[0] == "May 2034"
    assert letters[digging] in court[2].split()
    assert "is dug within 3' 11\" of Gas line (gas, 2' 0\" down)" in court[3]
    assert said(page).count(digging) == 1
    assert in_place(LOCATE, of.garden) not in said(page)
    assert page.blocks[-1]["s"] == COVERS


def test_poison_glass_water_and_posts_beyond_the_tables_are_there_and_mere_gardening_is_not() -> None:
    rows = rows_of("kettle-hill")
    assert "foliage poisonous if eaten" in rows["Plant the drive hedge"][3]
    assert "Glass: gloves and glasses" in rows["Put up the greenhouse"][3]
    assert "no barrier replaces watching" in rows["Dig the frog pond"][3]
    assert "goes beyond the published tables" in rows["Build the court pergola"][3]
    every = "\n".join(map("\n".join, rows.values()))
    assert "Upkeep takes" not in every
    assert "Lime the ground" not in every


@pytest.mark.parametrize("there_from", ["2028-05", "2026-01"])
def test_what_stands_by_a_date_typed_otherwise_has_its_cautions_and_points_all_the_same(there_from: str) -> None:
    """A greenhouse said to be there a year after the job that puts it up: panes are carried in that job."""
    glass = {"kind": "greenhouse", "id": "glass", "name": "Glass", "at": [9, 7], "width": 2.5, "depth": 3.8}
    once, otherwise = (
        set_for(plot({**glass, **more}, jobs=[job("glass")])) for more in ({}, {"there_from": there_from})
    )
    found = [made(of, of.garden.jobs[0]) for of in (once, otherwise)]
    told = [[c.words for c in cautions(of, one)] for of, one in zip((once, otherwise), found, strict=True)]
    assert any(words.startswith(GLASS[:30]) for words in told[0])
    assert told[0] == told[1]
    assert found[0].counts == found[1].counts


def test_every_caution_of_a_job_is_on_the_sheet_and_what_its_own_page_leaves_out_is_pointed_to() -> None:
    of = demo("kettle-hill", noticed=True)
    (page,) = pages(of, "take-care")
    whole = said(page)
    for one in waiting(of):
        for caution in cautions(of, made(of, one), hurts=True):
            assert caution.own in whole
            assert (in_place(DIGGING, of.garden) if locates(caution.general) else caution.general) in whole
    job_page = "\n".join(said(p) for p in pages(of, "setting-out"))
    most = max(len(cautions(of, made(of, one))) for one in waiting(of))
    assert most > 3
    assert (MORE in job_page) == any(
        len(cautions(of, made(of, one))) > 3 for one in waiting(of) if str(one.start).startswith("2027")
    )


def test_water_that_stands_already_is_told_though_no_job_makes_it() -> None:
    of = set_for(plot({**POND, "there_from": "start"}), noticed=True)
    (page,) = pages(of, "take-care")
    assert "As long as it stands" in said(page)
    assert "Small children drown" in said(page)


def test_a_job_without_a_month_comes_last_and_one_that_is_done_goes() -> None:
    jobs = [job("screen", id="hut", start=None), job("pool", id="dig", start="2027-05")]
    of = set_for(plot(FENCE, POND, jobs=jobs), noticed=True)
    (page,) = pages(of, "take-care")
    assert [cells(row)[:2] for row in tables(page)[-1]["rows"]] == [["May 2027", "Dig"], ["no month yet", "Hut"]]
    journal = [{"id": "j1", "day": "2027-05-20", "what": "done", "about": "dig"}]
    dug = set_for(plot(FENCE, POND, jobs=jobs, journal=journal), noticed=True)
    (page,) = pages(dug, "take-care")
    assert [cells(row)[1] for row in tables(page)[-1]["rows"]] == ["Hut"]
    assert "Small children drown" in said(page)  # the pool is there now


def test_lines_drawn_near_stand_in_their_own_words() -> None:
    of = set_for(plot(PIPE, {**SHED, "at": [6, 6]}, jobs=[job("den"), job(id="other")]), noticed=True)
    text = said(pages(of, "take-care"))
    assert "Gas line" in text


def test_where_nothing_can_hurt_there_is_no_sheet_unless_it_is_asked_for() -> None:
    of = set_for(plot())
    assert said(pages(of, "take-care")).endswith(NEEDS)


def test_a_job_names_what_can_hurt_first_and_leaves_nothing_out() -> None:
    """Poison is no danger at once, so that it once stood on the sheet but not with the job."""
    of = demo("ropewalk", noticed=True)
    by = {one.id: made(of, one) for one in waiting(of)}
    assert any("raw beans p" in c.words for c in cautions(of, by["fruit"]))
    assert any("poisonous" in c.words for c in cautions(of, by["cutting-beds"]))
    mixed = 0
    for plan in by.values():
        every, hurts = cautions(of, plan), cautions(of, plan, hurts=True)
        assert every[: len(hurts)] == hurts
        told = {c.words for c in every}
        grave = [f for f in of.review.findings if f.severity in (Severity.DANGER, Severity.CARE) or f.hurts]
        for finding in grave:
            if set(finding.about) & set(plan.owners):
                assert any(finding.words in words for words in told), finding.words
        mixed += 0 < len(hurts) < len(every)
    assert mixed, "some job has both sorts"


def test_a_job_without_a_month_has_its_points_and_cautions() -> None:
    pond = plot(POND, jobs=[job("pool", start=None)])
    (one,) = pond.jobs
    plan = planned(set_for(pond), one)
    assert plan.found.points
    assert any("no barrier replaces watching" in c.words for c in cautions(set_for(pond), plan))


def test_a_place_held_open_asks_for_the_care_of_all_that_it_may_become() -> None:
    of = demo("ropewalk", noticed=True)
    shelter = next(j for j in waiting(of) if j.id == "shelter-job")
    caution = next(c for c in cautions(of, made(of, shelter)) if "isn’t chosen yet" in c.own)
    assert "for all it may be: open slats on posts or a solid roof" in caution.own
    assert caution.general == in_place(DIGGING, of.garden)
    told = {c.general for c in cautions(of, made(of, shelter), hurts=True)}
    assert any(words.startswith("Work overhead") for words in told)
    assert SAWDUST in told, "either choice is sawn"


def test_a_line_under_the_middle_of_a_hedge_is_named_though_both_its_ends_are_far() -> None:
    hedge = {"kind": "hedge", "id": "green", "name": "Green", "line": [[2, 8], [18, 8]], "spacing": 0.5}
    across = {**PIPE, "line": [[10, 0], [10, 15]]}
    of = set_for(plot(across, hedge, jobs=[job("green")]), noticed=True)
    told = [c.words for c in cautions(of, planned(of, of.garden.jobs[0]))]
    (near,) = (words for words in told if "Gas line (gas" in words)
    assert "Green is dug within" in near
    assert "located and marked" in near
    fenced = {"kind": "fence", "id": "screen", "name": "Screen", "line": [[2, 8], [18, 8]]}
    of = set_for(plot({**across, "carries": "water"}, fenced, jobs=[job("screen")]))
    (near,) = (c.own for c in cautions(of, planned(of, of.garden.jobs[0])) if "Drawn near" in c.own)
    assert "Gas line (water) crosses it" in near


def test_what_several_cautions_share_is_said_once_on_a_jobs_own_page() -> None:
    from quincunx.sheets._care import Caution, _once

    both = _once([Caution(LOCATE, "A is near B."), Caution(LOCATE, "C is near D."), Caution(own="E.")])
    assert [c.words for c in both] == [f"A is near B. C is near D. {LOCATE}", "E."]


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_what_is_said_before_a_dangerous_step_is_what_the_job_says(name: str) -> None:
    of, kinds = demo(name, noticed=True), set[str]()
    for one in waiting(of):
        plan = made(of, one)
        said, told = {c.words for c in cautions(of, plan, hurts=True)}, care_at(of, plan, sawn=True)
        kinds |= set(told)
        assert told["saw"] == SAWING
        assert ("dig" in told) == any(in_place(DIGGING, of.garden) in w or "located" in w for w in said)
        assert told.get("high", OVERHEAD) == OVERHEAD
        assert told.get("glass", GLASS) == GLASS
        assert ("high" in told) == (OVERHEAD in said)
        assert "saw" not in care_at(of, plan, sawn=False)
        for listed in lists_json(of, planned_whole(of, one)):
            asked = {name: list(CARE.get(name, ())) for name in ("saw", "plant", "raise", "do")}.get(listed["id"], [])
            if listed["id"] == "work":  # each sort of work has its own
                continue
            assert all(line["care"] == asked for line in listed["items"])
    assert {"dig", "high", "saw"} <= kinds


FLAGS = {"kind": "paving", "id": "court", "name": "Court", "outline": [[2, 2], [6, 2], [6, 6.3], [2, 6.3]]}
WALL = {"kind": "wall", "id": "wall", "name": "Wall", "line": [[2, 9], [8, 9]]}
OLD_SHED = {**SHED, "id": "old", "name": "Old shed", "there_from": "start"}


@pytest.mark.parametrize(
    ("thing", "asked", "not_asked"),
    [
        (WALL, {CEMENT}, {OLD, ENGINES}),
        (FLAGS, {DUST, ENGINES}, {OLD}),
        (FENCE, {SAWDUST}, {DUST, ENGINES, OLD}),
    ],
)
def test_each_job_says_what_its_own_work_may_hurt_by(
    thing: dict[str, object], asked: set[str], not_asked: set[str]
) -> None:
    """Wet cement (HSE CIS26), dust of cut stone and fumes of engines: at the job, before the step, on the page Take care."""
    of = set_for(plot(thing, jobs=[job(str(thing["id"]))]))
    plan = made(of, of.garden.jobs[0])
    told = {c.general for c in cautions(of, plan, hurts=True)}
    assert asked <= told
    assert not asked & not_asked
    assert not told & not_asked
    assert asked <= set(care_at(of, plan, sawn=True).values())
    (page,) = pages(of, "take-care")
    assert all(words in said(page) for words in (*asked, *ANYWHERE))


def test_what_is_old_and_comes_down_may_hold_asbestos_or_lead() -> None:
    of = set_for(plot(OLD_SHED, WALL, jobs=[{**job("wall"), "takes_away": ["old"]}]))
    assert OLD in {c.general for c in cautions(of, made(of, of.garden.jobs[0]), hurts=True)}
    of = set_for(plot(OLD_SHED, WALL, jobs=[job("wall")]))
    assert OLD not in {c.general for c in cautions(of, made(of, of.garden.jobs[0]), hurts=True)}


OAK = {"kind": "tree", "id": "oak", "name": "The old oak", "plant": "quercus-robur", "at": [3, 14], "stem": 0.75,
       "there_from": "start", "age_at_start": 120, "start_height": 14.6, "start_spread": 12}  # fmt: skip


@pytest.mark.parametrize("near", [True, False])
def test_digging_among_an_old_trees_roots_stands_at_the_job_on_its_points_and_before_the_step(*, near: bool) -> None:
    """BS 5837:2012, annex D, table D.1: a stem of 750 mm keeps 9.00 m; the court lies within it, or 14 m away."""
    east, south = (0, 0) if near else (13, 2)
    court = {**FLAGS, "outline": [[x + east, y - south] for x, y in ((2, 2), (6, 2), (6, 6.3), (2, 6.3))]}
    of = set_for(plot(OAK, court, jobs=[job("court", hours=20)]), noticed=True)
    words = "Court is dug in or lies among the roots of The old oak, within 9"
    asked = (*(said(pages(of, sheet)) for sheet in ("take-care", "saturday", "setting-out")),
             care_at(of, made(of, of.garden.jobs[0]), sawn=False)["dig"])  # fmt: skip
    for text in asked:
        assert (words in text) is near
        assert ("cut no root as thick as a thumb" in text) is near


def test_a_job_begun_without_a_planned_month_is_carried_out_from_when_it_was_begun() -> None:
    """Somebody began it on a free day: it is no job of no month any more, on any paper."""
    begun = {"id": "e1", "day": "2027-05-08", "what": "begun", "about": "work"}
    price = {"id": "gravel", "item": "gravel", "words": "Gravel", "unit": "m3", "sum": 6000}
    path = {"kind": "path", "id": "den", "name": "Den", "line": [[2, 5], [9, 5]], "width": 1.0}
    before = set_for(plot(path, jobs=[job("den", start=None)], prices=[price]))
    after = set_for(plot(path, jobs=[job("den", start=None)], prices=[price], journal=[begun]))
    assert (waiting(before), [j.id for j in undated(before)]) == ([], ["work"])
    assert ([j.id for j in waiting(after)], undated(after)) == (["work"], [])
    assert begins(after, waiting(after)[0]) == "2027-05"
    assert ["Gravel" in said(pages(s, "shopping")[0]) for s in (before, after)] == [False, True]
    later = set_for(plot(path, jobs=[job("den", start="2027-09")], prices=[price], journal=[begun]))
    (page,) = pages(later, "take-care")
    assert "May 2027" in said(page)
    assert "September" not in said(page)


def test_what_no_plan_knows_of_a_must_is_asked_on_the_page_and_not_of_one_left_aside() -> None:
    gate = {
        "kind": "gate",
        "id": "side",
        "name": "side gate",
        "at": [0, 5],
        "along_deg": 0,
        "width": 0.9,
        "there_from": "start",
    }
    must = {"kind": "gate-opens-easily", "id": "easy", "gate": "side"}
    (page,) = pages(set_for(plot(gate, intents=[must])), "take-care")
    assert LOOK in said(page)
    assert (
        "a closed fist even, work the latch of the side gate from both sides, 0.86 m to 1.22 m above the ground"
        in said(page)
    )
    aside = pages(set_for(plot(gate, intents=[{**must, "muted": True}])), "take-care")
    assert not any(LOOK in said(p) for p in aside)
