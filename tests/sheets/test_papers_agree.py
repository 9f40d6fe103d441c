"""The papers of one garden against each other: what one page says, another that says it too must say alike."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

import icalendar
import pypdfium2 as pdfium
import pytest

from quincunx.build.prices import Bought
from quincunx.garden import Garden, garden_from
from quincunx.garden.safety import in_place
from quincunx.review import Review
from quincunx.sheets import Page, Set, pages_of, pdf, prepare
from quincunx.sheets._care import DIGGING
from quincunx.sheets._front import FROM, front
from quincunx.sheets.calendar_file import calendar_file
from quincunx.units import Style, format_hours, format_money, own_units, parse_length
from quincunx.units.dates import MONTHS
from quincunx.years.months import months_of
from tests.sheets.outdoors import SHED, cells, demo, job, plot, said, set_for, tables, texts

DEMOS = ("ropewalk", "kettle-hill")
SMALL = Path(__file__).parents[2] / "docs" / "gardens" / "washing-green.json"
MONEY = re.compile(r"[£$€]([\d,]+(?:\.\d\d)?)")


@cache
def page_of(name: str, sheet: str) -> tuple[Page, ...]:
    return tuple(pages_of(demo(name), [sheet]))


def flat(page: Page) -> list[dict[str, Any]]:
    """Return a page's blocks with those kept together among them."""
    return [x for b in page.blocks for x in (b["blocks"] if b["t"] == "keep" else [b])]


def under(pages: tuple[Page, ...]) -> dict[str, list[list[str]]]:
    """Return the rows of tables by the heading they stand under."""
    found: dict[str, list[list[str]]] = {}
    for page in pages:
        heading = ""
        for block in flat(page):
            if block["t"] == "heading":
                heading = block["s"]
            elif block["t"] == "table":
                found.setdefault(heading, []).extend(cells(row) for row in block["rows"])
    return found


def pence(words: str) -> int:
    found = MONEY.search(words)
    return round(float(found[1].replace(",", "")) * 100) if found else 0


def number(words: str) -> tuple[float, str]:
    """Return how many of what: ``12 × 2.40 m`` is (12, "2.40 m"), ``3 loads`` is (3, "load")."""
    if "'" in words and " × " not in words:
        return parse_length(words, Style(system="feet")), "m"
    count, _, unit = words.partition(" × ") if " × " in words else words.partition(" ")
    return float(count.replace(",", "")), unit.removesuffix("es") if unit == "boxes" else unit.removesuffix("s")


@pytest.mark.parametrize("name", DEMOS)
def test_every_material_of_a_years_jobs_is_in_that_years_shopping_list_as_often(name: str) -> None:
    bills, jobs = under(page_of(name, "bill")), {j.name: j for j in demo(name).garden.jobs}
    wanted: dict[str, dict[tuple[str, str], float]] = {}
    for heading, rows in bills.items():
        if heading in jobs and jobs[heading].start:
            year = wanted.setdefault(str(jobs[heading].start)[:4], {})
            for what, _, buy, *_ in rows:
                much, unit = number(buy)
                year[what, unit] = year.get((what, unit), 0.0) + much
    listed: dict[str, dict[tuple[str, str], float]] = {}
    for heading, rows in under(page_of(name, "shopping")).items():
        for row in rows:
            if row[2]:
                much, unit = number(row[2])
                year = listed.setdefault(heading[:4], {})
                year[row[1], unit] = year.get((row[1], unit), 0.0) + much
    assert len(wanted) >= 6
    assert wanted.keys() == listed.keys()
    for when, things in wanted.items():
        assert things.keys() == listed[when].keys(), when
        for thing, much in things.items():
            # Each line is written to two places, always up; areas to three figures.
            assert listed[when][thing] == pytest.approx(much, abs=0.03, rel=0.005), (when, thing)


@pytest.mark.parametrize("name", DEMOS)
def test_the_sums_of_the_shopping_list_are_those_of_its_lines_and_of_the_bills(name: str) -> None:
    bills = under(page_of(name, "bill"))
    jobs = {j.name: str(j.start)[:4] for j in demo(name).garden.jobs if j.start}
    for heading, rows in under(page_of(name, "shopping")).items():
        lines = sum(pence(row[3]) for row in rows)
        assert abs(lines - pence(heading)) <= 50  # the heading is in whole pounds
        assert lines == sum(
            pence(row[3]) for j, year in jobs.items() if year == heading[:4] for row in bills.get(j, [])
        )


@pytest.mark.parametrize("name", DEMOS)
def test_a_job_is_in_the_calendar_in_the_months_and_for_the_money_of_its_line_in_the_list(name: str) -> None:
    of = demo(name)
    calendar = icalendar.Calendar.from_ical(calendar_file(of))
    events = {str(e["SUMMARY"]): e for e in calendar.walk("VEVENT")}
    lines = {
        row[2].partition(" (counted from its work")[0].removesuffix(", large work"): (year, row)
        for year, rows in under(page_of(name, "work-list")).items()
        for row in rows
    }
    found = 0
    for one in of.garden.jobs:
        if not one.start:
            assert one.name not in events
            continue
        year, row = lines[one.name]
        event = events[one.name]
        begins = event.decoded("DTSTART")
        assert (str(begins.year), MONTHS[begins.month - 1]) == (year, row[1].split(" ")[0])
        assert pence(row[4]) == pytest.approx(of.to_pay(one), abs=50)
        found += 1
    assert found >= 19


@pytest.mark.parametrize("name", DEMOS)
def test_a_year_begins_with_what_the_last_one_left_and_its_jobs_come_to_what_is_paid(name: str) -> None:
    *_, table = (b for page in page_of(name, "years-table") for b in flat(page) if b["t"] == "table")
    rows = {row[0]: row[1:] for row in map(cells, table["rows"])}
    start, income, spent, left = (
        [pence(x) // 100 for x in rows[r]] for r in ("In hand at the start", "Comes in", "Spent", "Left at the end")
    )
    assert start[0] == demo(name).garden.means.opening // 100 > 0
    for k in range(len(start)):
        assert start[k] + income[k] - spent[k] == left[k]
        assert k == 0 or start[k] == left[k - 1]
    by_year = under(page_of(name, "work-list"))
    for year, paid in zip(demo(name).timeline.years, spent, strict=True):
        jobs = [pence(row[4]) // 100 for row in by_year.get(str(year), []) if row[4]]
        assert sum(jobs) == paid
    assert sum(m.spent for m in months_of(demo(name).garden)) // 100 == pytest.approx(sum(spent), abs=len(spent))


def minutes(words: str) -> int:
    hours, rest = re.search(r"(\d+) h", words), re.search(r"h (\d\d)|(\d+) min", words)
    return 60 * int(hours[1] if hours else 0) + int((rest[1] or rest[2]) if rest else 0)


@pytest.mark.parametrize("name", DEMOS)
def test_what_the_first_page_adds_up_is_what_its_rows_come_to_and_the_list_of_what_to_do_says(name: str) -> None:
    of = demo(name)
    page = front(of, ())
    (rows,) = ([cells(r) for r in t["rows"]] for t in tables(page) if t["head"][0] == "year")
    whole = said(page)
    assert f"{format_hours(sum(minutes(r[3]) for r in rows) / 60, of.garden.style)} of own work" in whole
    assert f"and {format_money(sum(pence(r[2]) for r in rows), of.garden.style, whole=True)} in all" in whole
    listed = {y: rows for y, rows in under(page_of(name, "work-list")).items() if y.isdecimal()}
    for year, _, paid, hours, _ in rows:
        assert sum(pence(r[4]) for r in listed[year] if r[4]) == pence(paid)
        assert sum(minutes(r[3]) for r in listed[year] if r[3]) == minutes(hours)


@pytest.mark.parametrize("name", DEMOS)
def test_the_list_of_what_to_do_says_that_prices_rise_and_the_bill_that_its_own_do_not(name: str) -> None:
    growth = 100 * demo(name).garden.means.price_growth
    assert growth > 0
    assert f"rise by {growth:g} in 100 a year" in said(page_of(name, "work-list"))
    assert f"count {growth:g} in 100 more" in said(page_of(name, "bill"))


@pytest.mark.parametrize("name", DEMOS)
def test_plants_are_ordered_by_the_month_that_the_list_of_what_to_do_names(name: str) -> None:
    of = demo(name)
    orders = {
        row[2].split("“")[1].split("”")[0]: row[1].removeprefix("by the end of ").split(" ")[0]
        for rows in under(page_of(name, "work-list")).values()
        for row in rows
        if row[2].startswith("Order for")
    }
    schedule = [row for p in page_of(name, "planting") for t in tables(p) for row in map(cells, t["rows"])]
    looked = 0
    for row in schedule:
        owner = next(f for f in of.garden.features if f.called == row[2])
        planting = of.timeline.job_of(owner.id)
        if planting is not None and row[7]:
            assert row[7].split(" ")[0] == orders[planting.name], row
            assert MONTHS[int(str(planting.start)[5:]) - 1] in row[8]
            looked += 1
    assert looked >= 5


def test_each_page_that_a_page_names_is_in_the_set() -> None:
    of = set_for(garden_from(json.loads(SMALL.read_text())))
    pages = list(pages_of(of))
    titles = {p.title for p in pages}
    named = set(re.findall(r"page “([^”]+)”", said(pages)))
    assert named <= titles
    assert len(pages) > FROM


def printed(of: Set) -> list[str]:
    return [p.get_textpage().get_text_range() for p in pdfium.PdfDocument(pdf(of))]


def test_the_first_page_says_on_which_page_everything_is() -> None:
    of = set_for(garden_from(json.loads(SMALL.read_text())))
    told = printed(of)
    first = next(iter(pages_of(of)))
    assert first.title == "What is in these papers"
    assert in_place(DIGGING, of.garden) in said(first)
    lines = [line.strip() for line in told[0].splitlines()]
    for title in ("This Saturday", "Take care", "Stake tags", "Plant the hedges"):
        ((at, last),) = {
            (int(m[1]), int(m[2] or m[1]))
            for line in lines
            if (m := re.search(rf"^{title}\b.*?(\d+)(?: to (\d+))?$", line)) and "2027" not in line
        }
        assert all(title in told[n - 1] for n in range(at, last + 1)), (title, at, last)
        assert title not in told[at - 2].splitlines()[0]
    assert f"1 of {len(told)}" in told[0]


def test_one_sheet_and_a_few_pages_need_no_first_page() -> None:
    of = set_for(garden_from(json.loads(SMALL.read_text())))
    assert [p.title for p in pages_of(of, ["plan"])] == ["The plan"]
    assert "What is in these papers" not in [p.title for p in pages_of(of, ["plan", "saturday"])]


GATED = {"kind": "fence", "id": "mesh", "name": "Mesh", "line": [[0, 5], [12, 5]], "sort": "mesh", "height": 1.5,
         "post_spacing": 2.0}  # fmt: skip
GATE = {"kind": "gate", "id": "way", "name": "Way", "at": [6, 5], "width": 1.0}


def test_no_post_is_set_in_the_middle_of_a_gate() -> None:
    of = set_for(plot(GATED, GATE, jobs=[job("mesh", "way")]))
    words = said(list(pages_of(of, ["setting-out"])))
    assert "stand at 2.000 m, 4.000 m, 8.000 m, 10.000 m along it" in words
    assert "None between 5.500 m and 6.500 m: Way is there" in words
    alone = set_for(plot(GATED, jobs=[job("mesh")]))
    assert "4.000 m, 6.000 m, 8.000 m" in said(list(pages_of(alone, ["setting-out"])))


def test_a_fence_stops_at_its_gate_in_the_bill_the_cutting_list_and_the_setting_out() -> None:
    of = set_for(plot(GATED, GATE, jobs=[job("mesh", "way")]))
    (found,) = of.costed
    nets = {b.item: b.net for b in found.reckoned.bill}
    assert nets["wire-mesh-150"] == pytest.approx(11.0)
    pieces = {(p.name, round(p.length_m, 2)): p.count for c in found.reckoned.cuts for p in c.pieces}
    # 0, 2, 4, 8, 10 and 12 m; the gate's: 0.75 m in the ground, 5 cm under it, 1.2 m, and 5 cm over it.
    assert pieces == {("post", 2.1): 6, ("hanging post", 2.05): 1, ("closing post", 2.05): 1}
    words = said(list(pages_of(of, ["construction"])))
    assert "mesh: 11.00 m long in 2 pieces" in words
    assert "6 posts 75 × 75 mm" in words
    assert "2 posts 100 × 100 mm" in words
    assert "post in its hole: 75 cm deep in concrete" in words
    assert "a heavy leaf may ask for more: your local code decides" in words
    assert "1 × closing post 2.050 m, 1 × hanging post 2.050 m" in words


def test_a_gate_that_comes_later_is_cut_into_a_whole_fence() -> None:
    of = set_for(plot(GATED, GATE, jobs=[job("mesh"), job("way", id="later", start="2029-04")]))
    nets = [b.net for c in of.costed for b in c.reckoned.bill if b.item == "wire-mesh-150"]
    assert nets == [12.0]


HEDGED = {"kind": "hedge", "id": "green", "name": "Green", "line": [[2, 5], [12, 5]], "spacing": 0.5, "rows": 2,
          "row_apart": 0.4}  # fmt: skip


def planted(of: Set) -> dict[str, int]:
    """Return how many plants of the hedge each paper, and the bill, has."""
    flat_words = re.sub(r"\s+", " ", said(list(pages_of(of, ["saturday"]))))
    (row,) = (
        r for p in pages_of(of, ["planting"]) for t in tables(p) for r in map(cells, t["rows"]) if r[2] == "Green"
    )
    (found,) = (c for c in of.costed if "green" in c.job.does)
    set_out = next(t for t in texts(list(pages_of(of, ["setting-out"]))) if "apart along" in t).replace("\xa0", " ")
    runs = [int(n) for n in re.findall(r"(\d+) from", set_out)]
    saturday = re.findall(r"(\d+) × European hornbeam", flat_words)
    return {
        "saturday": int(saturday[0]),
        "schedule": int(row[3]),
        "bill": round(next(b.net for b in found.reckoned.bill if b.item == "plant-carpinus-betulus")),
        "setting out": sum(runs),
        "standing": sum(p.count for p in of.summer(2027).plants),
    }


def test_a_hedge_is_planted_on_both_sides_of_its_gate_on_every_paper() -> None:
    """Counted by hand: the gate takes 3.4 to 4.6 m of 10 m, so 7 and 11 plants in one row, 6 and 10 between them."""
    of = set_for(plot(HEDGED, GATE, jobs=[job("green", "way")]))
    assert set(planted(of).values()) == {34}
    words = said(list(pages_of(of, ["setting-out"]))).replace("\xa0", " ")
    assert "None between 3.400 m and 4.600 m: Way is there." in words
    assert "7 from 0.150 m to 3.150 m, 11 from 4.850 m to 9.850 m" in words
    assert "6 from 0.400 m to 2.900 m, 10 from 5.100 m to 9.600 m" in words


def test_a_gate_that_comes_later_is_dug_into_a_whole_hedge_and_that_is_noticed() -> None:
    """Those from 3.25 to 4.75 m in one row, from 3.5 to 4.5 m in the other: four and three."""
    of = set_for(plot(HEDGED, GATE, jobs=[job("green"), job("way", id="later", start="2029-04")]), noticed=True)
    assert set(planted(of).values()) == {40}
    assert sum(p.count for p in of.summer(2029).plants) == 40 - 7
    (found,) = (f for f in of.review.findings if f.id == "planted-in-way-green-way")
    assert "7 plants of Green are set where Way stands from May 2029" in found.words


def test_a_gap_ends_on_posts_of_the_fence_and_a_gate_in_a_wall_on_none() -> None:
    of = set_for(plot(GATED, {**GATE, "kind": "gap"}, jobs=[job("mesh", "way")]))
    pieces = [(p.name, p.count) for c in of.costed[0].reckoned.cuts for p in c.pieces]
    assert pieces == [("post", 8)]
    words = said(list(pages_of(of, ["setting-out"])))
    assert "stand at 2.000 m, 4.000 m, 5.463 m, 6.537 m, 8.000 m, 10.000 m along it" in words
    hung = set_for(plot({**GATE, "hung_on": "wall"}, jobs=[job("way")]))
    assert [b.item for b in hung.costed[0].reckoned.bill] == ["gate"]
    assert "somebody who knows walls" in said(list(pages_of(hung, ["take-care"])))


def test_a_gap_is_not_bought() -> None:
    of = set_for(plot(GATED, {**GATE, "kind": "gap"}, jobs=[job("mesh", "way")]))
    (found,) = of.costed
    assert all("gap" not in b.words for b in found.reckoned.bill)


@pytest.mark.parametrize(
    ("words", "metric", "feet"),
    [
        ("pads 40 cm (16 in) square", "pads 40 cm square", "pads 16 in square"),
        (
            "rail 45 × 95 mm (1.77 × 3.74 in) over 2.31 m (7.6 ft)",
            "rail 45 × 95 mm over 2.31 m",
            'rail 1 3/4" × 3 3/4" over 7\' 7"',
        ),
        ("clipped every 30 cm", "clipped every 30 cm", "clipped every 1' 0\""),
        ("76 cm deep, joints of 10 mm", "76 cm deep, joints of 10 mm", '2\' 6" deep, joints of 3/8"'),
        ("coach screw 8 × 120 mm", "coach screw 8 × 120 mm", "coach screw 8 × 120 mm"),
        ("up to 7 ft (2.13 m), 200 ft2 (18.6 m²)", "up to 2.13 m, 18.6 m²", "up to 7 ft, 200 ft²"),
        ("the place has 0.6 kN/m², 14 l/h", "the place has 0.6 kN/m², 14 l/h", "the place has 13 psf, 3.7 gal/h"),
    ],
)
def test_a_size_is_said_in_the_persons_units_only(words: str, metric: str, feet: str) -> None:
    assert own_units(words, Style()) == metric
    assert own_units(words, Style(system="feet")) == feet


def test_nothing_of_a_feet_garden_is_built_in_centimetres() -> None:
    words = said([*page_of("kettle-hill", "construction"), *page_of("kettle-hill", "take-care")])
    assert not re.findall(r"\b\d+ cm\b", words)
    assert "every 1' 0\", never stapled hard" in words


def test_the_cuts_of_alike_beds_are_counted_together() -> None:
    beds = [
        {
            "kind": "raised-bed",
            "id": f"bed-{n}",
            "name": f"Bed {n}",
            "outline": [[x, 6], [x + 2.4, 6], [x + 2.4, 7.2], [x, 7.2]],
        }
        for n, x in ((0, 3.0), (1, 8.0))
    ]
    of = set_for(plot(*beds, jobs=[job("bed-0", "bed-1")]))
    words = said(list(pages_of(of, ["construction"])))
    assert len(re.findall(r"\d+ × side board 2\.400 m", words)) == 1


def test_bags_are_carried_by_what_is_written_on_them() -> None:
    bill = under(page_of("kettle-hill", "shopping"))
    bags = [row for rows in bill.values() for row in rows if row[1] == "Concrete mix, 80 lb"]
    assert bags
    for row in bags:
        assert float(row[4].split(" ")[0].replace(",", "")) == pytest.approx(80 * number(row[2])[0], rel=0.001)


@pytest.mark.parametrize("name", DEMOS)
def test_the_garden_has_every_job_of_the_calendar_among_what_to_take_care_of_if_it_digs(name: str) -> None:
    of = demo(name, noticed=True)
    (page,) = pages_of(of, ["take-care"])
    rows = {row[1]: row for row in map(cells, tables(page)[-1]["rows"])}
    held = {f.id for f in of.garden.features if f.held_place() is not None}
    (one,) = (j for j in of.garden.jobs if held & set(j.does))
    assert "If it becomes" in rows[one.name][3]
    assert len(rows[one.name][2].split()) >= 3  # digging, cement, overhead


def bought(words: str, kg: float, count: float, sold_by: str) -> Bought:
    return Bought("x", words, 1, 1, "each", count, sold_by, None, None, None, "", kg, "", ())


def test_what_is_heavy_is_named_and_a_loose_load_is_not() -> None:
    from quincunx.sheets._building import piece_kg

    assert piece_kg(bought("Stone flag", 360, 10, "each")) == 36
    assert piece_kg(bought("Concrete mix, 80 lb", 1, 7, "bag")) == pytest.approx(36.29, abs=0.01)
    assert piece_kg(bought("Dry mortar mix, 25 kg", 281, 10, "bag")) == 25
    assert piece_kg(bought("Cement 22.5 kg", 281, 10, "bag")) == 22.5
    assert piece_kg(bought("Cement 25kg", 281, 10, "bag")) == 25
    assert piece_kg(bought("Post", 60, 2, "3.6 m")) == 30
    assert piece_kg(bought("Crushed stone", 8000, 8, "t")) == 0


def test_a_lamp_on_the_mains_asks_for_somebody_qualified() -> None:
    lamp = {"kind": "light-point", "id": "lamp", "at": [3, 3], "supply": "mains"}
    (page,) = pages_of(set_for(plot(lamp, jobs=[job("lamp")]), noticed=True), ["take-care"])
    assert "only somebody qualified wires it" in said(page)
    low = set_for(plot({**lamp, "supply": "low voltage"}, jobs=[job("lamp")]), noticed=True)
    assert "qualified wires it" not in said(list(pages_of(low, ["take-care"])))


def test_water_is_as_deep_as_its_deepest_place() -> None:
    pond = {"kind": "pond", "id": "pool", "name": "Pool", "outline": [[5, 5], [9, 5], [9, 9], [5, 9]], "depth": 0.9,
            "margin_depth": 0.2, "there_from": "start"}  # fmt: skip
    of = set_for(plot(pond), noticed=True)
    (found,) = (f for f in of.review.findings if f.id == "water-pool")
    assert "holds up to 0.90 m of water" in found.words
    assert "Many places require a barrier" in found.words


def test_a_pond_is_dug_to_its_depths_not_to_their_mean() -> None:
    pond = {"kind": "pond", "id": "pool", "name": "Pool", "outline": [[5, 5], [9, 5], [9, 9], [5, 9]], "depth": 0.9,
            "margin": 0.4, "margin_depth": 0.2, "below": 0.05}  # fmt: skip
    of = set_for(plot(pond, jobs=[job("pool")]))
    built, set_out = (said(list(pages_of(of, [sheet]))) for sheet in ("construction", "setting-out"))
    assert (
        "water, in the middle 0.90 m deep, dug 0.95 m below the ground around; on the shelf round it, 0.40 m wide,"
        " 0.20 m deep, dug 0.25 m below the ground around"
    ) in built
    assert "Water, in the middle 0.90 m deep, dug 0.95 m below the ground around" in set_out
    assert "Its edge in all" in set_out
    assert {"corner 1", "corner 4"} <= set(texts(list(pages_of(of, ["setting-out"]))))  # the rim of the water
    assert "Its edges" not in set_out
    assert "Its top lies" not in set_out
    mean = (3.2**2 * 0.9 + (16 - 3.2**2) * 0.2) / 16
    assert f"{mean:.2f} m" not in built
    assert f"{mean:.2f}" not in set_out


def test_a_garden_with_nothing_but_ground_has_a_first_page_that_holds() -> None:
    of = prepare(plot(), judged=Review((), ()))
    assert isinstance(of.garden, Garden)
    assert all(p.blocks for p in pages_of(of))


def test_a_year_in_which_nothing_changes_has_no_plan_of_its_own() -> None:
    still = set_for(plot(SHED | {"there_from": "start"}))
    assert [p.title for p in pages_of(still, ["year-plans"])] == ["2027"]
    built = set_for(plot(SHED, jobs=[job("den", start="2028-04")]))
    assert [p.title for p in pages_of(built, ["year-plans"])] == ["2027", "2028"]


def test_a_few_inches_are_said_in_inches_and_a_weight_in_a_name_is_not_said_again() -> None:
    words = said(page_of("kettle-hill", "take-care"))
    assert "a few inches" in said(page_of("kettle-hill", "saturday")) + words
    assert "a few centimetres" not in words
    assert "80 lb (about 80 lb)" not in words
    assert "Concrete mix, 80 lb" in words


def test_the_plan_of_a_year_names_what_it_shows_and_what_comes_after_it() -> None:
    """In the south a year is judged at the end of February: what is made in September isn't on that year's plan."""
    south = {"place": {"name": "Low", "latitude_deg": -39.8, "longitude_deg": -73.2}}
    of = set_for(plot(SHED, jobs=[job("den", start="2027-09", name="Build the den")], site=south))
    notes = [p.note for p in pages_of(of, ["year-plans"])]
    assert notes[0].startswith("late summer; later in 2027, not drawn yet: Build the den")
    assert notes[1].startswith("late summer: Build the den")
    spring = set_for(plot(SHED, jobs=[job("den", start="2027-04", name="Build the den")]))
    assert next(iter(pages_of(spring, ["year-plans"]))).note.startswith("late summer: Build the den")


def test_money_without_smaller_units_is_not_rounded_and_what_lacks_is_carried() -> None:
    money = {"years": 2, "sum_a_year": 1000, "hours_by_month": [9] * 12}
    dear: dict[str, Any] = {
        "jobs": [job("den", start="2027-04", costs=[{"words": "Timber", "sum": 1500}])],
        "means": money,
    }
    pesos, euros = (
        said(list(pages_of(set_for(plot(SHED, writing={"currency": c}, **dear)), ["work-list", "years-table"])))
        for c in ("CLP", "EUR")
    )
    assert "rounded to whole units" in euros
    assert "rounded to whole units" not in pesos
    assert re.search(r"CLP\s500 lacking from before, CLP\s1,000 comes in", pesos)
