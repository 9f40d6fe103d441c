"""The measured ground as JSON values, for the board and ``quincunx measure --json``."""

from __future__ import annotations

import math
from typing import Any

from quincunx.garden import Garden
from quincunx.review.begun_words import (
    anew_words,
    apart_words,
    first_text,
    left_words,
    other_points,
    pair,
    since_text,
    state_words,
    together_words,
)
from quincunx.review.from_stakes import heights_edit, heights_to_take
from quincunx.review.ground import Measured, book_words, fall_words, level_words, measure, summary, sure_of, warm_words
from quincunx.review.ground_drawn import ring_times, rings_words
from quincunx.review.level_books import LevelBook
from quincunx.review.traversed import walked, walked_rows, walked_words
from quincunx.survey import Reading, Slip, Stake, Suspect, points_of, write_line
from quincunx.survey.network import CONFIDENCE_95
from quincunx.survey.twice import Twice
from quincunx.survey.words import angle, mirror, next_tape, small, swing
from quincunx.units import Style, capital, format_length, own_marks


def ground_report(garden: Garden) -> dict[str, Any]:
    """Return all that is known of the measured ground as JSON values; lengths in metres and in the person's words.

    ``stakes`` without a place have ``at: null``; ``suspects``, ``questions``, ``swings`` and ``next`` each carry
    one sentence that says what to do.
    """
    m = measure(garden)
    return {
        "measured": bool(m.searched.adjusted.positions) and bool(m.survey.readings),
        "words": summary(m),
        "halted": m.halted,
        "rings": rings_words(ring_times(m)),
        "ring_times": ring_times(m),
        "stakes": [_stake(m, s) for s in m.survey.stakes],
        "readings": [_reading(m, r) for r in m.survey.readings],
        "suspects": [_suspect(m, s, w) for s, w in zip(m.searched.suspects, m.suspects, strict=True)],
        "questions": [
            {"start": q.start, "end": q.end, "point": q.point, "words": mirror(q, m.names)}
            for q in m.searched.adjusted.questions
        ],
        "swings": [
            {"stake": s.stake, "tapes": [list(t) for t in s.tapes], "words": capital(swing(s, m.names)) + "."}
            for s in m.searched.adjusted.swings
        ],
        "next": [
            {"start": n.start, "end": n.end, "length_m": n.length_m, "words": next_tape(n, m.names, m.style)}
            for n in m.next
        ],
        "twice": [{"words": words, "takings": _takings(t)} for t, words in zip(m.lines_apart, m.apart, strict=True)],
        "begun": begun_report(garden, m),
        "levels": _levels(m),
        "level_slips": list(level_words(m)),
        "warmth": list(warm_words(m)),
        "walked": _walked(m),
        "heights_to_take": len(heights_to_take(m)) if heights_edit(garden, m) is not None else 0,
    }


def begun_report(garden: Garden, m: Measured) -> dict[str, Any]:
    """Return the lengths that began the garden beside what was taped since, and what to do where they differ."""
    rows = [
        {
            "id": f.begun.id, "names": list(pair(m, f.begun)), "first": first_text(f, m.style), "since": since_text(f, m.style),
            "words": state_words(f, m.style), "agrees": f.agrees, "joined": f.joined,
            "first_m": round(float(f.begun.length), 4),
            "since_m": None if f.since is None else round(float(f.since.length), 4),
            "apart_m": None if f.apart_m is None else round(f.apart_m, 5), "allowed_m": round(f.allowed_m, 5),
        }
        for f in m.firsts
    ]  # fmt: skip
    return {
        "rows": rows,
        "to_do": [*anew_words(garden, m), *apart_words(m)],
        "words": together_words(m),
        "left": left_words(m),
        "other_points": bool(other_points(m)),
    }


def _walked(m: Measured) -> dict[str, Any] | None:
    """Return the way walked by compass and tape; None where there is none."""
    w = walked(m)
    if w is None:
        return None
    return {
        "stakes": list(w.stakes), "miss_m": round(w.found.miss_m, 5), "length_m": round(w.found.length_m, 4),
        "usual_m": round(w.usual_m, 5), "apart_m": None if w.apart_m is None else round(w.apart_m, 5),
        "points": [[round(x, 4), round(y, 4)] for x, y in w.found.points],
        "words": list(walked_words(m, w)), "rows": walked_rows(m, w),
    }  # fmt: skip


def _stake(m: Measured, s: Stake) -> dict[str, Any]:
    p = m.searched.adjusted.positions.get(s.id)
    z = None if m.levels is None else m.levels.levels.get(s.id)
    ring = None if p is None else p.ellipse.scaled(CONFIDENCE_95)
    return {
        "id": s.id,
        "name": s.name,
        "kind": s.kind,
        "held": s.held or s.id == m.survey.datum,
        "at": None if p is None else [round(p.x_m, 4), round(p.y_m, 4)],
        "east": None if p is None else format_length(p.x_m, m.style, kind="tape"),
        "north": None if p is None else format_length(p.y_m, m.style, kind="tape"),
        "sure_m": None if p is None else round(p.sure_m, 5),
        "sure": "has no place yet" if p is None else sure_of(m, s.id),
        "ring": None
        if ring is None
        else {"major_m": ring.major_m, "minor_m": ring.minor_m, "azimuth_deg": ring.azimuth_deg},
        "level_m": None if z is None else round(z, 5),
        "level": None if z is None else format_length(z, m.style, kind="tape"),
    }


def _reading(m: Measured, r: Reading) -> dict[str, Any]:
    misfits = [c for c in m.searched.adjusted.checks if c.reading == r.id and not c.angular]
    turned = max((abs(c.residual) for c in m.searched.adjusted.checks if c.reading == r.id and c.angular), default=None)
    suspected = r.id in {s.reading for s in m.searched.suspects}
    worst = max((abs(c.residual) for c in misfits), default=None)
    words = "doesn’t fit: left out" if suspected else "" if worst is None else f"fits to within {_tiny(worst, m.style)}"
    if not words and turned is not None and r.type == "bearing":
        words = f"fits to within {own_marks(angle(math.degrees(turned)), m.style)}"
    if r.id in m.searched.adjusted.unchecked:
        words = "no other reading checks it"
    return {
        "id": r.id,
        "type": r.type,
        "line": write_line(r, m.style),
        "stakes": list(points_of(r)),
        "fits": not suspected,
        "misfit_m": None if worst is None or suspected else round(worst, 5),
        "words": words,
    }


def _tiny(metres: float, style: Style) -> str:
    return small(max(metres, 0.0254 / 8 if style.system == "feet" else 0.001), style)


def _suspect(m: Measured, s: Suspect, words: str) -> dict[str, Any]:
    return {
        "reading": s.reading,
        "words": words,
        "likely_m": round(s.likely, 4),
        "together": list(s.together),
        "takings": [] if (line := m.line_of(s)) is None else _takings(line),
        "decide": None if s.decide is None else list(s.decide),
        "meant": None if s.meant is None else _slip(s.meant, m.style),
        "slips": [_slip(one, m.style) for one in s.slips],
    }


def _takings(t: Twice) -> list[dict[str, str]]:
    """Return the readings of a line that was taped more than once, as each was written, with who read it."""
    return [{"reading": o.id, "text": f"{o.text} ({o.by})" if o.by else o.text} for o in t.takings]


def _slip(s: Slip, style: Style) -> dict[str, Any]:
    return {
        "kind": s.kind,
        "value_m": s.value_m,
        "text": s.text or format_length(s.value_m, style, kind="tape"),
        "stake": s.stake,
    }


def _level_book(b: LevelBook) -> dict[str, Any]:
    """Return a level book: how far off it closes and may close [m]."""
    closing = None if b.book is None else b.book.closing_m
    return {
        "name": b.name,
        "closing_m": closing,
        "allowed_m": round(b.allowed_m, 5),
        "closes": b.closes,
        "fault": b.fault,
    }


def _levels(m: Measured) -> dict[str, Any] | None:
    if m.levels is None:
        return None
    z = m.levels
    return {
        "stakes": [
            {
                "stake": s,
                "level_m": round(z.levels[s], 5),
                "level": format_length(z.levels[s], m.style, kind="tape"),
                "sure_m": round(1.96 * z.sd[s], 5),
            }
            for s in sorted(z.levels)
        ],
        "loose": list(z.loose),
        "fault": " ".join(b.fault for b in m.books),
        "book": list(book_words(m)),
        "books": [_level_book(b) for b in m.books],
        "closing_m": next((b.book.closing_m for b in m.books if b.book is not None), None),
        "agrees": all(b.book.agrees for b in m.books if b.book is not None) if any(b.book for b in m.books) else None,
        "falls": [
            {"start": f.start, "end": f.end, "drop_m": f.drop_m, "distance_m": f.distance_m, "words": fall_words(m, f)}
            for f in m.falls
        ],
    }
