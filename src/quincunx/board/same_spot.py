"""The same-spot book on the board: each peg's photos by year beside what the plan says would be seen from there."""

from __future__ import annotations

import secrets
from datetime import date
from typing import Any

from starlette.responses import Response

from quincunx.board.ask import Ask
from quincunx.board.figures import xy
from quincunx.board.on_foot import direction
from quincunx.board.photos import PICTURE_POLICY, put
from quincunx.board.replies import Refused, number, text
from quincunx.board.standing import Standing
from quincunx.garden import Edit, Op, plain
from quincunx.garden.seen import Peg, PegPhoto, Still
from quincunx.scene import Scene
from quincunx.sheets._outlooks import COVERS, drawn, look_from, photo_day, standing_words
from quincunx.units import format_clock, format_day
from quincunx.units.fields import Length

WIDE_MM = 150.0
NEAR_M = 1.0


def pegs(ask: Ask) -> dict[str, Any]:
    """Answer ``GET /api/pegs``: every peg with how to stand and its photos by year; photos that belong to none yet."""
    at = ask.session.standing()
    used = {p.picture for peg in at.garden.pegs for p in peg.photos}
    used |= {s.picture for s in at.garden.stills}
    days = {e.picture: (e.day, e.text) for e in at.garden.journal if e.picture}
    free = [
        {"picture": name, "words": words, "day": days.get(name, ("", ""))[0]}
        for name, words, _ in ask.session.store.pictures()
        if name not in used
    ]
    return {"pegs": [peg_json(at, p) for p in at.garden.pegs], "free": free, "covers": COVERS}


def peg_json(at: Standing, peg: Peg) -> dict[str, Any]:
    """Return one peg: how to stand, and for each year of the plan its photos."""
    line = at.timeline
    scene = line.at(photo_day(line, line.years[0]))
    taken = sorted(peg.photos, key=lambda p: (p.day, p.hour or 0.0))
    spoken = {y: format_day(photo_day(line, y)) for y in line.years}
    return {
        "id": peg.id, "name": peg.name or peg.id, "at": xy((peg.place,))[0], "bearing_deg": round(peg.bearing_deg, 1),
        "words": standing_words(peg, scene, at.words, line.frame.north_offset_deg),
        "years": [
            {"year": y, "drawn": spoken[y], "photos": [_photo_json(p) for p in taken if p.day[:4] == str(y)]}
            for y in line.years
        ],
    }  # fmt: skip


def _photo_json(photo: PegPhoto) -> dict[str, Any]:
    hour = {} if photo.hour is None else {"hour": photo.hour, "at": format_clock(photo.hour)}
    return {"picture": photo.picture, "day": photo.day, **hour}


def look(ask: Ask) -> Response:
    """Answer ``GET /api/pegs/look``: what would be seen from ``peg`` in ``year``, as an SVG drawing."""
    at, year = ask.session.standing(), ask.whole("year")
    peg = next((p for p in at.garden.pegs if p.id == ask.query.get("peg")), None)
    if peg is None or year not in at.timeline.years:
        raise Refused(404, "There is no such peg, or no such year in the plan.")
    key = ("peg", *at.stamp, peg.id, year)
    known = ask.session.drawn.get(key)
    if known is None:
        with ask.session.turns.background():
            scene = at.timeline.at(photo_day(at.timeline, year))
            known = ask.session.drawn.put(key, drawn(look_from(peg, scene), WIDE_MM, at.garden.style)[0].encode())
    return Response(known, media_type="image/svg+xml", headers={"content-security-policy": PICTURE_POLICY})


def keep_still(ask: Ask) -> dict[str, Any]:
    """Answer ``POST /api/foot/stills``: keep ``picture`` as seen at ``x``, ``y`` with the eye at ``eye``, with its words."""
    body, at = ask.body, ask.session.standing()
    try:
        on = date.fromisoformat(text(body, "on", 10))
    except ValueError:
        raise Refused(422, "on is a day, such as 2031-06-30.") from None
    x, y = number(body.get("x"), "x"), number(body.get("y"), "y")
    hour = None if body.get("hour") is None else number(body["hour"], "hour")
    bearing, eye = number(body.get("bearing"), "bearing") % 360, number(body.get("eye"), "eye")
    if abs(x) > 1e5 or abs(y) > 1e5 or not 0.1 <= eye <= 200 or (hour is not None and not 0 <= hour <= 24):
        raise Refused(422, "That place or hour can't be.")
    words = still_words(at, at.timeline.at(on), (x, y), bearing, hour, above=bool(body.get("above")))
    kept = put(ask)["id"]
    still = Still(
        id=f"still-{secrets.token_hex(4)}", picture=kept, words=words, on=on.isoformat(), hour=hour,
        at=(Length(round(x, 3)), Length(round(y, 3))), height=Length(round(eye, 3)), bearing_deg=round(bearing, 1),
    )  # fmt: skip
    op = Op(do="put", part="stills", id=still.id, value=plain(still))
    saved, _ = ask.session.commit(Edit(label="Keep a still", ops=(op,)), None)
    return {"id": still.id, "words": words, "revision": saved.revision}


def still_words(
    at: Standing, scene: Scene, place: tuple[float, float], bearing: float, hour: float | None, *, above: bool = False
) -> str:
    """Return the words under a still: from where, which way, the day, the year of the plan and the hour."""
    near = min(scene.spots, key=lambda s: (s.at[0] - place[0]) ** 2 + (s.at[1] - place[1]) ** 2, default=None)
    where = "From above"
    if not above:
        close = near is not None and (near.at[0] - place[0]) ** 2 + (near.at[1] - place[1]) ** 2 <= NEAR_M**2
        name = at.words.the(near.id) if near is not None else ""
        where = f"From {name}" if close else f"Near {name}" if name else "From the garden"
        where += f", looking {direction(at.timeline.frame.north_offset_deg + bearing)}"
    year = scene.on.year - at.timeline.years[0] + 1
    nth = f" (year {year} of the plan)" if year >= 1 else ""
    clock = "" if hour is None else f", {format_clock(hour)}"
    return f"{where}; {format_day(scene.on)}{clock}{nth}."
