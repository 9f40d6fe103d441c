"""The years on paper: the chart, the work list, the page of reasons; in plain words, whatever there is to show."""

from __future__ import annotations

import io
import json
import re
from typing import Any

import pypdfium2 as pdfium
import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden, garden_from, timeline
from quincunx.garden.costing import costed
from quincunx.garden.document import Writing
from quincunx.garden.tending import Tending, tending
from quincunx.review import Review
from quincunx.scene import Timeline
from quincunx.sheets import (
    SHEETS,
    Page,
    Set,
    construction,
    pages_of,
    pdf,
    prepare,
    shopping,
    why,
    work_list,
    years_chart,
)
from quincunx.sheets._chart import shortened
from quincunx.sheets.years_chart import LABEL_MM, RIGHT_MM, _nice
from quincunx.works import Entry

INNER = re.compile(
    r"\b(intents?|verdicts?|gap|bound|P[58]0|feasible|optim\w+|solver|constraint|scene)\b", re.IGNORECASE
)
"""Words of ours that never stand on paper."""


def set_of(garden: Garden, paper: str | None = None) -> Set:
    return prepare(garden, paper=paper, judged=Review((), ()))


def plan(jobs: list[dict[str, Any]], features: list[dict[str, Any]] | None = None, **means: Any) -> Garden:
    return garden_from(
        {
            "format": "quincunx/1",
            "boundary": [[0, 0], [20, 0], [20, 20], [0, 20]],
            "features": features or [{"kind": "wall", "id": "wall", "line": [[1, 9], [9, 9]]}],
            "jobs": jobs,
            "means": {"first_year": 2027, "years": 2, "sum_a_year": 50000, "hours_by_month": [8] * 12, **means},
        }
    )


WALL = {"id": "wall", "name": "Build the wall", "does": ["wall"], "costs": [{"words": "Brick", "sum": 30000}], "hours": 12,
        "months": 2, "large": True, "start": "2027-04", "window": [4, 5, 6, 7, 8, 9]}  # fmt: skip
BED = {"id": "bed", "name": "Dig the bed", "costs": [{"words": "Soil", "sum": 4000}, {"words": "Digger", "sum": 9000, "hired": True}],
       "hours": 5, "start": "2028-03"}  # fmt: skip


def words_in(page: Page) -> str:
    return json.dumps([page.title, page.note, page.foot, *page.blocks], ensure_ascii=False)


def drawn(page: Page) -> str:
    return str(page.blocks[0]["svg"])


def texts(svg: str) -> list[str]:
    return re.findall(r"<text[^>]*>([^<]*)</text>", svg)


@pytest.mark.parametrize(
    ("demo", "sheet"),
    [
        ("ropewalk", years_chart),
        ("kettle-hill", years_chart),
        ("ropewalk", work_list),
        ("kettle-hill", work_list),
        ("kettle-hill", why),
    ],
)
def test_every_job_is_on_the_page_and_no_inner_word(demo: str, sheet: Any) -> None:
    of = set_of(demo_garden(demo))
    pages = list(sheet.pages(of))
    said = " ".join(texts(drawn(pages[0])) if sheet is years_chart else [words_in(p) for p in pages])
    for job in of.garden.jobs:
        name = job.name[:40]
        assert name in said or name.replace("'", "&#x27;") in said, name
    assert not INNER.search(said), INNER.search(said)


@pytest.mark.parametrize("paper", ["A4", "Letter", "A3"])
def test_the_chart_fills_one_page_of_any_paper(paper: str) -> None:
    of = set_of(demo_garden("ropewalk"), paper)
    data = pdf(of, ["years-chart"])
    doc = pdfium.PdfDocument(io.BytesIO(data))
    assert len(doc) == 1
    width, height = doc[0].get_size()
    assert width > height
    text = doc[0].get_textpage().get_text_range()
    assert "Fence against roe" in text
    assert "large work" in text
    doc.close()


def test_bars_stand_in_their_months() -> None:
    svg = drawn(next(years_chart.pages(set_of(plan([WALL])))))
    width = float(re.search(r'width="([\d.]+)mm"', svg)[1])  # type: ignore[index]
    each = (width - LABEL_MM - RIGHT_MM) / 24
    bars = re.findall(r'<rect x="([\d.]+)" y="[\d.]+" width="([\d.]+)" height="[\d.]+" fill="#23282b"', svg)
    (job, _legend) = bars
    assert float(job[0]) == pytest.approx(LABEL_MM + 3 * each, abs=0.01)
    assert float(job[1]) == pytest.approx(2 * each, abs=0.01)


def test_each_year_says_what_is_paid_left_and_used() -> None:
    said = texts(drawn(next(years_chart.pages(set_of(plan([WALL, BED]))))))
    assert "paid €300, left €200" in said
    assert "paid €130, left €570" in said
    assert "12 h of 96 h used" in said


def test_a_year_without_the_money_or_the_hours_is_marked_by_more_than_colour() -> None:
    dear = {**WALL, "costs": [{"words": "Brick", "sum": 90000}], "hours": 40}
    svg = drawn(next(years_chart.pages(set_of(plan([dear])))))
    assert "paid €900, short €400" in texts(svg)
    assert (
        svg.count('fill="url(#over)"') > 2
    )  # the crossed pattern: months below zero, months over the hours, the legend
    usual = drawn(next(years_chart.pages(set_of(plan([WALL])))))
    assert usual.count('fill="url(#over)"') == 1


def test_done_begun_and_booked_have_their_own_signs() -> None:
    garden = plan([WALL, {**BED, "booked": True}, {**BED, "id": "path", "name": "Lay the path"}])
    entries = (
        {"id": "a", "day": "2027-05-20", "what": "done", "about": "wall"},
        {"id": "b", "day": "2028-03-02", "what": "begun", "about": "path"},
    )
    garden = garden.model_copy(update={"journal": tuple(Entry.model_validate(e) for e in entries)})
    svg = drawn(next(years_chart.pages(set_of(garden))))
    assert svg.count('fill="url(#done)"') == 2  # the bar and the legend
    assert "Lay the path (begun)" in texts(svg)
    listed = words_in(next(work_list.pages(set_of(garden))))
    assert "Dig the bed (booked)" in listed
    assert "Lay the path (begun)" in listed
    assert listed.count("M2 5.2L4.2 7.6L8 2.4") == 1  # one ticked box


def test_many_jobs_and_years_go_on_further_pages() -> None:
    many = [{**BED, "id": f"bed-{n}", "name": f"Bed {n}", "start": f"{2027 + n % 12}-0{1 + n % 9}"} for n in range(50)]
    of = set_of(plan(many, years=12))
    notes = [p.note for p in years_chart.pages(of)]
    assert notes == ["2027 to 2034"] * 2 + ["2035 to 2038"]
    said = " ".join(" ".join(texts(drawn(p))) for p in years_chart.pages(of))
    assert all(f"Bed {n}" in said for n in range(50))


def test_the_list_says_what_to_order_by_when_in_the_order_of_the_months() -> None:
    page = next(work_list.pages(set_of(plan([WALL, BED]))))
    rows = [
        [c if isinstance(c, str) else c.get("s", "") for c in row[1:]]
        for b in page.blocks
        if b["t"] == "table"
        for row in b["rows"]
    ]
    assert rows == [
        ["by the end of March", "Order for “Build the wall” (April 2027): Brick", "", ""],
        ["April to May", "Build the wall, large work (counted from its work: about 69 h)", "12 h", "€300"],
        ["by the end of December", "Book for “Dig the bed” (March 2028): Digger", "", ""],
        ["by the end of February", "Order for “Dig the bed” (March 2028): Soil", "", ""],
        ["March", "Dig the bed", "5 h", "€130"],
    ]
    assert "€500 comes in, €300 to pay, €200 left at the end. 12 h of the 96 h that upkeep leaves." in words_in(page)


def test_what_to_buy_says_where_the_plan_stands_at_other_prices_than_its_list() -> None:
    path = {"kind": "path", "id": "wall", "line": [[1, 9], [9, 9]], "width": 1.0}
    price = {"id": "gravel", "item": "gravel", "words": "Gravel", "unit": "m3", "sum": 6000}

    def page_of(sum_: int, **means: Any) -> tuple[Set, str]:
        job = {**WALL, "costs": [{"words": "Gravel", "sum": sum_, "worked_out": True}]}
        of = set_of(plan([job], [path], **means).changed(prices=[price]))
        (page,) = shopping.pages(of)
        return of, words_in(page)

    of, raised = page_of(30000)
    now = of.costed[0].reckoned.sum
    assert 0 < now != 30000
    assert "In it the parts of “Build the wall” stand at €300, and what has a price in this list comes to €" in raised
    said = page_of(now)[1]
    assert "stand at" not in said
    assert "prices that" not in said
    said = page_of(now, price_growth=0.025)[1]
    assert "for the jobs that begin this year, at prices that rise by 2.5 in 100 a year after 2027." in said


def test_what_is_ordered_is_written_in_the_persons_own_units() -> None:
    boards = {"words": "fence board", "sum": 5400, "quantity": 36.0, "unit": "4.877 m"}
    garden = plan([{**WALL, "costs": [boards]}]).model_copy(update={"writing": Writing(units="feet", currency="USD")})
    page = next(work_list.pages(set_of(garden)))
    assert "36 × 16' 0" in words_in(page)
    assert "4.88 m" not in words_in(page)


def test_of_a_pond_and_the_flags_round_it_each_area_says_which_it_is() -> None:
    pond = {"kind": "pond", "id": "pond", "outline": [[3, 3], [7, 3], [7, 7], [3, 7]], "edge": "flags"}
    garden = plan([{**WALL, "does": ["pond"]}], features=[pond])
    (page,) = [p for p in construction.pages(set_of(garden)) if p.title.startswith("Walls")]
    said = words_in(page)
    assert "16.0 m² of water" in said
    assert re.search(r"[0-9.]+ m² of flags", said)
    assert "m² in all" not in said


def test_the_list_says_where_the_hours_run_over_and_what_has_no_month() -> None:
    page = next(work_list.pages(set_of(plan([{**WALL, "hours": 20}, {k: v for k, v in BED.items() if k != "start"}]))))
    said = words_in(page)
    assert "More hours than there are in April (2 h), May (2 h)." in said
    assert "Not in the plan" in said
    assert "Dig the bed. The page of reasons says" in said


def test_the_list_says_once_beside_a_job_where_its_hours_lie_far_from_the_counted() -> None:
    far = words_in(next(iter(work_list.pages(set_of(plan([{**WALL, "hours": 4}, BED]))))))
    assert far.count("(counted from its work: about ") == 1
    assert far.count("Take the counted hours") == 1
    near = costed(plan([WALL]), timeline(plan([WALL])))[0].reckoned.hours
    assert "counted" not in words_in(next(iter(work_list.pages(set_of(plan([{**WALL, "hours": near}, BED]))))))


def test_the_list_says_nothing_of_hours_in_months_that_are_past() -> None:
    garden = plan([{**WALL, "hours": 20}])
    over = "More hours than there are in April (2 h), May (2 h)."
    assert over in words_in(next(work_list.pages(set_of(garden))))
    done = Entry.model_validate({"id": "a", "day": "2027-06-20", "what": "done", "about": "wall"})
    past = garden.model_copy(update={"journal": (done,)})
    assert "More hours" not in words_in(next(work_list.pages(set_of(past))))


def test_the_reasons_say_how_sure_and_keep_the_version() -> None:
    said = words_in(next(why.pages(set_of(plan([{**WALL, "start": "2027-04"}, {**BED, "start": "2027-01"}])))))
    assert "nothing better exists" in said
    assert "The first month its season allows" in said
    assert "Worked out with ortools " in said
    late = words_in(next(why.pages(set_of(plan([{**WALL, "start": "2028-04"}, BED])))))
    assert "A better order of works is known" in late


def test_the_reasons_offer_nothing_in_months_gone_by() -> None:
    of = set_of(plan([{**WALL, "start": "2028-04"}, {**BED, "start": "2027-01"}]))
    now = words_in(next(why.pages(of.since(12 * 2028 + 1))))
    assert "that month has gone by" in now
    assert "and the garden would give more use so" not in now
    assert "and the garden would give more use so" in words_in(next(why.pages(of)))
    before = words_in(next(why.pages(of.since(12 * 2026 + 10))))
    assert before == words_in(next(why.pages(of)))


def test_the_reasons_name_what_is_broken_and_what_contradicts_itself() -> None:
    dear = words_in(next(why.pages(set_of(plan([{**WALL, "costs": [{"words": "Brick", "sum": 90000}]}])))))
    assert "What this order breaks" in dear
    long = plan([{**WALL, "months": 3, "window": [4, 5], "must": True}])
    said = words_in(next(why.pages(set_of(long))))
    assert "The jobs contradict themselves" in said
    assert "Build the wall takes 3 months, but its season is never that long" in said


def test_without_jobs_there_are_no_pages_but_a_line_if_asked() -> None:
    of = set_of(plan([]))
    for sheet in (years_chart, work_list, why):
        assert list(sheet.pages(of)) == []
        assert sheet in SHEETS
        (page,) = pages_of(of, [sheet.ID])
        assert page.blocks == ({"t": "text", "s": sheet.NEEDS},)


def test_long_names_are_cut_and_steps_are_round() -> None:
    assert shortened("Set the arch", 60, 2.5) == "Set the arch"
    cut = shortened("Steps, bench and north hedge on the hill, and more", 30, 2.5)
    assert cut.endswith("…")
    assert len(cut) <= 30 / (0.47 * 2.5)
    assert [_nice(span, 4) for span in (3, 40, 90, 8000, 590_000)] == [1, 10, 50, 2000, 200_000]


def test_the_same_garden_makes_the_same_pages() -> None:
    one, two = (list(years_chart.pages(set_of(demo_garden("ropewalk")))) for _ in range(2))
    assert one == two


def test_the_table_of_years_and_the_pages_of_care_tell_the_same_upkeep() -> None:
    """What is set aside and what is reckoned are two things, each under its own name; nothing set aside is none."""
    for hours in ({}, {"upkeep_by_month": [3] * 12}):
        garden = demo_garden("ropewalk")
        of = set_of(
            garden.model_copy(
                update={
                    "means": garden.means.model_copy(
                        update={"upkeep_by_month": (0.0,) * 12, "upkeep_other_years": (), **hours}
                    )
                }
            )
        )
        rows: dict[str, list[Any]] = {}
        for page in pages_of(of, ["years-table"]):
            for row in tables_in(page):
                name, *cells = (c["s"] if isinstance(c, dict) and "s" in c else c for c in row)
                rows[name] = [*rows.get(name, []), *cells]
        aside = {y: sum(of.garden.means.upkeep(y)) for y in of.timeline.years}
        assert rows["Set aside for upkeep"] == [f"{h:g} h" if h else "none" for h in aside.values()]
        reckoned = []
        for page in pages_of(of, ["care"]):
            reckoned += [row[-1] for row in tables_in(page) if isinstance(row[0], dict) and row[0].get("s") == "in all"]
        assert rows["Upkeep as reckoned, about"] == [f"{h} h" for h in reckoned]
        assert len(reckoned) == len(of.timeline.years)


def test_upkeep_is_reckoned_once_for_all_pages_that_tell_of_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """A page a year reckoned every year anew: of two thousand things over thirty years that was most of a print."""
    from quincunx.sheets import _set

    asked: list[object] = []

    def told(line: Timeline, now: int | None = None) -> dict[int, Tending]:
        asked.append(line)
        return tending(line, now)

    monkeypatch.setattr(_set, "tending", told)
    of = set_of(demo_garden("ropewalk"))
    list(pages_of(of, ["years-table", "care"]))
    assert asked == [of.timeline]


def tables_in(page: Page) -> list[list[Any]]:
    blocks = [b for one in page.blocks for b in one.get("blocks", [one])]
    return [row for b in blocks if b["t"] == "table" for row in b["rows"]]
