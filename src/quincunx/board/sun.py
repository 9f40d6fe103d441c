"""The question of sun: hours on the ground, the shadows of an hour, shade at a seat, and which roof would do for it."""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import shapely

from quincunx.board.asking import Answer, Bars, Given, Input, Lead, Option, Place, Table, Tiles, month_name
from quincunx.board.standing import Standing
from quincunx.scene import Scene
from quincunx.shapes import Figure, PathFigure, TextFigure
from quincunx.sheets._seat_helps import seat_helps
from quincunx.sheets.sunlight import (
    fair_hours,
    hours_over,
    how_hours,
    how_light,
    light_over,
    lit_now,
    open_sky_over,
    roof_rows,
    rough_hours,
    seat_tiles,
    sky_over,
    sun_up_words,
    warm_months,
)
from quincunx.units import capital, format_clock, format_day, format_hours, format_length, own_units

NAME = "sun"
WORDS = "Sun"
ASKS = "Where is the sun, and when?"

LOOKS = (
    ("hours", "Hours a day"), ("cloudy", "Hours with the cloud here"), ("light", "Light for plants"), ("sky", "Open sky"),
    ("shadows", "Shadows"), ("sitting", "At a seat"), ("roof", "Which roof?"),
)  # fmt: skip
CLOUDY = "cloudy"
"""The look that needs the place's share of sunshine."""
SLATS_TRIED = (
    "Slats are the best of 1,500 tried: most midday shade, morning and winter sun left counting a quarter and a seventh as "
    "much; of those near the best the least timber."
)
AT_SEAT = ("look", ("sitting", "roof"))
AT_ROOF = ("look", ("roof",))
HEAD_M = 1.2
SITTING_M = (0.9, 1.35)
"""Heights of the eye of somebody seated [m]: a spot between them is asked about first."""
FACING_M = 2.0
"""A seat this near to a place says which way it looks [m]."""


def inputs(at: Standing) -> tuple[Input, ...]:
    """Return what sun is asked with: what to show, the hour, which seat, the roof's size."""
    places = _places(at)
    known = sky_over(at.timeline).sunshine is not None
    looks = tuple(Option(i, w) for i, w in LOOKS if known or i != CLOUDY)
    first, last = fair_hours(sky_over(at.timeline))
    sat = [s.id for s in at.timeline.frame.spots if SITTING_M[0] <= s.height_m <= SITTING_M[1]]
    seat = next((o.id for o in places if o.id in sat), places[0].id if places else "")
    return (
        Input("look", "What to show", "choice", "hours", looks),
        Input("hour", "Hour of the day", "hour", "15", least=first, most=last, when=("look", ("shadows",))),
        Input("seat", "Where", "place", seat, places, when=AT_SEAT),
        Input("width", "Roof, wide", "number", "3.2", unit="m", least=0.5, most=12.0, when=AT_ROOF),
        Input("depth", "Roof, deep", "number", "2.8", unit="m", least=0.5, most=12.0, when=AT_ROOF),
        Input("high", "Clear under it", "number", "2.2", unit="m", least=1.8, most=5.0, when=AT_ROOF),
    )


def _places(at: Standing) -> tuple[Option, ...]:
    """Return the garden's spots as places, those inside the boundary."""
    frame = at.timeline.frame
    inside = [s for s in frame.spots if frame.boundary.covers(shapely.Point(s.at))]
    return tuple(Option(s.id, s.name, s.at) for s in inside)


def ready() -> None:
    """Load what the full answer needs; compile it first, in a process of its own, so that the board goes on meanwhile."""
    from quincunx.board.compiling import make_ready
    from quincunx.light._cast import add_suns, take_away

    make_ready(add_suns, take_away)


def _compiled() -> bool:
    """Return whether the kernels are there already, without waiting for them."""
    from quincunx.light._cast import add_suns

    return add_suns.is_warm()


def _preparing() -> str:
    """Return why an answer is rough: what reckons it is being loaded, or on a new computer compiled."""
    from quincunx.light._cast import add_suns, take_away

    return LOADING if add_suns.has_come() and take_away.has_come() else PREPARING


def rough(at: Standing, scene: Scene, given: Given) -> Answer | None:
    """Return a first answer where the full one takes longer: coarse cells, or the 15th for its month."""
    look = given.choice("look")
    if look == "sitting" or (look == "shadows" and _compiled()):
        return None
    if look == "roof":
        words = "Comparing six roofs…" if _compiled() else _preparing()
        return Answer("The seat as it is, before any roof", below=_seat(at, scene, given).below[:1], rough=words)
    if look in FIELDS:
        return None if _compiled() else Answer(f"{_about(look, scene)}…", rough=_preparing())
    if _compiled():
        cloudy, sky = look == CLOUDY, sky_over(at.timeline)
        field, said = hours_over(scene, sky, scene.on.month, days="mid", cell_m=0.5, cloudy=cloudy), MIDDLE
    else:
        field, said = rough_hours(scene, sky_over(at.timeline), scene.on.month), _preparing()
    return Answer(f"{_hours_words(scene, cloudy=look == CLOUDY and _compiled())}, roughly", field=field, rough=said)


MIDDLE = "Rough at first: the 15th stands for the month. Every day of it follows in a moment."
LOADING = "Rough at first: wide cells, a sun an hour. The fine picture follows in a moment."
PREPARING = "Rough at first: this computer prepares its sun reckoning once, which takes a minute or two. The fine picture follows by itself."


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return what was asked to be shown."""
    look = given.choice("look")
    asked = {"shadows": _shadows, "sitting": _seat, "roof": _roof, "light": _light, "sky": _open_sky}
    return asked.get(look, _hours)(at, scene, given)


FIELDS = {"light": "Light for plants in a day", "sky": "Light of a grey sky that gets there"}
"""What the looks are called that show a field only when the kernels are there."""


def _about(look: str, scene: Scene) -> str:
    return f"{FIELDS[look]} in {month_name(scene.on.month)}, as the garden stands on {format_day(scene.on)}"


def _hours_words(scene: Scene, *, cloudy: bool = False) -> str:
    day = "an average day, cloud and all," if cloudy else "a clear day"
    return f"Hours of sun on {day} in {month_name(scene.on.month)}, as the garden stands on {format_day(scene.on)}"


def _hours(at: Standing, scene: Scene, given: Given) -> Answer:
    sky, cloudy = sky_over(at.timeline), given.choice("look") == CLOUDY
    field = hours_over(scene, sky, scene.on.month, cloudy=cloudy)
    return Answer(_hours_words(scene, cloudy=cloudy), field=field, how=how_hours(sky, scene.on.month))


def _light(at: Standing, scene: Scene, given: Given) -> Answer:  # noqa: ARG001 - every look is asked alike
    from quincunx.light.daily_light import open_mol

    sky, month = sky_over(at.timeline), scene.on.month
    words = f"{_about('light', scene)}; open ground gets {open_mol(sky, month):.0f} mol"
    return Answer(words, field=light_over(scene, sky, month), how=how_light(sky))


def _open_sky(at: Standing, scene: Scene, given: Given) -> Answer:  # noqa: ARG001 - every look is asked alike
    field = open_sky_over(scene, sky_over(at.timeline), scene.on.month)
    return Answer(_about("sky", scene), field=field, how=(HOW_SKY,))


HOW_SKY = (
    "A sky that is equally bright all over, each direction counted by its height as on level ground, through and between what "
    "stands, crowns as leafy as in that month: 300 directions, within 3 in 100 (measured). It is what ferns and lawns live on "
    "where no sun gets, and how light a window or a seat is on a dull day."
)


def _shadows(at: Standing, scene: Scene, given: Given) -> Answer:
    sky, hour = sky_over(at.timeline), given.value("hour")
    day = scene.on.replace(day=15)
    when = datetime(day.year, day.month, 15, tzinfo=sky.clock()) + timedelta(hours=hour)
    towards = sky.direction(when.astimezone(UTC))[0]
    up = math.degrees(math.asin(max(-1.0, min(1.0, float(towards[2])))))
    time = f"{format_clock(hour)} on {format_day(day)}"
    day_words = f"On this day the sun is {sun_up_words(sky, day)}"
    if up <= 0:
        return Answer(f"The sun is not up at {time}. {day_words}.")
    return Answer(
        f"Sun and shadow at {time}; the sun stands {up:.0f}° up", field=lit_now(scene, sky, when),
        figures=_sun_arrow(scene, float(towards[0]), float(towards[1])),
        how=(f"{day_words}. Sunrise and sunset are when its middle stands 0.833 degrees below the level, over open country.",
             "Ten minutes a step; clock hours, summer time included where the place has it."),
    )  # fmt: skip


def _sun_arrow(scene: Scene, x: float, y: float) -> tuple[Figure, ...]:
    """Return an arrow that comes from where the sun stands."""
    west, south, east, north = scene.boundary.bounds
    flat, long = math.hypot(x, y), 0.12 * max(east - west, north - south)
    if flat < 1e-6:
        return ()
    at = ((west + east) / 2, (south + north) / 2)
    reach = 0.5 * math.hypot(east - west, north - south) * 0.72
    tail = (at[0] + x / flat * reach, at[1] + y / flat * reach)
    tip = (tail[0] - x / flat * long, tail[1] - y / flat * long)
    return (
        PathFigure((tail, tip), "evidence", weight="thick", arrow=True),
        TextFigure(tail, "from the sun", "evidence", size="small"),
    )


def _seat(at: Standing, scene: Scene, given: Given) -> Answer:
    from quincunx.light import shade_at
    from quincunx.light.seats import best_places

    sky, place, style = sky_over(at.timeline), given.place("seat"), at.garden.style
    seat = shade_at(scene, place.at, HEAD_M, sky=sky)
    warm = warm_months(at.timeline)
    share, early = seat.between(warm, 12, 16), min(seat.sun_between_h(m, 0, 10) for m in warm)
    months = ", ".join(month_name(m) for m in warm)
    words = (
        f"{capital(place.words)} in {months}: {100 * share:.0f} % of the sun kept off between 12:00 and 16:00, "
        f"{format_hours(early, style)} of sun before 10:00"
    )
    leads = [
        Lead(f"{capital(what)}, stood here, would keep off {100 * then:.0f} % then.", where)
        for what, where, then in seat_helps(scene, place.at, sky, warm, share, style)
    ]
    if _compiled():
        leads += [
            Lead(
                f"A seat here: {100 * p.shade:.0f} % kept off then, {format_hours(p.morning_h, style)} of sun before 10:00.",
                p.at,
            )
            for p in best_places(scene, sky, warm)
        ]
    limits = ((6.0, "the line: 6 hours, full sun"),)
    rows = tuple((month_name(m)[:3], seat.sun_h(m), format_hours(seat.sun_h(m), style)) for m in range(1, 13))
    off = seat.by(warm, 12, 16)[:3]
    who = [f"{capital(at.words.the(owner))} keeps off {format_hours(h, style)} of the four hours." for owner, h in off]
    tiles = Tiles("Sun at the seat, by month and hour", *seat_tiles(seat), key=("shade", "sun"))
    return Answer(
        words, below=(tiles, Bars("Hours of sun on a clear day", rows, limits)), leads=tuple(leads),
        how=(f"Asked {format_length(HEAD_M, style)} above the ground, about the head of somebody seated.", *who,
             "Hours are the clock's, summer time included. Clear days; cloud is not counted."),
    )  # fmt: skip


def _roof(at: Standing, scene: Scene, given: Given) -> Answer:
    from quincunx.light.roofs import Spot, compare

    place = given.place("seat")
    spot = Spot(place.at, facing_of(at, place), given.value("width"), given.value("depth"), given.value("high"))
    warm = warm_months(at.timeline)
    found = compare(scene, spot, sky_over(at.timeline), warm)
    head, rows, said = roof_rows(at.timeline, scene, spot, found, at.words)
    ring = tuple((float(x), float(y)) for x, y in spot.plan().exterior.coords[:-1])
    middle = f"{month_name(warm[0])} to {month_name(warm[-1])}"
    return Answer(
        f"{capital(place.words)}: from {middle} between 12:00 and 16:00 {said}",
        figures=(PathFigure(ring, "evidence", closed=True, weight="thick", dash=True),),
        below=(Table("Six roofs side by side", head, rows),),
        how=(*(own_units(f"{capital(f.roof.words)}: {f.roof.made}.", at.garden.style) for f in found if f.roof.made),
             SLATS_TRIED,
             "By a seat with a place held open, Papers has a page to decide from: Which roof over the seat, with money and hours.",
             "Darker ground: ground within 12 m, outside the roof, that loses an hour or more of winter sun a day.",
             "Clear days. What a climber lets through differs from plant to plant: 20 % in leaf, 70 % bare are taken.",
             "Sizes of timber, posts and footings are not checked here: wind and snow decide them, by the local code."),
    )  # fmt: skip


def facing_of(at: Standing, place: Place) -> float:
    """Return which way the seat nearest to a place looks [deg]; south where there is none within two metres."""
    near = []
    for feature in at.garden.features:
        where, facing = getattr(feature, "at", None), getattr(feature, "facing_deg", None)
        if where is not None and facing is not None:
            near.append((math.dist((float(where[0]), float(where[1])), place.at), float(facing)))
    away, facing = min(near, default=(math.inf, 180.0))
    return facing if away <= FACING_M else 180.0
