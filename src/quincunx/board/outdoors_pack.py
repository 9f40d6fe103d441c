"""What is carried outdoors as data: the plan, this year's jobs with their points step by step, lists, stakes.

A phone works from this alone, without a signal; what is entered there comes back as notes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from datetime import date
from typing import Any

from quincunx.board.clock import today
from quincunx.board.edits import writing
from quincunx.board.figures import bounds_of, figures_json, xy
from quincunx.board.outdoors_lists import lists_json, ticked
from quincunx.board.standing import Standing
from quincunx.board.with_without import views_json
from quincunx.features import Feature
from quincunx.plants.catalogue import find_plant
from quincunx.review.ground import read_again
from quincunx.review.together import counting, proof_key
from quincunx.shapes import XY, AreaWork, Figure, FrameWork, KitWork, PathFigure, TextFigure, united
from quincunx.sheets import Set
from quincunx.sheets._as_built import TOLERANCE_M, apart_words, tolerance_m
from quincunx.sheets._bring import SET_MIN, SET_OUT, about_long, bring, labour_of
from quincunx.sheets._care import COVERS, care_at, cautions
from quincunx.sheets._first_ground import (
    CARE,
    COVERS as GROUND_COVERS,
    STEPS,
    begun_elsewhere_words,
    corner_words,
    first_left,
    what_shows,
    what_to_tape,
)
from quincunx.sheets._outdoors import (
    BUILDING_M2,
    Base,
    Planned,
    base_of,
    begins,
    planned_whole,
    tape,
    this_month,
    this_year,
    undated,
    waiting,
    whole,
    within,
)
from quincunx.sheets._outlooks import photo_day, standing_words
from quincunx.sheets._place import background, coming
from quincunx.sheets._shaping import MOST_LINES, heights, shaping
from quincunx.sheets._tables import first_check
from quincunx.sheets._two import at_all, long_tape
from quincunx.survey import Diagonal, Distance, Placed, Tie, marks_for, refix, tape_sd_m
from quincunx.survey.accuracy import rise_sd_m
from quincunx.survey.words import close, small
from quincunx.units import format_hours, format_length
from quincunx.units.dates import format_month
from quincunx.works import Entry, Job

FORMAT = "quincunx-outdoors/1"
"""The format of what is carried out and of what comes back."""
MOST_JOBS = 8
"""Jobs carried out at once: a year's, no more than a phone shows without a search."""
ALONE = 2
"""Places whose pictures a page that works alone takes along; any other asks for them as they are looked at."""
MOST_READ = 400
"""Readings carried out at most, so that a second phone knows what the first one read."""
DIGITS = 3
TAPE_ENDS = 1.96


def pack_json(
    of: Set, at: Standing, mark: str, jobs: Sequence[str] | None = None, *, money: bool = True
) -> dict[str, Any]:
    """Return what is carried outdoors as JSON values; ``jobs`` names them, else those of this month and year.

    ``mark`` is the garden's own, by which what comes back is known.  Without ``money`` no price is in it at all, for whoever
    helps; what people typed in their own words stays as it is.
    """
    base = base_of(of)
    chosen = _chosen(of, jobs)
    plans = [planned_whole(of, job, base) for job in chosen]
    now = {j.id for j in (this_month(of) or ("", []))[1]}
    ground = _ground(of, plans)
    outline = [(float(x), float(y)) for x, y in of.garden.boundary]
    return {
        "format": FORMAT, "mark": mark, "garden": of.garden.name, "revision": at.revision, "writing": writing(at),
        "money": money, "today": today(of.garden.site.place).isoformat(),
        "plan": {"figures": figures_json(ground, of.garden.style, DIGITS), "bounds": _box(outline, ground), "names": _names(of)},
        "first": _first(of), "read": read_json(of), "look": to_read_again(of, plans), "measured": base.measured, "rises": rises_json(),
        "boundary": xy(of.garden.boundary, DIGITS), "covers": COVERS,
        "jobs": [{**job_json(of, plan, money=money), "now": plan.job.id in now} for plan in plans],
        "stakes": stakes_json(of, base),
        "views": {j.id: views_json(of, j.id, ALONE) for j in chosen} if jobs is not None else {},
        "pegs": _pegs(of),
        "things": [{"id": f.id, "name": of.words.name(f.id), "bears": _bears(of, f)} for f in _grown(of)],
    }  # fmt: skip


def read_json(of: Set) -> list[dict[str, Any]]:
    """Return the lengths read between two stakes so far, the newest last: each with who read it."""
    names, style = of.measured.names, of.garden.style
    taped = [r for r in of.garden.survey.readings if isinstance(r, Distance)][-MOST_READ:]
    return [
        {"start": names[r.start], "end": names[r.end], "m": float(r.length), "by": r.by,
         "text": r.length.typed or format_length(float(r.length), style, kind="tape")}
        for r in taped
    ]  # fmt: skip


def rises_json() -> dict[str, dict[str, float]]:
    """Return what a difference in level is worth by what it is taken with: no less than, and for each metre [m]."""
    far = 1000.0
    return {
        words: {"least_m": rise_sd_m(0.0, kind), "per_m": rise_sd_m(far, kind) / far}
        for words, kind in (("water level", "water_level"), ("line level", "line_level"), ("A-frame", "a_frame"))
    }


def to_read_again(of: Set, plans: Sequence[Planned]) -> list[str]:
    """Return what two read otherwise and what should be read again, as sentences: of the ground, then of the jobs carried."""
    jobs = (words for plan in plans for words in apart_words(plan, of.garden.journal, of.garden.style))
    return [*read_again(of.measured), *jobs]


def _first(of: Set) -> dict[str, Any] | None:
    """Return what is taped on the first Saturday, on ground never measured before, until all of it is read; else None."""
    found = first_left(of)
    if found is None:
        return None
    base, tapes = found
    return {
        "how": [*begun_elsewhere_words(of), *STEPS], "care": CARE, "covers": GROUND_COVERS, "corners": corner_words(of, base),
        "to_tape": what_to_tape(of, tapes), "shows": what_shows(of, tapes),
        "tapes": [
            {"start": t.start, "end": t.end, "m": round(t.metres, 4), "text": tape(of, t.metres),
             "within_m": round(t.within_m, 4), "within": within(of, t.within_m), "what": t.what,
             "tape_m": round(TAPE_ENDS * tape_sd_m(t.metres), 4)}
            for t in tapes
        ],
    }  # fmt: skip


def _chosen(of: Set, jobs: Sequence[str] | None) -> list[Job]:
    if jobs is not None:
        return [j for j in of.garden.jobs if j.id in jobs]
    month, year = this_month(of), this_year(of)
    rows = [*(month[1] if month else []), *(year[1] if year else [])]
    return list({j.id: j for j in rows}.values())[:MOST_JOBS]


def choosable(of: Set) -> list[dict[str, str]]:
    """Return the jobs that can be carried out, by month: those waiting, then those without a month."""
    dated = [{"id": j.id, "name": j.name, "month": format_month(begins(of, j))} for j in waiting(of)]
    return [*dated, *({"id": j.id, "name": j.name, "month": ""} for j in undated(of))]


def _pegs(of: Set) -> list[dict[str, Any]]:
    """Return the pegs of the same-spot book, with how to stand on each in the first year of the plan."""
    line = of.timeline
    if not of.garden.pegs:
        return []
    scene, turn = line.at(photo_day(line, line.years[0])), line.frame.north_offset_deg
    return [
        {
            "id": p.id, "name": p.name or p.id, "at": xy((p.place,), DIGITS)[0], "bearing_deg": round(p.bearing_deg, 1),
            "words": standing_words(p, scene, of.words, turn), "last": max((t.day for t in p.photos), default=""),
        }
        for p in of.garden.pegs
    ]  # fmt: skip


def _names(of: Set) -> list[dict[str, Any]]:
    """Return what whoever never saw the garden finds their way by: buildings that stand, and spots, each with its place."""
    scene = of.timeline.at(date(of.timeline.years[0], 1, 1))
    out = []
    for feature in of.garden.features:
        if feature.group != "shelter" or feature.there_from != "start":
            continue
        walls = [s.footprint for s in scene.solids if s.owner == feature.id]
        ground = united(walls).convex_hull if walls else None
        if ground is not None and ground.area >= BUILDING_M2:
            out.append(
                {"words": of.words.name(feature.id), "at": xy([(ground.centroid.x, ground.centroid.y)], DIGITS)[0]}
            )
    spots = (
        {"words": s.name or s.id, "at": xy([(float(s.at[0]), float(s.at[1]))], DIGITS)[0]} for s in of.garden.spots
    )
    return [*out, *spots]


def _grown(of: Set) -> list[Feature]:
    """Return the features that grow something: what can be picked, browsed, or lost."""
    return [f for f in of.garden.features if f.plants_named()]


def _bears(of: Set, feature: Feature) -> bool:
    """Return whether a thing grows anything that is picked."""
    own = {p.id: p for p in of.garden.plants}
    found = (find_plant(name, own) for name in feature.plants_named())
    return any(plant is not None and plant.harvest_months for plant in found)


def _ground(of: Set, plans: Sequence[Planned]) -> list[Figure]:
    """Return the garden as it stands before the first of the jobs, without words, and the names of its spots."""
    if plans:
        return [f for f in background(of, plans[0]) if isinstance(f, PathFigure) or f.owner != "boundary"]
    scene = of.summer(of.timeline.years[0])
    return [f for f in scene.figures if not isinstance(f, TextFigure)]


def job_json(of: Set, plan: Planned, *, money: bool = True) -> dict[str, Any]:
    """Return one job: its steps, lists, points with their tapes and checks, cautions, what was ticked already."""
    job, figures = plan.job, coming(plan)
    around = [m.at for m in plan.marks.values()]
    high = heights(of, plan)
    entries, lists = [e for e in of.garden.journal if e.about == job.id], lists_json(of, plan, money=money)
    return {
        "id": job.id, "name": job.name, "month": "" if of.courses[job.id].state == "unplanned" else format_month(begins(of, job)),
        "makes": [of.words.name(o) for o in plan.owners],
        "hours": format_hours(job.hours, of.garden.style) if job.hours else "",
        "first": first_check(of, plan), "through": plan.through,
        "points": [_point(of, plan, p, high) for p in plan.found.points],
        "checks": [_check(of, plan, d) for d in plan.found.diagonals],
        "missing": [plan.marks[i].words for i, _ in plan.found.unreachable],
        "parts": _parts(plan), "lists": lists, "shaping": shaping(of, plan, MOST_LINES * len(plan.counts)),
        "bring": _bring(of, plan), "set_long": about_long(of, len(plan.found.points) * SET_MIN / 60),
        "two": at_all(of, plan), "cautions": [c.words for c in cautions(of, plan)], "hurts": len(cautions(of, plan, hurts=True)),
        "care_at": care_at(of, plan, sawn=any(one["id"] == "saw" for one in lists)),
        "figures": figures_json(figures, of.garden.style, DIGITS), "bounds": _box(around, figures),
        "ticked": ticked(entries, lists),
        "measured": [_measured(of, e) for e in counting(entries)],
    }  # fmt: skip


def _bring(of: Set, plan: Planned) -> list[str]:
    """Return what to bring for all of a job, setting out first."""
    setting = SET_OUT if plan.found.points else ()
    return list(dict.fromkeys((*setting, *bring(labour_of(of, plan)))))


def _parts(plan: Planned) -> list[list[int]]:
    """Return the numbers of the first and the last point of each part, as the setting-out sheets have them."""
    out, before = list[list[int]](), 0
    for count in plan.counts:
        here = [n for n in plan.numbers.values() if before < n <= before + count]
        out += [[min(here), max(here)]] if here else []
        before += count
    return out


def _measured(of: Set, e: Entry) -> dict[str, Any]:
    length = 0.0 if e.length is None else float(e.length)
    return {
        "points": list(e.points),
        "m": length,
        "text": e.length.typed if e.length and e.length.typed else tape(of, length),
        "by": e.by,
        "phone": e.phone,
    }


def _box(points: Iterable[XY], figures: Sequence[Figure]) -> list[float] | None:
    every = list(points)
    drawn = bounds_of(figures)
    if drawn is not None:
        every += [(drawn[0], drawn[1]), (drawn[2], drawn[3])]
    if not every:
        return None
    xs, ys = [p[0] for p in every], [p[1] for p in every]
    return [min(xs) - 0.5, min(ys) - 0.5, max(xs) + 0.5, max(ys) + 0.5]


def _tie(of: Set, plan: Planned, t: Tie) -> dict[str, Any]:
    return {
        "from": t.stake, "name": plan.names[t.stake], "about": _about(plan.base, t.stake),
        "m": round(t.exact_m, 4), "text": tape(of, t.mark_m), "at": xy([_at(plan, t.stake)], DIGITS)[0],
    }  # fmt: skip


def _about(base: Base, stake: str) -> str:
    """Return what a stake is; nothing for a point set before."""
    return base.about.get(stake, "")


def _at(plan: Planned, name: str) -> XY:
    return plan.base.at[name] if name in plan.base.at else plan.marks[name].at


def _point(of: Set, plan: Planned, p: Placed, high: dict[str, str]) -> dict[str, Any]:
    one, two = p.ties
    check = None if p.check is None else _check_tape(of, plan, p, p.check)
    return {
        "id": p.id, "n": plan.numbers[p.id], "words": plan.marks[p.id].words, "at": xy([p.xy], DIGITS)[0],
        "ties": [_set_tape(of, plan, p, one), _set_tape(of, plan, p, two)],
        "hand": f"on the {p.side} as you look from {plan.names[one.stake]} to {plan.names[two.stake]}",
        "check": check, "sure": within(of, p.sure_m), "two": long_tape(of, [t.exact_m for t in p.ties]), "how": [high[p.id]] if p.id in high else [],
    }  # fmt: skip


def _set_tape(of: Set, plan: Planned, p: Placed, tie: Tie) -> dict[str, Any]:
    """Return one of the two tapes that set a point, and what may be off where it is taped again, as the thing stands."""
    may = tolerance_m(plan, p.id)
    return {
        **_tie(of, plan, tie), "within_m": round(may, 4), "within": whole(close(may, of.garden.style)),
        "tape_m": round(TAPE_ENDS * tape_sd_m(tie.exact_m), 4), "causes": [],
    }  # fmt: skip


def _check_tape(of: Set, plan: Planned, p: Placed, check: Tie) -> dict[str, Any]:
    """Return the third tape of a point, and by how much each of its ties would have to be out to explain a miss."""
    return {
        **_tie(of, plan, check), "within_m": round(p.check_within_m, 4), "within": whole(small(p.check_within_m, of.garden.style)),
        "tape_m": round(TAPE_ENDS * tape_sd_m(check.exact_m), 4), "causes": _causes(plan, p.id, check.stake),
    }  # fmt: skip


def _check(of: Set, plan: Planned, d: Diagonal) -> dict[str, Any]:
    """Return one check between two points, and by how much each tape would have to be out to explain a miss."""
    ends = sorted((d.start, d.end), key=lambda i: plan.numbers[i])
    causes = [c for end, other in (ends, ends[::-1]) for c in _causes(plan, end, other)]
    return {
        "key": proof_key(ends), "two": long_tape(of, [d.exact_m]),
        "ends": ends, "names": [str(plan.numbers[i]) for i in ends], "m": round(d.exact_m, 4), "text": tape(of, d.mark_m),
        "within_m": round(d.within_m, 4), "within": whole(small(d.within_m, of.garden.style)),
        "tape_m": round(TAPE_ENDS * tape_sd_m(d.exact_m), 4), "causes": causes, "wants": _wanted(of, plan, ends),
    }  # fmt: skip


def _wanted(of: Set, plan: Planned, ends: Sequence[str]) -> dict[str, Any] | None:
    """Return how near a length between two points of one built thing should come, whatever setting leaves."""
    owners = {plan.marks[i].owner for i in ends}
    works = [w for o in owners for w in plan.stood[o].work]
    if len(owners) > 1 or not any(isinstance(w, (FrameWork, KitWork, AreaWork)) for w in works):
        return None
    return {"m": TOLERANCE_M, "text": whole(close(TOLERANCE_M, of.garden.style))}


def _causes(plan: Planned, end: str, other: str) -> list[dict[str, Any]]:
    """Return for both tapes of a point how much a check grows for each metre that tape was too long."""
    placed = next(p for p in plan.found.points if p.id == end)
    here, away = placed.xy, _unit(_at(plan, other), placed.xy)
    rays = [_unit(_at(plan, t.stake), here) for t in placed.ties]
    det = rays[0][0] * rays[1][1] - rays[0][1] * rays[1][0]
    out: list[dict[str, Any]] = []
    for i, t in enumerate(placed.ties):
        other_ray, sign = rays[1 - i], 1.0 if i == 0 else -1.0
        moved = (sign * other_ray[1] / det, -sign * other_ray[0] / det)
        share = away[0] * moved[0] + away[1] * moved[1]
        if abs(share) > 0.2:
            name = f"{plan.names[t.stake]} to {plan.numbers[end]}"
            out.append({"point": str(plan.numbers[end]), "tape": name, "share": round(share, 4)})
    return out


def _unit(start: XY, end: XY) -> XY:
    size = math.dist(start, end) or 1.0
    return ((end[0] - start[0]) / size, (end[1] - start[1]) / size)


def stakes_json(of: Set, base: Base) -> list[dict[str, Any]]:
    """Return the stakes to measure from, what each is, and how each is set again if it is lost."""
    adjusted = of.measured.searched.adjusted
    marks = marks_for(of.garden.style.system)
    known = {s.id: float(s.level) for s in of.garden.survey.stakes if s.level is not None}
    z = {} if of.measured.levels is None else of.measured.levels.levels
    out = []
    for c in base.controls:
        again = refix(c.id, adjusted, marks=marks, longest_m=50.5) if base.measured else None
        out.append({
            "id": c.id, "name": base.names[c.id], "about": base.about[c.id], "at": xy([c.xy], DIGITS)[0],
            "level": known.get(c.id), "height": None if c.id not in z else round(z[c.id], 4),
            "lost": [] if again is None else lost_lines(of, base, again),
        })  # fmt: skip
    return out


def lost_lines(of: Set, base: Base, again: Placed) -> list[str]:
    """Return how a lost stake is set again from the others: two tapes, the hand, the check."""
    one, two = again.ties
    a, b = base.names[one.stake], base.names[two.stake]
    lines = [
        f"{tape(of, one.mark_m)} from {a} and {tape(of, two.mark_m)} from {b}",
        f"on the {again.side} as you look from {a} to {b}",
    ]
    if again.check is not None:
        read = tape(of, again.check.mark_m)
        lines.append(f"check: {read} from {base.names[again.check.stake]}, {within(of, again.check_within_m)}")
    return [*lines, f"it comes back to {within(of, again.sure_m)}"]
