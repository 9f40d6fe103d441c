"""What the jobs come to at the board: worked-out money, hours and parts beside the typed, to be taken or left."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.replies import Refused
from quincunx.build.prices import Bought, CutList, units_asked
from quincunx.build.screening import DEFERS, SCOPE
from quincunx.build.sheet_lists import SheetList
from quincunx.garden import Garden
from quincunx.garden.as_job import as_job
from quincunx.garden.comparing import worth_weighing
from quincunx.garden.costing import Costed, Option, costed, take_edit
from quincunx.garden.hours_apart import BOTH_STAND, apart_words, take_hours
from quincunx.garden.safety import looked_up, whose_codes
from quincunx.sheets._building import COUNTED, amount_words, called, kept_lengths, source_words, to_saw, too_long
from quincunx.sheets._sheet_cuts import how_sure, kept_words, plates_words, size_words
from quincunx.units import Style, format_hours, format_length, format_mass, format_money, own_units, section_words


def caution(garden: Garden) -> str:
    """Return what stands under a job's parts and what was looked up for them."""
    return f"{COUNTED} {SCOPE} {whose_codes(garden)} {DEFERS}"


def costs(ask: Ask) -> Any:
    """Answer ``GET /api/costs``: what each job comes to, and the edit that takes it into the plan."""
    at, session = ask.session.standing(), ask.session
    key = ("costs", at.whole, at.month)
    known = session.drawn.get(key)
    if known is not None:
        return known
    from quincunx.board.replies import encoded

    with session.turns.urgent():
        found = costed(at.garden, at.timeline)
        able = {f.id for f in at.garden.features if worth_weighing(f)}
        jobs = [
            _job(c, at.garden.style, [t for t in c.job.does if t in able])
            | {"looked_up": _looked(at.garden, at.timeline, c), "apart": _apart(at.garden, c)}
            for c in found
        ]
    return session.drawn.put(
        key, encoded({"revision": at.revision, "caution": caution(at.garden), "of_hours": BOTH_STAND, "jobs": jobs})
    )


def job_of(ask: Ask) -> Any:
    """Answer ``GET /api/as-job?ids=A,B``: the edit that makes one job of what was drawn and has none."""
    at = ask.session.standing()
    with ask.session.turns.urgent():
        edit = as_job(at.garden, ask.query.get("ids", "").split(","))
    if edit is None:
        raise Refused(404, "A job makes it already, or it is there from the start.")
    return edit.model_dump(mode="json", exclude_none=True)


def _apart(garden: Garden, found: Costed) -> dict[str, Any] | None:
    """Return what is said where far more hours are counted than typed, with the edit that takes the counted; else None."""
    words = apart_words(garden, found)
    if not words:
        return None
    edit = take_hours(found)
    return {
        "words": words,
        "label": edit.label,
        "ops": [op.model_dump(mode="json", exclude_none=True) for op in edit.ops],
    }


def _looked(garden: Any, through: Any, found: Costed) -> list[dict[str, str]]:
    """Return what was looked up for a job, the answers that are not all right first."""
    works = [w for group in found.works.values() for w in group]
    style = garden.style
    return [
        {
            "what": own_units(s.what, style),
            "answer": s.answer,
            "words": own_units(s.words, style),
            "because": own_units(s.because, style),
            "source": source_words(s.source, style),
        }
        for s in looked_up(garden, works, through)
    ]


def _job(found: Costed, style: Style, weighable: Sequence[str]) -> dict[str, Any]:
    r = found.reckoned
    edit = take_edit(found)
    missing = len(r.unpriced)
    return {
        "id": found.job.id,
        "money": format_money(r.sum, style, whole=True) if r.sum else "",
        "range": f"{format_money(r.low, style, whole=True)} to {format_money(r.high, style, whole=True)}" if r.low != r.high else "",
        "hours": format_hours(r.hours, style),
        "hours_range": f"{r.hours_range[0]:.0f} to {r.hours_range[1]:.0f}",
        "kg": format_mass(r.kg, style) if r.kg >= 1 else "",
        "loads": r.loads,
        "missing": f"{missing} without a price: {', '.join(r.unpriced[:6])}{' and more' if missing > 6 else ''}" if missing else "",
        "demo": r.demo,
        "taken": found.taken_sum is not None,
        "stale": found.taken_sum is not None and found.taken_sum != r.sum,
        "bill": [_line(b, style) for b in r.bill],
        "cuts": [_cut(c, style) for c in r.cuts],
        "sheets": [_sheet(s, style) for s in r.sheets],
        "options": [_option(o, style) for o in found.options],
        "notes": [own_units(n, style) for n in r.notes],
        "weighable": list(weighable),
        "label": edit.label,
        "ops": [op.model_dump(mode="json", exclude_none=True) for op in edit.ops],
    }  # fmt: skip


def _line(b: Bought, style: Style) -> dict[str, Any]:
    sum_ = "" if b.sum is None else format_money(b.sum, style)
    words, how = called(b, style), own_units(b.how, style)
    return {
        "words": words,
        "much": amount_words(b, style),
        "sum": sum_,
        "shop": b.shop,
        "how": how,
        "item": b.item,
        "per": list(units_asked(b.unit, style)),
    }


def _cut(c: CutList, style: Style) -> dict[str, Any]:
    boards = []
    for r in c.before:
        sawn = ", ".join(f"{n} {c.pieces[i].name} {to_saw(c.pieces[i].length_m, style)}" for i, n in r.cuts)
        boards.append(f"{r.count} × {to_saw(r.left.length_m, style)} left over from “{r.left.source}”: {sawn}")
    for board in c.boards:
        sawn = ", ".join(f"{n} {c.pieces[i].name} {to_saw(c.pieces[i].length_m, style)}" for i, n in board.cuts)
        boards.append(f"{board.count} × {format_length(board.length_m, style)}: {sawn}")
    boards += [too_long(p, style) for p in c.misfits]
    if kept := kept_lengths(c, style):
        boards.append(f"Keep what is left over: {kept}")
    return {"words": f"{c.words} {section_words(c.pieces[0].section_m, style)}", "least": c.proven, "boards": boards}


def _sheet(s: SheetList, style: Style) -> dict[str, Any]:
    """Return how the plates of one item are cut: a sentence for each way, and what is worth keeping."""
    if s.ordered:
        return {"words": f"{s.words}, ordered cut to size", "sure": "", "ways": [plates_words(s, style)], "kept": ""}
    ways = []
    left = {id(sawn): f" left over from “{one.source}”" for one, sawn in s.before}
    for w in (*(sawn for _, sawn in s.before), *s.sheets):
        held = {i: sum(x.plate == i for x in w.plates) for i in range(len(s.plates))}
        plates = [
            f"{n} {s.plates[i].name} {size_words(s.plates[i].wide_m, s.plates[i].long_m, style)}"
            for i, n in held.items()
            if n
        ]
        ways.append(f"{w.count} × {size_words(w.wide_m, w.long_m, style)}{left.get(id(w), '')}: {', '.join(plates)}")
    ways += [f"{p.count} × {size_words(p.wide_m, p.long_m, style)} is larger than any sheet" for p in s.misfits]
    return {"words": f"Cutting {s.words}", "sure": how_sure(s), "ways": ways, "kept": kept_words(s, style)}


def _option(o: Option, style: Style) -> dict[str, str]:
    r = o.reckoned
    sum_ = format_money(r.sum, style, whole=True) if r.sum else ""
    return {"words": o.words, "money": sum_, "hours": format_hours(r.hours, style), "kg": format_mass(r.kg, style)}
