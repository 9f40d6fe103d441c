"""How it comes true, at the board: the way to things that are chosen, or to what is seen where one stands."""

from __future__ import annotations

from typing import Any

from starlette.responses import Response

from quincunx.board.ask import Ask
from quincunx.board.photos import PICTURE_POLICY
from quincunx.board.replies import Refused
from quincunx.board.scenes import day_of
from quincunx.board.standing import Standing
from quincunx.garden import timeline
from quincunx.scene import Scene
from quincunx.sheets._outlooks import drawn, in_view
from quincunx.sight.outlook import Camera, Outlook, outlook
from quincunx.units import format_day, format_hours, format_money
from quincunx.years.comes_true import ComesTrue, Step, comes_true
from quincunx.years.left_out import left_out

MOST = 60
WIDE_MM = 120.0
LOWEST_M, HIGHEST_M = 0.2, 10.0


def towards(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/years/towards``: the way to ``about`` (ids, by commas) as they stand in ``year`` and ``month``.

    Instead of ``about`` give ``x``, ``y`` [m], ``eye`` [m] above the ground and ``bearing`` [deg]: the way to all that is
    seen from there.
    """
    at, on = ask.session.standing(), day_of(ask)
    with ask.session.turns.urgent():
        things = _named(at, ask.query["about"]) if ask.query.get("about") else _seen(at.timeline.at(on), ask)
        return towards_json(at, comes_true(at.garden, at.timeline, things, on, at.words))


def without(ask: Ask) -> Response:
    """Answer ``GET /api/years/without``: the view of :func:`towards` as an SVG drawing, if ``job`` is left out.

    With an empty ``job`` it is the view as planned.
    """
    at, on, job = ask.session.standing(), day_of(ask), ask.query.get("job", "")
    eye = tuple(round(ask.number(name), 3) for name in ("x", "y", "eye", "bearing"))
    key = ("without", *at.stamp, on, job, eye)
    known = ask.session.drawn.get(key)
    if known is None:
        with ask.session.turns.urgent():
            try:
                through = timeline(left_out(at.garden, job), ask.session.shared) if job else at.timeline
            except KeyError:
                raise Refused(404, "There is no such job in this garden.") from None
            svg, _ = drawn(_look(through.at(on), ask), WIDE_MM, at.garden.style)
            known = ask.session.drawn.put(key, svg.encode())
    return Response(known, media_type="image/svg+xml", headers={"content-security-policy": PICTURE_POLICY})


def _named(at: Standing, about: str) -> list[str]:
    ids = about.split(",")[:MOST]
    unknown = [i for i in ids if at.timeline.feature(i) is None]
    if unknown:
        raise Refused(404, f"There is no thing {unknown[0][:60]!r} in this garden.")
    return ids


def _seen(scene: Scene, ask: Ask) -> tuple[str, ...]:
    """Return the ids of what is seen from where the eye is."""
    return in_view(_look(scene, ask))


def _look(scene: Scene, ask: Ask) -> Outlook:
    """Return what is seen from where the eye is."""
    x, y, eye, bearing = (ask.number(name) for name in ("x", "y", "eye", "bearing"))
    if max(abs(x), abs(y)) > 1e5 or not LOWEST_M <= eye <= HIGHEST_M:
        raise Refused(422, "The eye must be in the garden, between 0.2 and 10 m above the ground.")
    return outlook(scene, Camera((x, y), scene.ground_z_m(x, y) + eye, bearing % 360))


def towards_json(at: Standing, found: ComesTrue) -> dict[str, Any]:
    """Return the way to something for the page."""
    return {
        "revision": at.revision, "on": found.on.isoformat(), "day": format_day(found.on), "words": list(found.words),
        "things": [{"id": t.id, "how": t.how, "job": t.job, "words": t.words} for t in found.things],
        "way": [_step(at, s) for s in found.steps], "done": [s.name for s in found.done],
    }  # fmt: skip


def _step(at: Standing, step: Step) -> dict[str, Any]:
    style = at.garden.style
    return {
        "job": step.job, "name": step.name, "when": step.when, "state": step.state, "because": step.because,
        "hours": format_hours(step.hours, style) if step.hours else "",
        "money": format_money(step.money, style, whole=True) if step.money else "",
        "orders": [e.words for e in step.orders], "also": [at.words.the(t) for t in step.also],
    }  # fmt: skip
