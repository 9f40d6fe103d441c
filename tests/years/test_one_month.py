"""One answer to when a job's things come: drawing, table, verdicts, papers and command line all go by how the job really goes."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from quincunx.board.kept import StoodCache
from quincunx.board.standing import Standing
from quincunx.board.table import _made as on_table
from quincunx.cli._export import command as export
from quincunx.garden import Edit, Op, apply, plain
from quincunx.garden.as_job import as_job
from quincunx.garden.upkeep import kept
from quincunx.review import Review
from quincunx.review._view import View
from quincunx.review.verdicts import Verdicts
from quincunx.sheets import prepare
from quincunx.sheets._outdoors import ready_on
from quincunx.sheets.year_plans import _made as on_plan
from quincunx.sheets.years_table import made_in
from quincunx.units.dates import first_day, month_from_index, month_index
from quincunx.years.months import runs_of
from tests.board.garden import small

PATH, JOB = "path", "lay-path"
"""Laying the path is planned for March and April 2028: 16 hours, of which there are 4 a month."""


def line(what: str, day: str, **more: Any) -> dict[str, Any]:
    return {"id": f"{what}-{day}", "day": day, "what": what, "about": JOB, **more}


def read(today: str, *journal: dict[str, Any], **changes: Any) -> Standing:
    """The garden as the board reads it in a month."""
    with pytest.MonkeyPatch.context() as env:
        env.setenv("QUINCUNX_TODAY", f"{today}-15")
        return Standing.of(small(journal=list(journal), **changes), StoodCache())


def answers(at: Standing) -> dict[str, int | None]:
    """In which month the path is made, as each place that is asked has it (from January of year 0)."""
    of = prepare(at.garden, through=at.timeline, judged=Review((), ()))
    run = next(r for r in runs_of(at.garden) if r.job.id == JOB)
    years = range(2027, 2032)
    tabled = [(y, r["month"]) for y in years for r in on_table(at, y) if r["job"] == JOB]
    stands = next(
        (m for m in range(12 * 2027, 12 * 2032) if at.timeline.at(first_day(month_from_index(m))).stands(PATH)), None
    )
    view = View(at.garden, at.timeline, at.words)
    table = month_index(tabled[0][1]) if tabled else None
    assert [y for y in years if "Lay the path" in made_in(of, y)] == ([] if table is None else [table // 12])
    assert view.made().get(PATH) == (None if table is None else table // 12)
    for year in at.timeline.years:
        if "Lay the path" in on_plan(of, year)[0]:
            assert at.timeline.at(at.timeline.leaf_date(year)).stands(PATH), "a plan names what it shows"
    job = next(j for j in at.garden.jobs if j.id == JOB)
    ready = ready_on(of, job)
    return {
        "chart": None if run.end is None else run.end - 1,
        "table": table,
        "scene": None if stands is None else stands - 1,
        "papers": 12 * ready.year + ready.month - 2,
    }


CASES = {
    "planned": ("2028-01", (), "2028-04"),
    "begun, in time": ("2028-03", (line("begun", "2028-03-04", hours=12.0),), "2028-04"),
    "begun, overrun for want of hours": ("2028-08", (line("begun", "2028-03-04", hours=6.0),), "2028-10"),
    "begun, overrun with no hours left": ("2028-07", (line("begun", "2028-03-04", hours=16.0),), "2028-07"),
    "a step of it ticked, then left": ("2028-07", (line("hours", "2028-04-02", hours=16.0),), "2028-07"),
    "done early": ("2028-07", (line("begun", "2028-01-04"), line("done", "2028-02-20")), "2028-02"),
    "done early, in one line": ("2028-07", (line("done", "2028-02-20"),), "2028-02"),
    "done late": ("2028-12", (line("begun", "2028-03-04"), line("done", "2028-11-20")), "2028-11"),
    "begun early": ("2027-12", (line("begun", "2027-11-04", hours=14.0),), "2027-12"),
    "begun in another year": ("2029-02", (line("begun", "2028-03-04", hours=16.0),), "2029-02"),
}


@pytest.mark.parametrize("name", CASES)
def test_all_places_say_the_same_month(name):
    today, journal, last = CASES[name]
    found = answers(read(today, *journal))
    assert {where: month_from_index(m) if m is not None else None for where, m in found.items()} == dict.fromkeys(
        ("chart", "table", "scene", "papers"), last
    )


def test_put_off_it_comes_from_its_new_month():
    at = read("2028-03")
    edit = Edit(label="Put off", ops=(Op(do="change", part="jobs", id=JOB, value={"start": "2029-04"}),))
    later, _ = apply(at.garden, edit)
    found = answers(Standing.of(later, StoodCache()))
    assert set(found.values()) == {month_index("2029-05")}


def test_to_undo_done_brings_everything_back():
    at = read("2028-08", line("begun", "2028-03-04", hours=6.0))
    before, done = answers(at), plain(line("done", "2028-08-02"))
    after, back = apply(at.garden, Edit(label="Done", ops=(Op(do="put", part="journal", id=done["id"], value=done),)))
    with pytest.MonkeyPatch.context() as env:
        env.setenv("QUINCUNX_TODAY", "2028-08-15")
        assert set(answers(Standing.of(after, StoodCache())).values()) == {month_index("2028-08")}
        undone, _ = apply(after, back)
        then = Standing.of(undone, StoodCache())
    assert answers(then) == before
    assert (then.going, then.whole, then.works) == (at.going, at.whole, at.works)


def test_what_a_job_takes_away_is_there_until_it_is_done():
    jobs = [
        {"id": "clear", "name": "Take the seat away", "takes_away": ["seat"], "start": "2029-08", "hours": 4},
    ]  # fmt: skip
    begun = {"id": "e1", "day": "2029-08-02", "what": "begun", "about": "clear", "hours": 4.0}
    in_time = read("2029-08", begun, jobs=jobs).timeline
    overrun = read("2029-11", begun, jobs=jobs).timeline
    assert (in_time.span("seat").ends, overrun.span("seat").ends) == (month_index("2029-08"), month_index("2029-11"))


def test_what_befell_it_while_it_was_being_made_is_not_lost():
    """Whoever writes that the hedge was browsed has planted it, though nobody has called the job done."""
    begun = {"id": "e1", "day": "2027-11-05", "what": "begun", "about": "plant-hedge", "hours": 10.0}
    browsed = {"id": "e2", "day": "2028-02-05", "what": "browsed", "about": "hedge"}
    early = {"id": "e3", "day": "2027-10-05", "what": "browsed", "about": "hedge"}
    line_ = read("2028-04", begun, browsed, early).timeline
    assert line_.made_in("hedge") == month_index("2028-04")
    assert [what for _, what, _ in line_.fates["hedge"].happened] == ["browsed"]
    assert line_.is_early("hedge", first_day("2027-10"))
    assert not line_.is_early("hedge", first_day("2028-02"))


def test_musts_about_plants_go_by_the_months_a_begun_job_takes_too():
    """Both hedges stand from the same month; only of the one planted in November can December's browsing be true."""
    begun = {"id": "e1", "day": "2027-11-05", "what": "begun", "about": "plant-hedge", "hours": 10.0}
    browsed = {"id": "e2", "day": "2027-12-05", "what": "browsed", "about": "hedge"}
    jobs = [plain(j) for j in small().jobs]
    one, three = (
        read("2028-12", begun, browsed, jobs=[{**j, "months": m} if j["id"] == "plant-hedge" else j for j in jobs])
        for m in (1, 3)
    )
    assert one.timeline.span("hedge") == three.timeline.span("hedge")
    assert [len(at.timeline.fates["hedge"].happened) for at in (one, three)] == [1, 0]
    assert one.planted != three.planted


def test_a_load_is_brought_in_the_month_in_which_the_work_was_begun():
    jobs = [{**plain(j), "reach": "barrow"} for j in small().jobs if j.id == JOB]
    must = {"kind": "works-reached", "id": "loads", "start": "door"}
    at = read("2028-01", line("begun", "2027-12-04"), jobs=jobs, intents=[must])
    judged = {y: at.garden.intents[0].judge(at.timeline, y, at.words) for y in (2027, 2028)}
    assert "“Lay the path” in December 2027" in judged[2027].because
    assert judged[2028].because == "No job of this year needs a barrow or a machine."


MUSTS = (
    {"kind": "works-reached", "id": "loads", "start": "door"},
    {"kind": "spend-no-more", "id": "money", "sum": 40000},
    {"kind": "hours-no-more", "id": "hours"},
    {"kind": "reaches", "id": "door-to-bench", "start": "door", "end": "bench"},
    {"kind": "only-way-in", "id": "by-gate", "room": "green", "gate": "gate"},
)


def test_what_is_kept_of_one_month_is_not_said_in_another():
    """Judged first in May, a must is judged anew in December if the job has overrun; what stays the same is kept."""
    journal = (line("begun", "2028-03-04", hours=16.0),)
    jobs = [{**plain(j), "reach": "barrow"} for j in small().jobs]
    kept_, states = (
        Verdicts(),
        [read(day, *journal, jobs=jobs, intents=list(MUSTS)) for day in ("2028-05", "2028-12", "2028-05")],
    )
    for at in states:
        for must in at.garden.intents:
            for year in at.timeline.years:
                assert kept_.judge(must, year, at).verdict == Verdicts().judge(must, year, at).verdict
    assert states[0].works == states[2].works != states[1].works
    assert states[0].whole == states[2].whole != states[1].whole
    unchanged = [m for m in states[1].garden.intents if m.id == "by-gate"]
    assert all(kept_.find(m, 2027, states[1]) is not None for m in unchanged)


def test_upkeep_and_what_follows_count_from_when_it_was_done():
    at = read("2029-02", line("begun", "2028-03-04", hours=16.0))
    things, _ = kept(at.garden, at.timeline)
    assert {k.feature.id: k.built for k in things if k.job == JOB} == {PATH: 2029}
    gate = {"kind": "gate", "id": "wicket", "at": [9, 5], "along_deg": 0}
    fence = {"kind": "fence", "id": "fence", "line": [[9, 0.5], [9, 9]]}
    features = [*(plain(f) for f in at.garden.features), gate, fence]
    jobs = [
        *(plain(j) for j in at.garden.jobs),
        {"id": "fencing", "name": "Fencing", "does": ["fence"], "start": "2028-03"},
    ]
    begun = {"id": "f1", "day": "2028-03-09", "what": "begun", "about": "fencing"}
    edit = as_job(read("2029-02", begun, features=features, jobs=jobs).garden, ["wicket"])
    assert edit is not None
    assert next(o.value for o in edit.ops if o.part == "jobs")["start"] == "2029-03"


def test_the_command_line_draws_what_stands_by_the_day_it_is(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    """What August of the plan shows of a job not called done: in April the path, in November none."""
    file, out = tmp_path / "green.json", tmp_path / "green.geojson"
    file.write_text(json.dumps(plain(small(journal=[line("begun", "2028-03-04", hours=16.0)]))))
    shown = {}
    for today in ("2028-04-15", "2028-11-15"):
        monkeypatch.setenv("QUINCUNX_TODAY", today)
        asked = [str(file), "--format", "geojson", "--at", "52", "0", "--on", "2028-08", "--out", str(out)]
        done = CliRunner().invoke(export, asked)
        assert done.exit_code == 0, done.output
        shown[today] = '"path"' in out.read_text()
    assert shown == {"2028-04-15": True, "2028-11-15": False}
