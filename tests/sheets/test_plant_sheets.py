"""The sheets about plants: schedule, harvest, care; on both demonstration gardens and on a bare one."""

from __future__ import annotations

import json
from typing import Any

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden
from quincunx.grow.harvest import harvests
from quincunx.sheets import care as care_sheet, harvest as harvest_sheet, pages_of, planting as planting_sheet, prepare
from quincunx.sheets.care_calendar import care_calendar
from quincunx.units import format_mass


@pytest.fixture(scope="module", params=["ropewalk", "kettle-hill"])
def of(request):
    from quincunx.review import Review

    return prepare(demo_garden(request.param), judged=Review((), ()))


def text_of(pages) -> str:
    return json.dumps([p.blocks for p in pages], ensure_ascii=False)


def test_the_schedule_counts_what_stands(of):
    lines = planting_sheet.schedule(of)
    assert [line.number for line in lines] == list(range(1, len(lines) + 1))
    last = {p.owner: p.count for p in of.summer(of.timeline.years[-1]).plants}
    for line in lines:
        if line.one.owner in last:
            owner = line.one.owner
            set_ = of.timeline.span(owner).begins or 0
            later = [w for w in of.timeline.ways_in(of.timeline.feature(owner)) if set_ < w.begins < 10**6]
            assert line.count == line.one.standing.count
            assert (line.count > last[line.one.owner]) if later else (line.count == last[line.one.owner])
    planned = [line.month for line in lines if line.month is not None]
    assert planned == sorted(planned)
    text = text_of(planting_sheet.pages(of))
    assert "Have buried lines located" in text


def test_the_plan_is_true_to_scale(of):
    plan = next(iter(planting_sheet.pages(of)))
    block = plan.blocks[0]
    west, _, east, _ = of.bounds
    number = float(plan.scale.split(":")[1].split()[0]) if plan.scale.startswith("1:") else None
    if number:
        assert block["w"] == pytest.approx(1000 * (east - west) / number)
    assert block["svg"].count("<text") >= len(planting_sheet.schedule(of))


def test_the_harvest_page_says_what_when_and_how_sure(of):
    text = text_of(harvest_sheet.pages(of))
    assert "lies between" in text
    found = harvests(of.timeline)
    last = found[of.timeline.years[-1]].kg
    low, high = (format_mass(v, of.garden.style) for v in (last.low, last.high))
    assert f"{low.split(' ')[0]} to {high}" in text  # as the board says it
    assert "not before" in text or "by 20" in text
    assert "kg" in text or "lb" in text


def test_care_by_month_with_its_cautions(of):
    pages = list(care_sheet.pages(of))
    assert len(pages) == len(of.timeline.years)
    text = text_of(pages)
    assert "Ladders" in text
    assert "Prune while dormant" in text or "Clip the hedge" in text


def test_the_care_calendar_is_the_same_twice_and_reads_back(of):
    import icalendar

    first, second = care_calendar(of), care_calendar(of)
    assert first == second
    events = list(icalendar.Calendar.from_ical(first).walk("VEVENT"))
    assert events
    assert len({str(e["uid"]) for e in events}) == len(events)
    days: list[Any] = [e["dtstart"] for e in events]
    years = {d.dt.year for d in days}
    assert years <= set(of.timeline.years)


def test_what_was_lost_is_planted_again_in_a_season_to_come_on_the_page_and_in_the_calendar():
    import icalendar

    from quincunx.review import Review

    bush = {"kind": "shrub", "id": "bush", "at": [3, 3], "plant": "corylus-avellana", "there_from": "2027-03"}
    told = Garden.model_validate(
        {
            "name": "Hazel yard",
            "boundary": [[0, 0], [9, 0], [9, 9], [0, 9]],
            "means": {"first_year": 2027, "years": 5},
            "features": [bush],
            "journal": [{"id": "j1", "day": "2028-06-10", "what": "lost", "about": "bush"}],
        }
    )

    def again(of):
        pages = [p.title for p in care_sheet.pages(of) if "plant again" in text_of([p]).lower()]
        dated: Any = icalendar.Calendar.from_ical(care_calendar(of)).walk("VEVENT")
        return len(pages), [str(e["dtstart"].dt)[:7] for e in dated if "plant again" in str(e["summary"]).lower()]

    of = prepare(told, judged=Review((), ()))
    assert again(of) == (1, ["2028-11"])
    assert again(of.since(12 * 2029 + 5)) == (1, ["2029-11"])


def test_a_bare_garden_has_no_plant_pages_and_says_what_they_need():
    from quincunx.review import Review

    bare = prepare(Garden(), judged=Review((), ()))
    for sheet in (planting_sheet, harvest_sheet, care_sheet):
        assert list(sheet.pages(bare)) == []
        (page,) = pages_of(bare, [sheet.ID])
        assert "Plant" in text_of([page])


def minutes(text: str) -> int:
    """Read ``4 h 15``, ``45 min``, ``2 h`` or ``little`` back into minutes."""
    hours, _, rest = text.removesuffix(" min").rpartition(" h")
    return 60 * int(hours or 0) + int(rest.strip() or 0) if text != "little" else 0


def test_the_hours_of_care_of_a_month_are_those_of_its_rows(of):
    """What stands in the column *in all* is the sum of what stands beside it, as it is written there."""
    checked = 0
    for page in care_sheet.pages(of):
        rows = next(b for b in page.blocks if b["t"] == "table")["rows"]
        for first in (k for k, row in enumerate(rows) if row[4]):
            more = next((k for k in range(first + 1, len(rows)) if rows[k][4]), len(rows))
            assert minutes(rows[first][4]) == sum(minutes(row[3]) for row in rows[first:more])
            checked += more - first > 1
        table = [b for b in page.blocks if b["t"] == "table"][1]
        assert all(row[13] not in ("0.0", "0,0") for row in table["rows"][:-2])
    assert checked > 3
