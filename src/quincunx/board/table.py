"""The table of years: a small plan at each year's head, the musts, money, hours, what is made; and what was noticed."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.figures import SMALL, bounds_of, figures_json, small_figures
from quincunx.board.replies import Refused, encoded
from quincunx.board.session import Session
from quincunx.board.standing import Standing
from quincunx.board.telling import how, on_board, verdict_json
from quincunx.garden.shared import by_year
from quincunx.intents import Intent
from quincunx.plants.ranges import Range
from quincunx.review.happened import happened
from quincunx.shapes import Finding, Verdict
from quincunx.units import Style, format_mass, format_money, minor_digits, month_from_index
from quincunx.works import YearMoney, spent_elsewhere
from quincunx.works.whole import whole_years


def table(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/table``; ``stale`` while some verdict is not that of the garden as it is now."""
    session = ask.session
    at = session.standing()
    musts = [must_json(session, must, order, at) for order, must in enumerate(at.garden.intents)]
    found = session.findings(at)
    money = at.timeline.money()
    whole = whole_years(money, 10 ** minor_digits(at.garden.style.currency))
    return {
        "revision": at.revision, "head": at.head,
        "stale": found is None or any(m["stale"] for m in musts),
        "years": [year_json(at, year, *rows) for year, *rows in zip(at.timeline.years, money, whole, strict=True)],
        "musts": musts,
        "findings": [finding_json(f) for f in (session.last_findings if found is None else found)],
    }  # fmt: skip


def must_json(session: Session, must: Intent, order: int, at: Standing) -> dict[str, Any]:
    """Return a must with its verdicts: those that hold now, else the last there were, marked ``stale``."""
    cells, stale = [], False
    for year in at.timeline.years:
        known = session.verdicts.find(must, year, at)
        stale = stale or known is None
        known = known or session.verdicts.last(must.id, year)
        cells.append(verdict_json(known, year, must, at))
    return {
        "id": must.id, "text": must.name or must.sentence(at.words), "sentence": must.sentence(at.words), "kind": must.kind,
        "from_year": must.due_from(at.timeline), "muted": must.muted, "order": order, "stale": stale, "verdicts": cells,
        "names": [t for t in must.things() if at.timeline.feature(t) is not None],
    }  # fmt: skip


def year_json(at: Standing, year: int, row: YearMoney, whole: YearMoney) -> dict[str, Any]:
    """Return one year: its small plan, money, hours, what is built and planted; sums written as in the year ``whole``."""
    style = at.garden.style
    scene = at.timeline.at(at.timeline.leaf_date(year))
    made = list(_made(at, year))
    sums = {"income": row.income, "spent": row.spent, "left": row.left}
    written = {k: format_money(getattr(whole, k), style, whole=True) for k in sums}
    if others := by_year(at.garden).get(year, 0):
        sums["others"], written["others"] = others, format_money(others, style, whole=True)
    return {
        "year": year,
        "figures": figures_json(small_figures(scene.figures), style, SMALL),
        "bounds": [round(v, 3) for v in at.timeline.frame.boundary.bounds],
        "money": {**sums, "text": written},
        "hours": hours_json(row),
        "harvest": harvest_json(at, year),
        "built": [m for m in made if not m.pop("plants")],
        "planted": _planted(at, year),
        "happened": [h.line for h in happened(at.garden, at.timeline, year)],
        "short": row.left < at.garden.means.reserve,
    }  # fmt: skip


def harvest_json(at: Standing, year: int) -> dict[str, Any] | None:
    """Return what is picked in a year: a figure, and a line for each crop; None while nothing bears."""
    from quincunx.grow.harvest import harvest

    found, style = harvest(at.timeline, year), at.garden.style
    picked = [c for c in found.crops if c.picked]
    if not picked:
        return None
    lines = []
    if found.kg.high > 0:
        lines.append(f"{_between(found.kg, style)} in all")
    for c in sorted(picked, key=lambda c: (-c.kg.mid, c.owner)):
        much = f"about {format_mass(c.kg.mid, style)}" if c.weighed else c.plant.crop_what or "to pick"
        lines.append(f"{at.words.name(c.owner)}: {much}")
    return {"text": format_mass(found.kg.mid, style) if found.kg.mid > 0 else "first picking", "lines": lines}


def _between(kg: Range, style: Style) -> str:
    return f"between {format_mass(kg.low, style)} and {format_mass(kg.high, style)}"


def hours_json(row: YearMoney) -> dict[str, float]:
    """Return a year's hours [h]."""
    return {"given": row.given_h, "upkeep": row.upkeep_h, "worked": row.worked_h, "spare": row.spare_h}


def _made(at: Standing, year: int) -> Iterable[dict[str, Any]]:
    rows = []
    for job in at.garden.jobs:
        month = at.timeline.last_month(job)
        if month is not None and month // 12 == year:
            rows.append((month, job.id, job))
    for month, _, job in sorted(rows, key=lambda r: r[:2]):
        yield {
            "job": job.id, "name": job.name, "month": month_from_index(month), "large": job.large,
            "plants": bool(job.does) and all(_grows(at, t.partition("/")[0]) for t in job.does),
        }  # fmt: skip


def _grows(at: Standing, feature_id: str) -> bool:
    feature = next((f for f in at.garden.features if f.id == feature_id), None)
    return feature is not None and bool(feature.plants_named()) and feature.held_place() is None


def _planted(at: Standing, year: int) -> list[dict[str, Any]]:
    rows = []
    for feature in at.garden.features:
        begins = at.timeline.span(feature.id).begins
        if begins is not None and (begins - 1) // 12 == year and _grows(at, feature.id):
            rows.append({"id": feature.id, "name": feature.called, "month": month_from_index(begins - 1)})
    return rows


def finding_json(f: Finding) -> dict[str, Any]:
    """Return what was noticed, with its place and remedy."""
    at = None if f.at is None else [round(f.at[0], 4), round(f.at[1], 4)]
    return {
        "id": f.id, "severity": f.severity.value, "words": f.words, "remedy": on_board(f.remedy), "source": f.source,
        "about": list(f.about), "at": at, "year": f.year,
    }  # fmt: skip


def evidence(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/evidence``: ``must`` and ``year``."""
    session = ask.session
    at, name, year = session.standing(), ask.query.get("must", ""), ask.whole("year")
    must = next((m for m in at.garden.intents if m.id == name), None)
    if must is None:
        raise Refused(404, "There is no such must. It may have been taken out.")
    if year not in at.timeline.years:
        raise Refused(404, f"{year} is not in the plan.")
    known = session.verdicts.find(must, year, at)
    if known is None:
        with session.turns.urgent():
            known = session.verdicts.judge(must, year, at)
    drawn: Verdict = known.verdict
    box = bounds_of(drawn.evidence, 1.0)
    return {
        "state": drawn.state.value, "because": drawn.because, "figures": figures_json(drawn.evidence, at.garden.style),
        "bounds": None if box is None else [round(v, 3) for v in box], "how": how(known, must, at.garden.style),
    }  # fmt: skip


def months(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/months``: the months of ``year`` with their jobs, money and hours."""
    at, year = ask.session.standing(), ask.whole("year")
    if year not in at.timeline.years:
        raise Refused(404, f"{year} is not in the plan.")
    means, journal = at.garden.means, at.garden.journal
    rows: list[dict[str, Any]] = []
    costs = [at.courses[j.id].cost for j in at.garden.jobs]
    work = [at.courses[j.id].hours for j in at.garden.jobs]
    else_paid = spent_elsewhere(at.garden.jobs, journal)
    for month in range(1, 13):
        index = year * 12 + month - 1
        jobs = [_share(j, h, index) for j, h in zip(at.garden.jobs, work, strict=True)]
        jobs += [_share(j, c, index) for j, c, h in zip(at.garden.jobs, costs, work, strict=True) if index not in h]
        hours = {
            "given": means.given(year)[month - 1], "upkeep": means.upkeep(year)[month - 1],
            "worked": sum(h.get(index, 0.0) for h in work),
        }  # fmt: skip
        money = sum(c.get(index, 0) for c in (*costs, else_paid))
        rows.append({"month": month, "jobs": [j for j in jobs if j], "money": money, "hours": hours})
    return {"year": year, "months": rows}


def _share(job: Any, spread: dict[int, Any], index: int) -> dict[str, Any] | None:
    whole = sum(spread.values())
    if index not in spread:
        return None
    return {"id": job.id, "name": job.name, "share": spread[index] / whole if whole else 1.0}


def table_bytes(ask: Ask) -> bytes:
    """Answer ``GET /api/table``, kept while nothing changes."""
    session = ask.session
    at = session.standing()
    key = ("table", *at.stamp)
    known = session.drawn.get(key)
    if known is not None:
        return known
    found = table(ask)
    return encoded(found) if found["stale"] else session.drawn.put(key, encoded(found))
