"""What a drag or a thing not yet put down would mean: its figures, and fresh verdicts of the musts it touches."""

from __future__ import annotations

import time
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from pydantic import TypeAdapter, ValidationError

from quincunx.board.along import carried, goes_along, other_places, shift_of
from quincunx.board.ask import Ask
from quincunx.board.fault_words import in_words
from quincunx.board.figures import figures_json, ghost, outline_of
from quincunx.board.gaps import gaps
from quincunx.board.replies import Refused, number, point, text
from quincunx.board.scenes import handles_json, to_come
from quincunx.board.session import Session
from quincunx.board.standing import Standing
from quincunx.board.typed import read_typed
from quincunx.features import AnyFeature, Feature
from quincunx.garden import Fault, Garden, GardenError, Op, plain
from quincunx.garden.sentences import sentence
from quincunx.shapes import XY, Figure
from quincunx.units import listed

WAIT_S = 0.03
"""A try is answered within about this time, with the verdicts there are by then: what is drawn must follow the hand [s]."""
HAND_ON_S = 0.003
"""So long the thread that answers stands back for those that hand a try on to be judged: all else waits for that [s]."""
SHIFT = ("dx", "dy", "turn_deg", "about")
"""What a move says of how far and which way."""
HAIR_M = 0.002
"""What is in hand is looked at moved by this much before it is moved [m]."""
_FEATURE: TypeAdapter[Feature] = TypeAdapter(AnyFeature)


@dataclass(frozen=True)
class Try:
    """Features in place of those of the same id (or new), and the date that the sheet shows.

    ``copied`` things are drawn where they would be put down, beside those they are copied from.
    """

    features: tuple[Feature, ...]
    on: date
    window: str
    copied: bool = False


def drag(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/drag``: one thing by a ``handle`` ``to`` a point, or by a ``move``; several by ``moves``.

    With a handle ``turn`` may say bearings of the thing, by the names of their fields.
    """
    body, session = ask.body, ask.session
    at = session.standing()
    changes = dict(_changes(body, at))
    on = day_in(body, at)
    with_it = dict(_carried(at, body, changes, on))
    tried = Try(
        tuple(_changed(_find(at, i), f) for i, f in {**changes, **with_it}.items()),
        on,
        _window(body),
        body.get("copy") is True,
    )
    fields = {i: plain_fields(f) for i, f in changes.items()}
    answer = answer_for(session, at, tried)
    return {
        "fields": fields if "moves" in body else next(iter(fields.values()), {}),
        **answer,
        **_along(at, body, with_it, tried.on),
    }


def _carried(
    at: Standing, body: Mapping[str, Any], changes: Mapping[str, Any], on: date
) -> Iterable[tuple[str, Mapping[str, Any]]]:
    """Return the openings that go with the walls they stand in, and what changes of them; none with a copy."""
    moves = body.get("moves") if isinstance(body.get("moves"), list) else [body["move"]] if "move" in body else []
    shifts = [{k: m.get(k) for k in SHIFT if m.get(k) is not None} for m in moves or () if isinstance(m, dict)]
    if not shifts or body.get("copy") is True or any(s != shifts[0] for s in shifts):
        return
    for one in carried(at, changes, on):
        yield one.id, _moved(one, shifts[0])


def _along(at: Standing, body: Mapping[str, Any], with_it: Mapping[str, Any], on: date) -> dict[str, Any]:
    """Return what goes along with what is moved as one: its edits and its words."""
    ops = [Op(do="change", part="features", id=i, value=plain_fields(f)) for i, f in with_it.items()]
    names = [_find(at, i).called for i in with_it]
    more, words = _among(at, body, on)
    said = listed([*names, *([words] if words else [])])
    return {"along": [plain(op) for op in (*ops, *more)], "along_words": said} if ops or more else {}


def _among(at: Standing, body: Mapping[str, Any], on: date) -> tuple[tuple[Op, ...], str]:
    """Return the points that go along with several things moved as one, and their words."""
    moves = body.get("moves")
    shifts = (
        [] if not isinstance(moves, list) else [[m.get(k) for k in ("dx", "dy", "turn_deg", "about")] for m in moves]
    )
    if not shifts or any(s != shifts[0] for s in shifts):
        return (), ""
    first = _object(moves[0] if isinstance(moves, list) else None)
    dx, dy, turn = (number(first.get(k, 0), k) for k in ("dx", "dy", "turn_deg"))
    about = point(first.get("about") or (0.0, 0.0), "about")
    return goes_along(at, [str(m.get("id")) for m in moves or ()], shift_of(dx, dy, turn, about), on)


def expect(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/expect``: the thing ``id`` is in hand, and will perhaps be moved."""
    at = ask.session.standing()
    feature = _find(at, text(ask.body, "id", 60))
    moved = _changed(feature, feature.moved(HAIR_M, HAIR_M, 0.0, (0.0, 0.0)))
    on = day_in(ask.body, at)
    ask.session.trier.expect(at, [stood_up(at, Try((f,), on, "")) for f in (moved, *other_places(at, feature, on))])
    return {}


def preview(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/preview``: what the ``feature`` given as a document would mean."""
    body, session = ask.body, ask.session
    at = session.standing()
    given = body.get("feature")
    if not isinstance(given, dict):
        raise Refused(422, "The feature is missing.")
    with in_words(at.garden, at.called):
        feature = feature_of(given, at.garden)
    return {"fields": plain(feature), **answer_for(session, at, Try((feature,), day_in(body, at), _window(body)))}


def feature_of(given: Mapping[str, Any], garden: Garden) -> Feature:
    """Return the feature a document describes; :class:`GardenError` names what is wrong with it."""
    name = str(given.get("id", ""))[:60]
    typed = read_typed(dict(given), Garden.model_fields["features"].annotation, garden.style, name)
    try:
        return _FEATURE.validate_python(typed, context={"style": garden.style})
    except ValidationError as error:
        faults = [Fault(_path(e["loc"]), sentence(e)) for e in error.errors()[:20]]
        raise GardenError(faults) from None


def _path(loc: Sequence[int | str]) -> str:
    return " → ".join(str(part) for part in loc[1:])


def plain_fields(fields: Mapping[str, Any]) -> dict[str, Any]:
    """Return changed fields as JSON values."""
    return {name: plain(value) for name, value in fields.items()}


def _changes(body: Mapping[str, Any], at: Standing) -> Iterable[tuple[str, Mapping[str, Any]]]:
    moves = body.get("moves")
    if isinstance(moves, list):
        if len(moves) > 2000:
            raise Refused(422, "Too many things at once.")
        for move in moves:
            feature = _find(at, text(_object(move), "id", 60))
            yield feature.id, _moved(feature, move)
        return
    feature = _find(at, text(body, "id", 60))
    if isinstance(body.get("move"), dict):
        yield feature.id, _moved(feature, body["move"])
        return
    handle, to = text(body, "handle", 60), point(body.get("to"), "to")
    try:
        yield feature.id, {**feature.dragged(handle, to), **_turned(feature, body.get("turn"))}
    except KeyError:
        raise Refused(422, f"{feature.called} has no such handle.") from None


def _turned(feature: Feature, turn: Any) -> Mapping[str, float]:
    """Return the bearings that go with a pull: an opening turns with the wall it comes into."""
    if turn is None:
        return {}
    if not isinstance(turn, dict) or not set(turn) <= set(feature.bearings):
        raise Refused(422, f"{feature.called} has no such bearing to turn.")
    return {name: number(deg, name) % 360.0 for name, deg in turn.items()}


def _object(value: Any) -> Mapping[str, Any]:
    if not isinstance(value, dict):
        raise Refused(422, "Each of the moves is an object with id, dx, dy, turn_deg and about.")
    return value


def _find(at: Standing, feature_id: str) -> Feature:
    found = next((f for f in at.garden.features if f.id == feature_id), None)
    if found is None:
        raise Refused(404, "It is no longer there. Another window took it out.")
    return found


def _moved(feature: Feature, move: Mapping[str, Any]) -> Mapping[str, Any]:
    dx, dy = number(move.get("dx", 0), "dx"), number(move.get("dy", 0), "dy")
    turn = number(move.get("turn_deg", 0), "turn_deg")
    about: XY = point(move.get("about") or (0.0, 0.0), "about")
    return feature.moved(dx, dy, turn, about)


def _changed(feature: Feature, fields: Mapping[str, Any]) -> Feature:
    try:
        return feature.changed(**fields)
    except ValidationError as error:
        faults = [Fault(" → ".join(str(p) for p in e["loc"]), sentence(e)) for e in error.errors()[:20]]
        raise GardenError(faults) from None


def day_in(body: Mapping[str, Any], at: Standing) -> date:
    """Return the last day of the ``year`` and ``month`` a body names; :class:`Refused` if there is no such month."""
    from calendar import monthrange

    year = int(number(body.get("year", at.timeline.years[0]), "year"))
    month = int(number(body.get("month", 8), "month"))
    try:
        return date(year, month, monthrange(year, month)[1])
    except ValueError:
        raise Refused(422, "There is no such month.") from None


def _window(body: Mapping[str, Any]) -> str:
    return str(body.get("window", ""))[:40]


def answer_for(session: Session, at: Standing, tried: Try) -> dict[str, Any]:
    """Return figures, handles and outline of what is tried, and the verdicts of all musts it touches, all years.

    What can't be judged within :data:`WAIT_S` is left out and ``left`` says how many verdicts that is; they follow as
    an event ``tried`` unless a newer try of the same window comes first.
    """
    began = time.monotonic()
    then = stood_up(at, tried)
    job = session.trier.begin(at, then, tried.on.year, tried.window)
    time.sleep(HAND_ON_S)
    first = tried.features[0] if len(tried.features) == 1 else None
    ids = [f.id for f in tried.features]
    owners, figures = (None if tried.copied else gaps(at, then, ids, tried.on)) or (
        ids, [x for f in tried.features for x in _figures(then, f, tried.on)],
    )  # fmt: skip
    drawn = {
        "owners": owners,
        "figures": figures_json(figures, at.garden.style),
        "handles": handles_json(first.handles()) if first else [],
        "outline": outline_of(_shape(then, first, tried.on)) if first else [],
    }
    job.over.wait(max(WAIT_S - (time.monotonic() - began), 0.0))
    return {**drawn, **job.answer(session.verdicts.last), "revision": at.revision}


def stood_up(at: Standing, tried: Try) -> Standing:
    """Return the garden as it would be, sharing all that stays the same."""
    new = {f.id: f for f in tried.features}
    features = tuple(new.pop(f.id, f) for f in at.garden.features) + tuple(new.values())
    names = at.called | {f.id: f.called for f in tried.features}
    frame = at.timeline.frame
    if names != at.called:
        frame = replace(frame, names=tuple(sorted(names.items())))
    garden = at.garden.model_copy(update={"features": features})
    return Standing(at.revision, "", garden, at.timeline.with_features(tried.features, frame))


def _shape(then: Standing, feature: Feature, on: date) -> Any:
    stood = then.timeline.stood(feature, on)
    return stood if stood.figures else to_come(then, feature, on)


def _figures(then: Standing, feature: Feature, on: date) -> list[Figure]:
    stood = then.timeline.stood(feature, on)
    if stood.figures:
        return list(stood.figures)
    return [g for f in to_come(then, feature, on).figures if (g := ghost(f)) is not None]
