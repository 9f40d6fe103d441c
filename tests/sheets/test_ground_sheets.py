"""The sheets of the ground: setting out, the form for readings, the measured ground, levels, tags for stakes."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from typing import Any

import pypdfium2 as pdfium
import pytest
import shapely

from quincunx.demos import demo_garden
from quincunx.garden import apply, garden_from, plain
from quincunx.review.ground import Fall
from quincunx.review.ground_edits import with_readings
from quincunx.sheets import SHEETS, pages_of, pdf
from quincunx.sheets._outdoors import planned, waiting
from quincunx.sheets.levels import _falls
from quincunx.sheets.stake_tags import _middle
from quincunx.units import parse_length
from tests.sheets.outdoors import SHED, cells, demo, job, pages, plot, said, set_for, tables, texts

OUTDOORS = ["saturday", "setting-out", "readings-form", "survey-plan", "levels", "stake-tags"]
JARGON = ("residual", "ellipse", "adjust", "covariance", "redundan", "verdict", "intent", "sigma", "standard dev")


def test_setting_out_has_a_page_for_each_job_of_the_year() -> None:
    of = demo("kettle-hill")
    made = pages(of, "setting-out")
    first = [j.name for j in waiting(of) if str(j.start).startswith("2027")]
    assert [p.title for p in made] == first
    assert all(p.scale for p in made)


def test_the_lengths_on_the_page_are_those_worked_out() -> None:
    of = demo("kettle-hill")
    page = next(p for p in pages(of, "setting-out") if p.title == "Fence the vegetable ground")
    plan = planned(of, next(j for j in of.garden.jobs if j.name == page.title))
    rows = [cells(row) for row in tables(page)[0]["rows"]]
    assert len(rows) == len(plan.found.points) == 8
    for row, point in zip(rows, plan.found.points, strict=True):
        for text, tie in zip(row[3:5], point.ties, strict=True):
            length, stake = text.split(" from ")
            assert parse_length(length, of.garden.style) == pytest.approx(tie.exact_m, abs=0.0254 / 16 + 1e-6)
            assert stake == plan.names[tie.stake]
        assert row[5].startswith(point.side)


def test_a_diagonal_is_the_distance_of_its_points() -> None:
    of = demo("ropewalk")
    page = next(p for p in pages(of, "setting-out") if p.title == "Plant cobnuts with guards")
    plan = planned(of, next(j for j in of.garden.jobs if j.name == page.title))
    at = {str(n): plan.marks[i].at for i, n in plan.numbers.items()}
    for row in tables(page)[1]["rows"]:
        _, pair, must, *_ = cells(row)
        (ax, ay), (bx, by) = (at[n] for n in pair.split(" to "))
        assert parse_length(must, of.garden.style) == pytest.approx(
            ((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5, abs=0.0026
        )


def test_what_is_counted_bears_the_number_of_its_point() -> None:
    of = demo("kettle-hill")
    plan = planned(of, next(j for j in of.garden.jobs if j.name == "Fence the vegetable ground"))
    for point, number in plan.numbers.items():
        words = plan.marks[point].words
        assert words.endswith(f" {number}") or not words[-1].isdecimal()
    assert {plan.marks[p].words.rsplit(" ", 1)[0][-6:] for p in plan.numbers} >= {"corner", ", post"}


def test_the_measured_ground_names_the_misreading_and_how_surely_stakes_stand() -> None:
    (page,) = pages(demo("kettle-hill"), "survey-plan")
    text = said(page)
    assert "Swapped digits? 67' 3 1/2\" would fit as 76' 3 1/2\"" in text
    assert "It is left out of this plan." in text
    assert text.count("sure to within") >= 8
    assert re.search(r"rings are drawn \d+ times as large", text)
    assert "Next, tape C to G" in text
    assert page.blocks[0]["svg"].count("#f6cfae") >= 7  # the rings' wash


def test_a_plan_that_may_be_mirrored_asks() -> None:
    before = plot()
    edit, _ = with_readings(before, "A B 10\nB C 8\nC A 7\nA D 9\nB D 8\nC D 5")
    assert edit is not None
    text = said(pages(set_for(apply(before, edit)[0]), "survey-plan"))
    assert "The plan may be the wrong way round. Stand at A and look at B" in text


def test_the_form_begins_with_what_to_take_first() -> None:
    (page,) = pages(demo("kettle-hill"), "readings-form")
    rows = [cells(row) for row in tables(page)[0]["rows"]]
    assert rows[0][:2] == ["A", "H"]
    assert rows[0][3] == "again: it didn't fit"
    assert rows[1] == ["C", "G", " ", "about 117 ft"]
    assert sum(not "".join(r).strip() for r in rows) >= 8
    assert "A B 12' 4 3/8\"" in said(page)


def test_the_form_works_for_bare_ground() -> None:
    (page,) = pages(set_for(plot(boundary=[])), "readings-form")
    assert len(tables(page)[0]["rows"]) >= 20
    assert "A B 12.34" in said(page)
    comma = set_for(plot(writing={"units": "metric", "decimal_mark": ","}))
    assert "A B 12,34" in said(pages(comma, "readings-form"))


def test_levels_carry_their_checks_and_falls() -> None:
    (page,) = pages(demo("ropewalk"), "levels")
    text = said(page)
    assert "must be the same: 1.796 m, 1.796 m, 1.796 m. They are." in text
    assert "ends within 2 mm of the known height" in text
    book, falls = tables(page)[1], tables(page)[2]
    assert [cells(r)[0] for r in book["rows"]] == ["A", "F", "E", "E", "C"]
    assert cells(falls["rows"][2])[:4] == ["E to A", "1.433 m", "30.76 m", "1 in 21"]


@pytest.mark.parametrize(
    ("country", "steep", "said"),
    [
        ("DE", [12.5], "more than 1 in 16.7, the steepest a ramp may be (DIN 18040-1"),
        ("GB", [], ""),
        ("ES", [], ""),
        ("US", [], ""),
        ("BR", [], ""),
    ],
)
def test_how_steep_is_too_steep_for_wheels_is_what_the_country_asks(
    country: str, steep: list[float], said: str
) -> None:
    """DIN 18040-1 4.3.8: 6 in 100; Approved Document M and ADA 405.2: 1 in 12; CTE DB-SUA 1: 1 in 10."""
    of = demo("ropewalk")
    (a, b), *_ = ((f.start, f.end) for f in of.measured.falls)
    falls = tuple(Fall(a, b, 1.0, run) for run in (12.5, 25.0))
    blocks = _falls(replace(of.measured, falls=falls), country)
    (table,) = (block for block in blocks if block["t"] == "table")
    marked = [bool(row[-1]) for row in table["rows"]]
    assert marked == [12.5 in steep, False]
    small = " ".join(str(block["s"]) for block in blocks if block["t"] == "small")
    assert said in small
    assert bool(small) == bool(steep)


def test_the_steepest_slope_is_told_with_whose_it_is_where_the_table_has_none() -> None:
    of = demo("ropewalk")
    (a, b), *_ = ((f.start, f.end) for f in of.measured.falls)
    blocks = _falls(replace(of.measured, falls=(Fall(a, b, 1.0, 9.0),)), "BR")
    assert "2010 ADA Standards 405: figures of the United States; no code of Brazil" in str(blocks[-1]["s"])
    assert "ask your building office" in str(blocks[-1]["s"])


def test_a_level_book_in_disorder_is_named() -> None:
    before = plot()
    edit, _ = with_readings(before, "A B 10\nfore A 1.2\nback B 1.1")
    assert edit is not None
    assert "The level book can't be worked out" in said(pages(set_for(apply(before, edit)[0]), "levels"))


def test_tags_say_what_is_coming_when_and_how_to_find_it_again() -> None:
    of = demo("ropewalk")
    tags = [tag for p in pages(of, "stake-tags") for tag in p.blocks[0]["items"]]
    names = [t["name"] for t in tags]
    coming = [j.name for j in waiting(of) if j.does]  # what only takes away or improves needs no stake
    assert names[: len(coming)] == coming
    assert names[-8:] == list("ABCDEFGH")
    hens = next(t for t in tags if t["name"].startswith("Fence the hen run"))
    assert hens["what"].startswith("March 2031. Here: the middle of ")
    assert "Plant nothing here that can't move." in hens["lines"]
    assert all(any(line.startswith("If lost: ") for line in t["lines"]) for t in tags)


def test_the_tag_of_a_pond_stands_beside_it_and_what_lies_in_a_building_or_water_is_out_of_reach() -> None:
    things: list[dict[str, Any]] = [
        {"kind": "pond", "id": "pool", "name": "Pool", "outline": [[4, 4], [8, 4], [8, 8], [4, 8]]},
        {"kind": "pond", "id": "old", "name": "Old pool", "outline": [[12, 4], [16, 4], [16, 8], [12, 8]], "there_from": "start"},
        {"kind": "house", "id": "house", "name": "House", "outline": [[4, 14], [10, 14], [10, 20], [4, 20]], "there_from": "start"},
        {"kind": "bed", "id": "in-old", "name": "Bed in water", "outline": [[13, 5], [15, 5], [15, 7], [13, 7]]},
        {"kind": "bed", "id": "in-house", "name": "Bed in the house", "outline": [[6, 16], [8, 16], [8, 18], [6, 18]]},
    ]  # fmt: skip
    jobs = [job(t["id"], id=f"j-{t['id']}", name=t["name"], start="2027-05") for t in things if "there_from" not in t]
    of = set_for(plot(*things, boundary=[[0, 0], [20, 0], [20, 30], [0, 30]], jobs=jobs))
    tags = {t["name"]: t for p in pages(of, "stake-tags") for t in p.blocks[0]["items"]}
    assert "Here: the edge of Pool, towards " in tags["Pool"]["what"]
    assert not any(line.startswith("Out of reach") for line in tags["Pool"]["lines"])
    assert tags["Bed in water"]["lines"][0] == "Out of reach: it lies in Old pool. Tie this beside it."
    assert tags["Bed in the house"]["lines"][0] == "Out of reach: it lies in House. Tie this beside it."


def test_a_tag_says_sizes_as_a_thing_lies_and_stands_on_it() -> None:
    """What lies aslant had the sizes of the square round it, and the middle of what is bent lay beside it."""
    slant = [[2, 2], [8, 10], [6.4, 11.2], [0.4, 3.2]]  # 10 m by 2 m, by 3-4-5
    things: list[dict[str, Any]] = [
        {"kind": "bed", "id": "slant", "name": "Bed aslant", "outline": slant},
        {"kind": "bed", "id": "thin", "name": "Thin bed", "outline": [[12, 2], [18, 10], [17.6, 10.3], [11.6, 2.3]]},
        {
            "kind": "bed",
            "id": "bent",
            "name": "Bent bed",
            "outline": [[1, 14], [19, 14], [19, 28], [17, 28], [17, 16], [1, 16]],
        },
    ]
    jobs = [job(t["id"], id=f"j-{t['id']}", name=t["name"], start="2027-05") for t in things]
    garden = plot(*things, boundary=[[0, 0], [20, 0], [20, 30], [0, 30]], jobs=jobs)
    tags = {t["name"]: t for p in pages(set_for(garden), "stake-tags") for t in p.blocks[0]["items"]}
    assert (
        tags["Bed aslant"]["what"]
        .replace("\N{NO-BREAK SPACE}", " ")
        .endswith("the middle of Bed aslant, 2.00 m by 10.00 m.")
    )
    assert tags["Thin bed"]["what"].endswith("the middle of Thin bed.")
    assert tags["Bent bed"]["what"].endswith("the middle of Bent bed.")
    at, _ = _middle(set_for(garden), "bent", garden.jobs[2]) or ((0.0, 0.0), "")
    assert shapely.Polygon(things[2]["outline"]).contains(shapely.Point(at))


def test_tags_fit_eight_on_a_page_of_each_paper() -> None:
    for name in ("ropewalk", "kettle-hill"):
        of = demo(name)
        made = pages(of, "stake-tags")
        doc = pdfium.PdfDocument(pdf(of, ["stake-tags"]))
        assert len(doc) == len(made)
        doc.close()


@pytest.mark.parametrize("sheet", OUTDOORS)
def test_every_sheet_speaks_plainly_and_binds(sheet: str) -> None:
    for name in ("ropewalk", "kettle-hill"):
        made = pages(demo(name), sheet)
        assert made
        words = said(made).lower()
        assert not [w for w in JARGON if w in words]
        assert "nan" not in re.findall(r"[a-z]+", words)
        assert all(p.paper_mm == demo(name).paper.size_mm for p in made)


def drawings(of: object) -> Iterator[dict[str, Any]]:
    """The drawings of a page, those within rows too."""
    if isinstance(of, dict):
        if of.get("t") == "drawing":
            yield of
        yield from drawings(list(of.values()))
    elif isinstance(of, list | tuple):
        for part in of:
            yield from drawings(part)


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
@pytest.mark.parametrize("sheet", OUTDOORS)
def test_drawings_stay_inside_the_frame(sheet: str, name: str) -> None:
    wide, high = demo(name).paper.frame_mm
    drawn = list(drawings([page.blocks for page in pages(demo(name), sheet)]))
    assert bool(drawn) == (sheet not in {"levels", "stake-tags"})
    assert [(d["w"], d["h"]) for d in drawn if d["w"] > wide + 1e-6 or d["h"] > high + 1e-6] == []


def test_a_garden_of_nothing_prints_and_says_what_is_needed() -> None:
    of = set_for(plot(boundary=[]))
    assert {p.title for p in pages_of(of)} & {"The measured ground", "Levels", "This Saturday", "Stake tags"} == set()
    for sheet in ("saturday", "setting-out", "survey-plan", "levels", "stake-tags"):
        (page,) = pages(of, sheet)
        assert len([t for t in texts(page.blocks) if t]) == 1
    assert pdf(of, OUTDOORS).startswith(b"%PDF")


def test_a_job_nobody_can_set_out_yet_has_no_page() -> None:
    of = set_for(plot(SHED, boundary=[], jobs=[job("den")]))
    assert [p.title for p in pages(of, "setting-out")] == ["Setting out"]
    assert "two stakes or corners" in said(pages(of, "setting-out"))
    assert "Nothing of this can be set out by tapes yet" in said(pages(of, "saturday"))


def test_every_sheet_has_its_own_id_and_words() -> None:
    assert len({s.ID for s in SHEETS}) == len({s.WORDS for s in SHEETS}) == len(SHEETS)


def test_a_round_shelter_is_set_by_its_eight_posts_and_proved_by_its_diagonals() -> None:
    data = plain(demo_garden("kettle-hill"))
    held = next(f for f in data["features"] if f["id"] == "octagon-place")
    held["chosen"] = "octagon"
    data["journal"] = [
        {"id": f"done-{j['id']}", "day": "2027-01-01", "what": "done", "about": j["id"]}
        for j in data["jobs"]
        if j["id"] != "octagon-job"
    ]
    (page,) = pages(set_for(garden_from(data)), "setting-out")
    assert page.title == "Build the round shelter"
    points, checks = (table["rows"] for table in tables(page))
    assert sorted(cells(r)[2] for r in points) == [f"post {n}" for n in range(1, 9)]
    assert {cells(r)[2] for r in checks} == {
        "12' 5 7/8\""
    }  # 12 ft less the 5 1/2 in post, over the cosine of 22.5 degrees
    assert "ladder" in said(page)


def test_the_measured_ground_shows_the_lengths_that_began_it_beside_those_since() -> None:
    from quincunx.garden.starting import Answers, begin

    begun = begin(Answers.model_validate({"sides": ["18.2", "46", "18", "46.02"], "diagonal": "49.45"}))
    edit, _ = with_readings(begun, "A B 17.22\nB C 46.01\nC D 18.02")
    assert edit is not None
    of = set_for(apply(begun, edit)[0])
    (page,) = pages(of, "survey-plan")
    rows = [cells(row) for table in tables(page) for row in table["rows"]]
    assert ["A to B", "18.2 m", "17.22 m", "! 98 cm apart: more than 8 cm"] in rows
    assert ["D to A", "46.02 m", "–", "not taped again yet"] in rows
    assert "Tape it a third time" in said(page)
    (form,) = pages(of, "readings-form")
    assert ["A", "B", " ", "again: it read 18.2 m, since 17.22 m"] in [cells(r) for r in tables(form)[0]["rows"]]


def test_the_first_taping_allows_no_more_where_the_boundary_was_drawn_anew_and_says_so() -> None:
    """Paced sides leave much; tapes of other corners, drawn since, leave what tapes do."""
    from quincunx.garden.starting import Answers, begin
    from quincunx.sheets._first_ground import begun_elsewhere_words, first_tapes

    paced = begin(Answers.model_validate({"sides": ["18", "46", "18", "46"], "diagonal": "49.4"}))
    before = first_tapes(set_for(paced))
    assert before is not None
    assert begun_elsewhere_words(set_for(paced)) == []
    ring = [[float(x), float(y)] for x, y in paced.boundary]
    other = set_for(garden_from(plain(paced) | {"boundary": [*ring[2:], *ring[:2]]}))
    after = first_tapes(other)
    assert after is not None
    wide, close = ({(t.start, t.end): t.within_m for t in found[1]} for found in (before, after))
    assert wide["A", "B"] > 1.5 * close["A", "B"]
    (told,) = begun_elsewhere_words(other)
    assert "its first lengths A to B, B to C, C to D, D to A and A to C were those of other corners" in told
    (page,) = (p for p in pages(other, "saturday") if p.note == "the ground")
    assert "The boundary was drawn anew" in said(page)
    moved = [ring[0], ring[1], ring[2], [ring[3][0] + 2, ring[3][1]]]
    (told,) = begun_elsewhere_words(set_for(garden_from(plain(paced) | {"boundary": moved})))
    assert "C to D and D to A were" in told
