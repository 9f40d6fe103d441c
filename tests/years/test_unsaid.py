"""Jobs of which the journal says nothing: named, and written down as planned if that is so."""

from __future__ import annotations

from quincunx.demos import demo_garden
from quincunx.garden import apply, garden_from
from quincunx.years.months import months_of, runs_of
from quincunx.years.real import again, today_of
from quincunx.years.unsaid import unsaid


def browsed(what: str = "browsed"):
    garden = demo_garden("ropewalk")
    entry = {"id": "e-1", "day": "2028-05-10", "what": what, "about": "cobnut-1"}
    return garden_from({**garden.model_dump(mode="json"), "journal": [entry]})


def test_a_browsed_row_alone_tells_that_its_planting_was_done() -> None:
    garden = browsed()
    silent = unsaid(garden, "2028-06")
    assert silent is not None
    before = {r.job.id for r in runs_of(garden) if r.start is not None and r.start < 2028 * 12 + 5}
    assert set(silent.jobs) == before
    assert "The journal says nothing of" in silent.sentence
    assert silent.sentence.endswith("was to plant: was that done?")
    assert "Cobnut 1 was browsed" in silent.sentence


def test_written_down_as_planned_money_and_hours_are_those_of_the_plan() -> None:
    garden = browsed()
    silent = unsaid(garden, "2028-06")
    assert silent is not None
    after = apply(garden, silent.edit)[0]
    assert unsaid(after, "2028-06") is None
    was, now = months_of(garden), months_of(after)
    end = next(k for k, m in enumerate(was) if m.month == 2028 * 12 + 4)
    assert abs(was[end].balance - now[end].balance) <= len(silent.jobs)
    assert {r.state for r in runs_of(after) if r.job.id in silent.jobs} <= {"done", "begun"}
    today = today_of(after, "2028-06")
    assert not today.late
    assert not any("can't be kept" in note for note in today.notes)


def test_after_it_the_rest_is_planned_again() -> None:
    garden = browsed()
    silent = unsaid(garden, "2028-06")
    assert silent is not None
    found = again(apply(garden, silent.edit)[0], "2028-06", effort=0.3)
    assert found.found.starts is not None


def test_nothing_is_asked_where_nothing_was_to_begin() -> None:
    assert unsaid(demo_garden("ropewalk"), "2026-01") is None


def test_jobs_with_long_ids_that_begin_alike_have_each_their_own_line() -> None:
    """An id has 60 letters at most, so that what tells these apart stands behind what is kept of them."""
    alike = "put-in-the-new-fence-behind-the-old-orchard-along-the"
    jobs = [{"id": f"{alike}-{n}", "name": f"Part {n}", "start": "2027-03", "hours": 3 + n} for n in range(4)]
    garden = garden_from({"format": "quincunx/1", "means": {"first_year": 2027, "years": 3}, "jobs": jobs})
    for _ in range(2):
        found = unsaid(garden, "2028-01")
        if found is not None:
            garden, _undo = apply(garden, found.edit)
    lines = [e for e in garden.journal if e.what == "done"]
    assert len({e.id for e in lines}) == 4
    assert {e.about: e.hours for e in lines} == {j["id"]: j["hours"] for j in jobs}
