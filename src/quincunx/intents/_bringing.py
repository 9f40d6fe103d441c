"""How things get to a job, in words and as drawn: shared by the must and the board."""

from __future__ import annotations

from quincunx.intents._base import Words
from quincunx.intents._walking import way_figure
from quincunx.scene import Timeline
from quincunx.shapes import AreaFigure, Figure
from quincunx.units import capital
from quincunx.units.dates import MONTHS
from quincunx.walk.access import Bringing, places_of
from quincunx.walk.barriers import polygons
from quincunx.works import Job


def month_words(month: int) -> str:
    """Return a month (since year 0) in words."""
    return f"{MONTHS[month % 12]} {month // 12}"


def bringing_words(b: Bringing, jobs: dict[str, Job], words: Words) -> str:
    """Return in one or two sentences how things get to a job, or what hinders it and what would help."""
    job, who = jobs[b.job], b.walker
    lead, when = f"“{job.name}” in {month_words(b.month)}", capital(who.name)
    since = f" from {words.the(b.start)}" if b.start else ""
    to = since + (f" to {words.the(b.target)}" if b.target else " there" if since else "")
    gets = who.says("gets", "get")
    match b.state:
        case "open" | "tight":
            far = f", {words.distance(b.way.length_m)}, {words.minutes(b.seconds)} a load" if b.way else ""
            tight = "; there is little room to work round it" if b.state == "tight" else ""
            return f"{lead}: {who.name} {gets} there{since}{far}{tight}."
        case "shut":
            shut = words.both(tuple(o for c in b.closers for o in c.owners)[:3])
            first = " and ".join(f"“{jobs[c.job].name}” ({month_words(c.done)})" for c in b.closers[:2])
            return f"{lead}: {who.name} no longer {gets}{to}, {shut} in the way. Do it before {first}."
        case "no-turning":
            room = words.length(float(who.turning or 0.0))
            return f"{lead}: {who.name} {gets} there{since} but finds nowhere near to turn round, for which {room} is needed."
        case "no-heap":
            return f"{lead}: there is no free ground near it for its heap."
        case "no-place":
            return f"{lead}: nothing says where it is. Draw what it makes, or say where the work is."
    return f"{lead}: {when} never {gets}{to}, whatever is done first."


def bringing_figures(b: Bringing) -> tuple[Figure, ...]:
    """Return the way of a load as it is drawn."""
    return (way_figure(b.way),) if b.way and len(b.way.points) > 1 else ()


def shut_figures(timeline: Timeline, b: Bringing) -> tuple[Figure, ...]:
    """Return what shut the way, drawn as areas, and the place it doesn't get to."""
    owners = {o for c in b.closers for o in c.owners}
    shapes = [s.footprint for s in (b.scene.solids if b.scene else ()) if s.owner in owners]
    job = next(j for j in timeline.jobs if j.id == b.job)
    shapes += [p for owner, place in places_of(timeline, job) if owner == b.target for p in polygons(place)]
    rings = [tuple((float(x), float(y)) for x, y in s.exterior.coords[:-1]) for s in shapes]
    return tuple(AreaFigure((ring,), "evidence", pattern="hatch") for ring in rings)
