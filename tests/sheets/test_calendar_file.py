"""The calendar file, read again by the library and by eye of RFC 5545."""

from __future__ import annotations

import datetime as dt

import icalendar

from quincunx.demos import demo_garden
from quincunx.garden import Garden
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.sheets.calendar_file import calendar_file, identity
from quincunx.units.dates import month_index
from quincunx.works import Entry


def read(garden: Garden) -> tuple[bytes, icalendar.Calendar]:
    data = calendar_file(prepare(garden, judged=Review((), ())))
    calendar = icalendar.Calendar.from_ical(data)
    assert isinstance(calendar, icalendar.Calendar)
    return data, calendar


def entries(garden: Garden) -> dict[str, icalendar.Event]:
    return {str(e["SUMMARY"]): e for e in read(garden)[1].walk("VEVENT") if isinstance(e, icalendar.Event)}


def test_each_job_with_a_month_is_an_all_day_span_over_its_months() -> None:
    garden = demo_garden("kettle-hill")
    found = entries(garden)
    for job in garden.jobs:
        if job.start is None:
            assert job.name not in found
            continue
        event = found[job.name]
        year, month = (int(x) for x in job.start.split("-"))
        end = year * 12 + month - 1 + job.months
        assert event.decoded("DTSTART") == dt.date(year, month, 1)
        # RFC 5545, 3.6.1: DTEND is the day after the last.
        assert event.decoded("DTEND") == dt.date(end // 12, end % 12 + 1, 1)
        assert not isinstance(event.decoded("DTSTART"), dt.datetime)


def test_what_is_to_be_ordered_is_on_the_last_day_it_can_be() -> None:
    found = entries(demo_garden("ropewalk"))
    (words,) = [w for w in found if w.startswith("Order for “Plant the drying green's hedge”")]
    assert "21 hornbeam whips" in words
    # Planted in February 2027, bare roots ordered three months before.
    assert found[words].decoded("DTSTART") == dt.date(2026, 11, 30)
    assert found[words].decoded("DTEND") == dt.date(2026, 12, 1)


def test_identities_are_all_different_and_outlast_a_move() -> None:
    garden = demo_garden("ropewalk")
    before = {str(e["SUMMARY"]): str(e["UID"]) for e in read(garden)[1].walk("VEVENT")}
    assert len(set(before.values())) == len(before) > len(garden.jobs)
    later = tuple(j.model_copy(update={"start": "2031-09"}) if j.id == "pond-job" else j for j in garden.jobs)
    after = {
        str(e["SUMMARY"]): str(e["UID"]) for e in read(garden.model_copy(update={"jobs": later}))[1].walk("VEVENT")
    }
    assert after["Dig the pond"] == before["Dig the pond"] == identity(garden.name, "job pond-job")


def test_no_clock_is_read_and_the_bytes_are_the_same() -> None:
    garden = demo_garden("ropewalk")
    one, calendar = read(garden)
    two, _ = read(garden)
    assert one == two
    stamps = {e.decoded("DTSTAMP") for e in calendar.walk("VEVENT")}
    assert stamps == {dt.datetime(2027, 1, 1, tzinfo=dt.UTC)}


def test_it_is_a_calendar_by_the_standard() -> None:
    data, calendar = read(demo_garden("ropewalk"))
    # RFC 5545: lines end in CRLF and are folded at 75 octets (3.1); PRODID and VERSION are required (3.6).
    assert data.endswith(b"END:VCALENDAR\r\n")
    assert all(len(line) <= 75 for line in data.split(b"\r\n"))
    assert str(calendar["VERSION"]) == "2.0"
    assert calendar["PRODID"]
    for event in calendar.walk("VEVENT"):
        assert {"UID", "DTSTAMP", "DTSTART", "SUMMARY"} <= set(event)
        assert str(event["TRANSP"]) == "TRANSPARENT"


def test_what_is_done_is_where_it_was_done_and_wants_no_order() -> None:
    garden = demo_garden("ropewalk")
    done = Entry.model_validate(
        {"id": "e", "day": "2027-08-20", "what": "done", "about": "deer-fence-job", "hours": 30, "sum": 99900}
    )
    found = entries(garden.model_copy(update={"journal": (done,)}))
    assert found["Fence against roe"].decoded("DTEND") == dt.date(2027, 9, 1)
    assert "30 h of own work" in str(found["Fence against roe"]["DESCRIPTION"])
    assert "£999" in str(found["Fence against roe"]["DESCRIPTION"])
    assert not [w for w in found if "“Fence against roe”" in w]


def test_each_year_has_the_day_from_which_its_page_is_due() -> None:
    garden = demo_garden("ropewalk")
    north = {w: e for w, e in entries(garden).items() if w.startswith("The page of ")}
    years = sorted(e.decoded("DTSTART") for e in north.values())
    assert [d.month for d in years] == [11] * len(years)
    assert f"The page of {years[0].year} to give away: {garden.name}" in north
    assert garden.site.place is not None
    turned = garden.site.changed(place=garden.site.place.changed(latitude_deg=-42.0))
    south = [e for w, e in entries(garden.changed(site=turned)).items() if w.startswith("The page of ")]
    assert {e.decoded("DTSTART").month for e in south} == {5}


def test_of_years_that_are_over_only_those_with_something_to_give_have_a_page() -> None:
    garden = demo_garden("ropewalk")
    done = Entry.model_validate({"id": "e", "day": "2028-03-20", "what": "done", "about": "deer-fence-job"})
    of = prepare(garden.model_copy(update={"journal": (done,)}), judged=Review((), ())).since(month_index("2030-02"))
    calendar = icalendar.Calendar.from_ical(calendar_file(of))
    pages = [str(e["SUMMARY"]) for e in calendar.walk("VEVENT") if str(e["SUMMARY"]).startswith("The page of ")]
    assert [int(w.split()[3]) for w in pages] == [2028, 2030, 2031, 2032]
