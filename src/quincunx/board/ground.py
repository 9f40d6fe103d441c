"""The measured ground: readings in, what they say, and the boundary drawn from stakes; each change one edit."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.clock import today
from quincunx.board.figures import bounds_of, figures_json
from quincunx.board.replies import Refused, encoded, text
from quincunx.garden import Edit, Garden, GardenError, change, plain
from quincunx.review.begun_words import leave_out
from quincunx.review.from_stakes import drawables, drawn_edit, heights_edit, places
from quincunx.review.ground import SEARCHES, Measured, measure, search_on
from quincunx.review.ground_drawn import extent_m, ground_figures
from quincunx.review.ground_edits import TAPED, boundary_edit, taken_with, with_readings, without
from quincunx.review.ground_report import ground_report
from quincunx.review.laid import laid_words, lay_edit, turned_over, ways_to_lie
from quincunx.review.levelled import ground_of, levelled, levelled_words
from quincunx.review.true_north import needle_asked, needle_edit, needle_words
from quincunx.shapes import XY, Figure, PathFigure, TextFigure
from quincunx.survey import Bearing, Problem, Reading, Seen, Suspect, marks_for, refix, write_line
from quincunx.survey.words import bearing_meant, placed, reading as called, slip_kind, small
from quincunx.units import capital, format_length, own_marks, parse_bearing, parse_length

MOST_TEXT = 20_000
"""Letters of readings taken at once: a day's notes."""
LOST_TAPE_M = 50.5
"""The tape to find a lost stake with: 50 m or 165 ft [m] (common practice, no source)."""
WORDS_LINES = 2.6
"""How long *within 5 cm* is, in lines of such words on the drawing of the stakes."""
ASIDE = 0.042
"""How far over and under its stake its name and its sureness stand, as a share of the ground's width."""


def ground(ask: Ask) -> bytes:
    """Answer ``GET /api/ground``: stakes, readings, what doesn't fit, what to tape next, and the drawing of it."""
    session = ask.session
    at = session.standing()
    key = ("ground", at.whole)
    known = session.drawn.get(key)
    if known is not None:
        return known
    told = ground_json(at.garden)
    return encoded(told) if told["halted"] else session.drawn.put(key, encoded(told))


def stop_search(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/stop``: a slow search for misreadings ends with what is known by now."""
    del ask
    return {"stopped": SEARCHES.stop()}


def go_on(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/on``: a search that was stopped is made to its end when the ground is asked for next."""
    session = ask.session
    again = search_on(session.standing().garden)
    if again:
        session.drawn.clear()  # papers may have been drawn from what was known
    return {"again": again}


def stakes(ask: Ask) -> list[dict[str, Any]]:
    """Answer ``GET /api/ground/stakes``: the stakes and where they are, for the sheet to show and snap to."""
    m = measure(ask.session.standing().garden)
    return [{"id": i, "name": m.names[i], "at": [round(x, 3), round(y, 3)]} for i, (x, y) in m.places.items()]


def ground_json(garden: Garden) -> dict[str, Any]:
    """Return the report of the measured ground with the drawing of it: ``figures`` and their ``bounds`` [m]."""
    report, m = ground_report(garden), measure(garden)
    known = {s.reading: s for s in m.searched.suspects}
    for told in report["suspects"]:
        told["takes"] = _takes(m, known[told["reading"]])
    for told, r in zip(report["readings"], m.survey.readings, strict=True):
        told["line"] = _line(m, r)
    for told in report["stakes"]:
        told["lost"] = lost_words(m, told["id"])
    figures = (*(f for f in ground_figures(m) if not isinstance(f, TextFigure)), *_words_figures(m))
    edge = PathFigure(tuple((float(x), float(y)) for x, y in garden.boundary), "datum")
    box = bounds_of((*figures, edge))
    untold = sum(r.type in TAPED and r.instrument is None for r in m.survey.readings)
    return {
        **report,
        "untold": untold,
        "needle": _needle(garden),
        "turned_over": turned_over(garden, m),
        "lie": [laid_words(garden, m, way) for way in ways_to_lie(garden, m)],
        "drawn": [[d.kind, d.words, d.least, d.each] for d in drawables()],
        "figures": figures_json(figures, m.style),
        "bounds": box,
        "writing": _examples(m),
    }


def _needle(garden: Garden) -> str:
    """Return that compass bearings are still counted from where the needle points; nothing where they aren't."""
    on = today(garden.site.place)
    if needle_asked(garden, on) is None:
        return ""
    needle = own_marks(needle_words(garden.site.place, on), garden.style)
    return f"{needle} The bearings read are not put right for it yet."


def lost_words(m: Measured, stake: str) -> str:
    """Return how a stake is set again from the others if it is lost; nothing where too few are in reach."""
    if stake not in m.searched.adjusted.positions or len(m.searched.adjusted.positions) < 3:
        return ""
    again = refix(stake, m.searched.adjusted, marks=marks_for(m.style.system), longest_m=LOST_TAPE_M)
    if again is None:
        return "No two other stakes are in reach to find it again."
    return f"{placed(again, m.names, m.style)} It comes back to within {small(again.sure_m, m.style)}."


def _takes(m: Measured, suspect: Suspect) -> list[dict[str, Any]]:
    """Return the lengths that one touch can put in the place of a reading that doesn't fit, the likeliest first, and why."""
    read = m.readings[suspect.reading]
    if isinstance(read, Bearing):
        meant = bearing_meant(read, suspect)
        return [] if meant is None else [{"text": f"{meant:.0f} deg", "why": slip_kind("swapped")}]
    why: dict[str, str] = {}
    for slip in suspect.slips:
        said = slip.text or format_length(slip.value_m, m.style, kind="tape")
        if slip.kind != "wrong_stake":
            why.setdefault(said, slip_kind(slip.kind))
    return [{"text": t, "why": w} for t, w in list(why.items())[:3]]


def _line(m: Measured, r: Reading) -> str:
    """Return a reading as it would be typed, with the names on the stakes; its instrument only if there are several."""
    named: dict[str, Any] = {
        n: m.names[v]
        for n in ("start", "corner", "end", "point", "toward", "stake")
        if (v := getattr(r, n, None)) is not None
    }
    named |= {n: tuple(m.names[i] for i in v) for n in ("through", "wall") if (v := getattr(r, n, None)) is not None}
    if len(m.survey.instruments) < 2:
        named["instrument"] = None
    return write_line(r.model_copy(update=named), m.style)


def _words_figures(m: Measured) -> list[Figure]:
    """Return over each stake its name and under it within what it is sure."""
    aside = ASIDE * extent_m(tuple(m.places.values()))
    out: list[Figure] = []
    for i, p in sorted(m.searched.adjusted.positions.items()):
        out.append(TextFigure((p.x_m, p.y_m + aside), m.names[i], "datum", f"stake/{i}", "large"))
        if p.sure_m > 1e-6:
            within = f"within {small(max(p.sure_m, 0.001), m.style)}"
            at = _apart(
                (p.x_m, p.y_m - aside), [f.at for f in out if isinstance(f, TextFigure) and f.role == "note"], aside
            )
            out.append(TextFigure(at, within, "note", f"sure/{i}", "small"))
    return out


def _apart(at: XY, taken: list[XY], line_m: float) -> XY:
    """Return a place for a few words at ``at``, or so many lines lower that they lie on no others [m]."""
    while any(abs(at[0] - x) < WORDS_LINES * line_m and abs(at[1] - y) < line_m * 0.9 for x, y in taken):
        at = (at[0], at[1] - line_m)
    return at


def _examples(m: Measured) -> list[list[str]]:
    """Return the ways to write a reading, each with what it means, in the person's units."""
    long, short, rise = ("40' 6 1/2\"", "3' 9\"", '5"') if m.style.system == "feet" else ("12.34", "1.15", "0.12")
    if m.style.decimal_mark == ",":
        long, short, rise = (t.replace(".", ",") for t in (long, short, rise))
    return [
        [f"A B {long}", "tape from A to B"],
        [f"A B C: {long}; {long}; {short}", "a triangle: A to B, B to C, C to A"],
        [f"A>B x {long} L {short} tree", "along from A to B, then left (L) or right (R) to the tree"],
        ["A B C square", "the corner at B is square"],
        ["A B C straight", "three stakes in one line"],
        [f"A>B wall C-D {long}", "from A in the line to B, as far as the wall C to D"],
        ["A B 34 paces", "counted in paces"],
        ["A>B 134 deg", "compass, looking from A at B; N12°30'E is read too. Write it as finely as it was read"],
        [f"A>B 134 deg {long}", "compass and tape: one leg of a way walked"],
        [f"A B rises {rise}", "B is higher than A; falls where it is lower"],
        [f"A B rises {rise} by water level", "or by line level, A-frame, staff: what it was read with"],
        [f"A B {long} falls {rise}", "taped along a slope whose ends differ so much in height"],
        [f"back A {short}", "staff readings of a level: back, between, fore"],
        [f"back A {short} in book two", "of a second round, or of somebody else at the same time"],
        [f"A B {long} read by Ada", "who read it; a line that two read is two readings"],
        [f"A B {long} # hedge in the way", "what follows # is a note"],
    ]


def add_readings(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/readings``: add the readings in ``text``, a line each, as one edit.

    The lines that can be read are added; the others come back as ``problems``, each with a sentence.
    """
    said = text(ask.body, "text", MOST_TEXT)
    problems: tuple[Problem, ...] = ()
    added = 0

    def made(garden: Garden) -> Edit | None:
        nonlocal problems, added
        edit, problems = with_readings(garden, said, "Add readings")
        added = len(edit.ops[0].value["readings"]) - len(garden.survey.readings) if edit else 0
        return edit

    revision = _commit(ask, made)
    told = [{"line": p.line, "text": p.text.strip(), "because": _sentence(p.because)} for p in problems]
    return {"revision": revision, "added": added, "problems": told}


def _sentence(because: str) -> str:
    return capital(because.rstrip(".")) + "."


def _commit(ask: Ask, made: Callable[[Garden], Edit | None]) -> int:
    """Make an edit of the garden as it is now; nothing can come between the look and the change."""
    session = ask.session
    with session.lock:
        at = session.standing()
        edit = made(at.garden)
        if edit is not None:
            session.commit(edit, at.revision)
        return session.store.revision


def answer_seen(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/seen``: from ``start``, looking at ``end``, ``point`` is on the ``side`` left or right."""
    body = ask.body
    start, end, point, side = (text(body, n, 60) for n in ("start", "end", "point", "side"))
    if side not in ("left", "right"):
        raise Refused(422, "The side is left or right.")

    def made(garden: Garden) -> Edit:
        survey = garden.survey
        known = {s.id for s in survey.stakes}
        if not {start, end, point} <= known:
            raise Refused(422, "One of these stakes is no longer there.")
        seen = Seen(id=_free({r.id for r in survey.readings}), start=start, end=end, point=point, side=side)  # type: ignore[arg-type]
        return change("survey", None, {"readings": [*survey.readings, seen]}, "Say on which hand it is")

    return {"revision": _commit(ask, made)}


def _free(taken: set[str]) -> str:
    n = 1
    while f"r{n}" in taken:
        n += 1
    return f"r{n}"


def take_length(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/take``: put one of the likely lengths, ``text``, in the place of a ``reading``."""
    name, said = text(ask.body, "reading", 60), text(ask.body, "text", 40)

    def made(garden: Garden) -> Edit:
        m = measure(garden)
        suspect = next((s for s in m.searched.suspects if s.reading == name), None)
        if suspect is None or said not in [t["text"] for t in _takes(m, suspect)]:
            raise Refused(
                409, "The readings changed meanwhile, and that length is no longer the likely one. Look again."
            )
        field = suspect.part if suspect.part in ("along", "offset") else "length"
        taken: dict[str, Any] = {field: said}
        if isinstance(m.readings[name], Bearing):
            taken = {"bearing_deg": parse_bearing(said, garden.style), "typed": said}
        readings = [{**plain(r), **taken} if r.id == name else r for r in garden.survey.readings]
        return change("survey", None, {"readings": readings}, f"Read {_words(m, name)} as {said}")

    return {"revision": _commit(ask, made)}


def _words(m: Measured, name: str) -> str:
    return called(m.readings[name], m.names)


def take_out(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/take-out``: take a ``reading`` out, with stakes that nothing else places or names."""
    name = text(ask.body, "reading", 60)

    def made(garden: Garden) -> Edit:
        survey = garden.survey
        first = leave_out(garden, {name})
        if first is not None:
            return first
        gone = next((r for r in survey.readings if r.id == name), None)
        if gone is None:
            raise Refused(409, "That reading is no longer there.")
        left, names = without(survey, {name}), {s.id: s.name for s in survey.stakes}
        fields = {"stakes": list(left.stakes), "readings": list(left.readings)}
        return change("survey", None, fields, f"Take out the reading {called(gone, names)}")

    return {"revision": _commit(ask, made)}


def leave_first_out(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/first-out``: none of the lengths that began the garden counts any longer."""

    def made(garden: Garden) -> Edit | None:
        return leave_out(garden, {d.id for d in garden.survey.begun.lengths}, "Leave out the lengths that began it")

    return {"revision": _commit(ask, made)}


def set_instrument(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/with``: every taped reading that names no instrument was taken with ``instrument``."""
    name = text(ask.body, "instrument", 60)
    return {"revision": _commit(ask, lambda garden: taken_with(garden, name))}


def draw_boundary(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/boundary``: draw the boundary through ``stakes``, in their order round the ground."""
    stakes = _stakes(ask)
    return {"revision": _commit(ask, lambda garden: boundary_edit(garden, stakes))}


def _stakes(ask: Ask) -> list[str]:
    stakes = ask.body.get("stakes")
    if not isinstance(stakes, list) or not all(isinstance(s, str) for s in stakes) or len(stakes) > 200:
        raise Refused(422, "stakes is a list of stakes' names, in order.")
    return stakes


def draw(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/draw``: draw a thing of a ``kind`` through ``stakes``, or one on each of them."""
    kind, stakes = text(ask.body, "kind", 60), _stakes(ask)
    return {"revision": _commit(ask, lambda garden: drawn_edit(garden, kind, stakes))}


def take_heights(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/heights``: the plan's ground lies by the heights of the stakes."""
    return {"revision": _commit(ask, heights_edit)}


def lay(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/lay``: the stakes lie on the plan as drawn, in the way ``way`` of those told."""
    way = ask.body.get("way", 0)
    if not isinstance(way, int):
        raise Refused(422, "way is the number of one of the ways told, from 0.")

    def made(garden: Garden) -> Edit:
        edit = lay_edit(garden, way)
        if edit is None:
            raise Refused(409, "The readings changed meanwhile, and the stakes no longer lie so. Look again.")
        return edit

    return {"revision": _commit(ask, made)}


def count_from_true(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/needle``: compass bearings are counted from true north, by the needle of today."""
    return {"revision": _commit(ask, lambda garden: needle_edit(garden, today(garden.site.place)))}


def level(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/ground/level``: what it takes to make the outline through ``stakes`` level, ``at`` a height.

    Without ``at`` the height is that at which what is dug fills what is low.
    """
    stakes, said = _stakes(ask), ask.body.get("at")
    garden = ask.session.standing().garden
    m = measure(garden)
    lie = ground_of(garden, m)
    if lie is None:
        raise Refused(422, "Levels of three stakes or more are needed: how the ground lies isn't known yet.")
    try:
        at = parse_length(said, garden.style) if isinstance(said, str) and said.strip() else None
        found = levelled(lie, places(m, stakes), [m.names.get(s, s) for s in stakes], at)
    except GardenError:
        raise
    except ValueError as error:
        raise Refused(422, _sentence(str(error))) from None
    return {"words": list(levelled_words(found, garden.style))}
