"""Barrow and machine get to every job in its month."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words, capital
from quincunx.intents._walking import way_figure
from quincunx.scene import Timeline
from quincunx.shapes import AreaFigure, Figure, State, Verdict
from quincunx.units.dates import MONTHS, month_index
from quincunx.units.fields import Slug, field
from quincunx.walk.access import WORST, Bringing, bringings, places_of
from quincunx.walk.barriers import polygons
from quincunx.walk.places import OUTSIDE
from quincunx.walk.walkers import Walker
from quincunx.works import Job


class WorksReached(Intent):
    """In each year the barrow or the machine gets to every job that needs it, in the month it begins."""

    words: ClassVar[str] = "the works are reached"
    about: ClassVar[str] = (
        "In the month a job begins, the barrow or machine it needs gets from the road to each thing it makes, with room to "
        "turn, to work and for the heap, before other jobs shut the way; if one did, it says which to do first."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk", "works"})
    example: ClassVar = {"id": "works-reached", "start": "road"}

    kind: Literal["works-reached"] = "works-reached"
    start: Slug = field("From", OUTSIDE)
    barrow: Slug = field("Where a barrow is needed", "barrow")
    machine: Slug = field("Where a machine is needed", "machine")

    def things(self) -> tuple[str, ...]:
        """Return where things come from."""
        return () if self.start == OUTSIDE else (self.start,)

    def walkers(self) -> tuple[str, ...]:
        """Return what is pushed and driven."""
        return (self.barrow, self.machine)

    def sentence(self, words: Words) -> str:
        """Say that all is reached."""
        return f"Barrow and machine get from {words.the(self.start)} to every job in its month."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Try every job that begins in the year."""
        jobs = [j for j in timeline.jobs if j.start is not None and month_index(j.start) // 12 == year]
        found = bringings(timeline, self._who(words), self.start, jobs)
        if not found:
            return Verdict(year, State.HOLDS, "No job of this year needs a barrow or a machine.")
        worst = min(found, key=lambda b: (WORST.index(b.state), b.month, b.job))
        named = {j.id: j for j in timeline.jobs}
        if worst.state in ("open", "tight"):
            far = max(found, key=lambda b: b.way.length_m if b.way else 0.0)
            text = bringing_words(far, named, words) if worst.state == "open" else bringing_words(worst, named, words)
            return Verdict(year, State.HOLDS, text, evidence=tuple(f for b in found for f in bringing_figures(b)))
        shut = [b for b in found if b.state not in ("open", "tight")]
        more = f" The same trouble with {len(shut) - 1} more." if len(shut) > 1 else ""
        state = State.UNKNOWN if worst.state == "no-place" else State.FAILS
        drawn = tuple(f for b in shut for f in shut_figures(timeline, b))
        return Verdict(year, state, bringing_words(worst, named, words) + more, evidence=drawn)

    def _who(self, words: Words) -> dict[str, Walker]:
        found = {"barrow": words.walker(self.barrow), "machine": words.walker(self.machine)}
        return {reach: who for reach, who in found.items() if who is not None}


def month_words(month: int) -> str:
    """Return a month (since year 0) in words."""
    return f"{MONTHS[month % 12]} {month // 12}"


def bringing_words(b: Bringing, jobs: dict[str, Job], words: Words) -> str:
    """Return in one or two sentences how things get to a job, or what hinders it and what would help."""
    job, who = jobs[b.job], b.walker
    lead, when = f"“{job.name}” in {month_words(b.month)}", capital(who.name)
    to = f" to {words.the(b.target)}" if b.target else ""
    gets = who.says("gets", "get")
    match b.state:
        case "open" | "tight":
            far = f", {words.distance(b.way.length_m)}, {words.minutes(b.seconds)} a load" if b.way else ""
            tight = "; there is little room to work round it" if b.state == "tight" else ""
            return f"{lead}: {who.name} {gets} there{far}{tight}."
        case "shut":
            shut = words.both(tuple(o for c in b.closers for o in c.owners)[:3])
            first = " and ".join(f"“{jobs[c.job].name}” ({month_words(c.done)})" for c in b.closers[:2])
            return f"{lead}: {who.name} no longer {gets}{to}, {shut} in the way. Do it before {first}."
        case "no-turning":
            room = words.length(float(who.turning or 0.0))
            return f"{lead}: {who.name} {gets} there but finds nowhere near to turn round, for which {room} is needed."
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
