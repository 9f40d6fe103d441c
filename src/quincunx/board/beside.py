"""Two alternatives side by side on the same musts: plans, answers, money, hours, what differs, and taking it over."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from quincunx.board.ask import Ask
from quincunx.board.figures import SMALL, figures_json, small_figures
from quincunx.board.judged import all_judged, row_of
from quincunx.board.replies import Refused, text
from quincunx.board.session import Session
from quincunx.board.standing import Standing
from quincunx.garden import Garden
from quincunx.garden.shared import besides, by_year
from quincunx.review.beside import Difference, differences, take_over
from quincunx.review.changed import musts_changed
from quincunx.review.judging import Judged
from quincunx.units import Style, format_hours, format_money

MOST = 400
"""Differences told; more are counted."""
VALUES = 3
"""Fields of one thing told with both values; the rest are named."""
PARTS = {
    "features": "things", "jobs": "jobs", "intents": "what the garden must do", "rooms": "rooms", "spots": "spots",
    "dimensions": "dimension lines", "pins": "notes on places", "pegs": "pegs", "stills": "stills", "plants": "own plants", "walkers": "own walkers",
    "prices": "prices", "norms": "norms", "journal": "journal",
}  # fmt: skip


def _there(session: Session, name: str) -> Standing:
    if name == session.store.head:
        raise Refused(422, "That is the alternative you are looking at. Choose another to lay beside it.")
    garden, revision = session.store.garden_of(name)
    return session.state_of(name, revision, garden)


def _known(session: Session, at: Standing) -> tuple[list[Judged], int]:
    """Return the musts with the answers that are known already, and how many are not."""
    rows, left = [], 0
    for must in at.garden.intents:
        found = [session.verdicts.find(must, year, at) for year in at.timeline.years]
        left += sum(k is None for k in found)
        rows.append(row_of(must, at, [k.verdict for k in found if k is not None]))
    return rows, left


def beside(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/beside``: the alternative ``with`` laid beside the present one.

    With ``known`` at once, with the answers that are known by then; ``left`` says how many are still to be judged.
    """
    session = ask.session
    here, name = session.standing(), ask.query.get("with", "")
    there = _there(session, name)
    left = 0
    if ask.query.get("known"):
        (mine, a), (theirs, b) = _known(session, here), _known(session, there)
        left = a + b
    else:
        mine, theirs = (all_judged(session, at, session.turns.urgent) for at in (here, there))
    changed = musts_changed(mine, theirs)
    differ = differences(here.garden, there.garden)
    sentences = {m.id: m.text for m in (*theirs, *mine)}
    return {
        "here": here.head, "there": there.head, "revision": here.revision,
        "years": [_year(here, there, y) for y in sorted({*here.timeline.years, *there.timeline.years})],
        "musts": _musts(mine, theirs, waiting=left),
        "said": [c.sentence for c in changed],
        "money": _sums(here, there), "hours": " ".join((_hours(here, there), *_choices(here, there))),
        "differs": [_difference(d, sentences) for d in differ[:MOST]], "more": max(0, len(differ) - MOST),
        "left": left,
    }  # fmt: skip


def _year(here: Standing, there: Standing, year: int) -> dict[str, Any]:
    return {"year": year, "here": _plan(here, year), "there": _plan(there, year)}


def _plan(at: Standing, year: int) -> dict[str, Any] | None:
    if year not in at.timeline.years:
        return None
    scene = at.timeline.at(at.timeline.leaf_date(year))
    row = next(r for r in at.timeline.money() if r.year == year)
    style = at.garden.style
    return {
        "figures": figures_json(small_figures(scene.figures), style, SMALL),
        "bounds": [round(v, 3) for v in at.timeline.frame.boundary.bounds],
        "spent": format_money(row.spent, style, whole=True), "left": _left(row.left, style),
        "short": row.left < at.garden.means.reserve, "hours": format_hours(row.upkeep_h + row.worked_h, style),
        "over": row.spare_h < 0,
    }  # fmt: skip


def _left(left: int, style: Style) -> str:
    """Return what a year leaves, or what it is short by."""
    much = format_money(abs(left), style, whole=True)
    return f"short by {much}" if left < 0 else f"{much} left"


def _musts(mine: list[Judged], theirs: list[Judged], *, waiting: int) -> list[dict[str, Any]]:
    """Return every must of either, with its state by year here and there; those that differ first.

    While some are ``waiting`` to be judged, a must differs only where both answers are known.
    """
    left, right = {m.id: m for m in mine}, {m.id: m for m in theirs}
    rows = []
    for name in [*left, *(i for i in right if i not in left)]:
        sides = [_states(s.get(name)) for s in (left, right)]
        one = left.get(name) or right[name]
        known = sides[0].keys() & sides[1].keys() if waiting else sides[0].keys() | sides[1].keys()
        same = all(sides[0].get(y) == sides[1].get(y) for y in known)
        rows.append({"id": name, "text": one.text, "here": sides[0], "there": sides[1], "same": same})
    return sorted(rows, key=lambda r: bool(r["same"]))


def _states(must: Judged | None) -> dict[str, str]:
    return {} if must is None or must.muted else {str(v.year): v.state.value for v in must.verdicts}


def _sums(here: Standing, there: Standing) -> str:
    mine, theirs = (sum(r.spent for r in at.timeline.money()) for at in (here, there))
    style = here.garden.style
    return f"{_both_sums(mine, theirs, style)}{_of_others(here, there)}"


def _of_others(here: Standing, there: Standing) -> str:
    """Return what others pay besides, here and there; nothing where nobody does in either."""
    style = here.garden.style
    mine, theirs = (sum(by_year(at.garden).values()) for at in (here, there))
    if mine == theirs:
        return besides(mine, style)
    return f" Others pay besides: {format_money(mine, style, whole=True)} here, {format_money(theirs, style, whole=True)} there."


def _both_sums(mine: int, theirs: int, style: Style) -> str:
    if mine == theirs:
        return f"Both cost {format_money(mine, style, whole=True)} in all."
    more = "more" if theirs > mine else "less"
    return (
        f"{format_money(mine, style, whole=True)} in all here, {format_money(theirs, style, whole=True)} there:"
        f" {format_money(abs(theirs - mine), style, whole=True)} {more} there."
    )


def _hours(here: Standing, there: Standing) -> str:
    mine, theirs = (sum(r.worked_h + r.upkeep_h for r in at.timeline.money()) for at in (here, there))
    style = here.garden.style
    if abs(mine - theirs) < 0.5:
        return f"Both take {format_hours(mine, style)} in all."
    more = "more" if theirs > mine else "fewer"
    return f"{format_hours(mine, style)} here, {format_hours(theirs, style)} there: {format_hours(abs(theirs - mine), style)} {more} there."


def _choices(here: Standing, there: Standing) -> Iterator[str]:
    """Yield, for each held place of which another thing is chosen, what both come to by the parts and the prices."""
    held = {f.id: p.chosen for f in here.garden.features if (p := f.held_place()) is not None}
    for feature in there.garden.features:
        place = feature.held_place()
        if place is None or feature.id not in held or place.chosen == held[feature.id]:
            continue
        sides = (f"{_comes_to(at, feature.id)} {word}" for at, word in ((here, "here"), (there, "there")))
        yield f"{feature.called}, worked out: {', '.join(sides)}. The sums above are those that stand in the jobs."


def _comes_to(at: Standing, held: str) -> str:
    from quincunx.garden.costing import choice_of

    option = choice_of(at.garden, at.timeline, held)
    if option is None:
        return "nothing chosen"
    found, style = option.reckoned, at.garden.style
    money = format_money(found.sum, style, whole=True) if found.sum else "no price"
    return f"{option.words} ({money}, {format_hours(found.hours, style)})"


def _difference(d: Difference, musts: Mapping[str, str]) -> dict[str, Any]:
    words = d.what if d.what != "differs" else differs_in(d)
    return {
        "part": d.part,
        "group": PARTS.get(d.part, "the garden"),
        "id": d.id,
        "name": musts.get(d.id, d.name) if d.part == "intents" else d.name,
        "what": d.what,
        "words": words,
    }


def differs_in(d: Difference) -> str:
    """Return the fields that differ with both values of the first ones, such as ``height: 1.80 m here, 2.10 m there``."""
    told: list[str] = []
    only_named: list[str] = []
    for field, (mine, theirs) in zip(d.fields, d.values, strict=True):
        words = field.partition(" (")[0]
        if not theirs or len(told) == VALUES:
            only_named.append(words)
        else:
            told.append(f"{words}: {mine} here, {theirs} there" if mine else f"{words}: {theirs}")
    rest = f"{'also ' if told else ''}differs in {', '.join(only_named)}" if only_named else ""
    return "; ".join([*told, *([rest] if rest else [])]) or "differs"


def take(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/beside/take``: make ``things`` ([part, id] pairs) here as they are ``with``."""
    session, body = ask.session, ask.body
    name = text(body, "with", 60)
    wanted = body.get("things")
    if not isinstance(wanted, list) or not all(isinstance(w, list) and len(w) == 2 for w in wanted):
        raise Refused(422, "things is a list of pairs: a part of the garden and the id of a thing in it.")
    here, there = session.standing(), _there(session, name)
    pairs = [(str(part), str(i)) for part, i in wanted]
    edit = take_over(here.garden, there.garden, pairs, f"Take over from {name}")
    if not edit.ops:
        raise Refused(422, "Nothing of that differs.")
    saved, ids = session.commit(edit, here.revision)
    return {"revision": saved.revision, "merged": saved.merged, "ids": ids}


def from_shortlist(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/beside/shortlist``: make an alternative for each choice of a held place ``id`` that has none yet."""
    session = ask.session
    name = text(ask.body, "id", 60)
    at = session.standing()
    feature = next((f for f in at.garden.features if f.id == name), None)
    held = None if feature is None else feature.held_place()
    if feature is None or held is None:
        raise Refused(404, "That is no held place with a shortlist.")
    made = []
    for choice, words, _ in held.shortlist:
        head = f"{feature.called}: {words}"[:60]
        if head in session.store.heads() or choice == held.chosen:
            continue
        session.alternative(head, _chosen(at.garden, name, choice), head)
        made.append(head)
    if not made:
        raise Refused(409, "Every choice of the shortlist has its alternative already.")
    return {"heads": session.store.heads(), "made": made}


def _chosen(garden: Garden, held: str, choice: str) -> Garden:
    features = tuple(f.changed(chosen=choice) if f.id == held else f for f in garden.features)
    return garden.model_copy(update={"features": features})
