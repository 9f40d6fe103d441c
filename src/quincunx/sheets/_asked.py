"""What a contractor is asked to price: scope, quantities, the way there, levels, what is dug, what is left out.

The same rows make the printed sheet, the workbook and the plain table.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

import shapely
from shapely import Point

from quincunx.build.floors import BULKING, barrow_loads
from quincunx.build.prices import Bought
from quincunx.build.reckon import HIRED, Reckoned
from quincunx.garden.costing import Costed
from quincunx.garden.safety import looked_up
from quincunx.intents._bringing import bringing_words
from quincunx.shapes import Plane, Surface, Work
from quincunx.sheets._building import amount_of, called, lies, own_number
from quincunx.sheets._set import Set
from quincunx.units import capital, compass_words, format_area, format_length, format_volume, own_units
from quincunx.units.dates import first_day, format_month, month_from_index
from quincunx.walk.access import NEAR_M, Bringing, bringing, places_of
from quincunx.walk.places import OUTSIDE
from quincunx.walk.reach import walk_of
from quincunx.walk.widths import widths_of
from quincunx.years.problem import ALL_YEAR
from quincunx.years.seasons import season

NOT_ASKED = ("delivery", HIRED)
WIDE_M = 3.0
"""Ways wider than this are said to be at least so wide [m]."""
BESIDES = (
    "Plants, sowing and their care",
    "Permits and fees; what they ask for on top is priced apart",
    "Work on mains electricity, gas or mains water other than by a person qualified for it",
    "Anything that is not listed here, unless we both write it down first",
)
"""What is left out of every request (common practice, no source)."""
TO_SAY = (
    "Labour and materials apart, tax shown by itself",
    "How long the price holds, and what would change it",
    "When you could begin, and on how many days you would be here",
    "When which part of the sum is due",
    "Name, address and registration of the business",
    "Liability insurance: with whom, up to what sum, until when",
    "Who does mains electricity, gas or water, and how they are qualified",
    "Who takes the waste away, under which licence, and where it goes",
    "Who asks for the permits and has the ground searched for buried lines",
    "Guarantee on the work, and for how long",
)
"""What a contractor is asked to write down (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Asked:
    """One line to be priced: of which ``part``, what, how much as it lies there in words and as a ``number`` of ``unit``."""

    part: str
    what: str
    much: str
    number: float
    unit: str


@dataclass(frozen=True, slots=True)
class Request:
    """One work that somebody is asked to price."""

    job: str
    name: str
    when: str
    scope: tuple[str, ...]
    lines: tuple[Asked, ...]
    way: tuple[str, ...]
    levels: tuple[str, ...]
    waste: tuple[str, ...]
    mind: tuple[str, ...]
    drawings: tuple[str, ...]


def requests(of: Set) -> tuple[Request, ...]:
    """Return what is asked for: the works still to do that are large, or that somebody is paid for."""
    done = {e.about for e in of.garden.journal if e.what == "done"}
    return tuple(_request(of, c) for c in of.costed if c.job.id not in done and c.reckoned.bill and _for_hire(c))


def _for_hire(found: Costed) -> bool:
    return found.job.large or found.reckoned.hired_hours > 0 or any(line.hired for line in found.job.costs)


def _request(of: Set, c: Costed) -> Request:
    works = [w for group in c.works.values() for w in group]
    alone = len(c.works) == 1 and c.options
    parts = [(f", {o.words}", o.reckoned) for o in c.options] if alone else [("", c.reckoned)]
    lines = tuple(x for words, reckoned in parts for x in _lines(of, words, reckoned))
    return Request(
        c.job.id, c.job.name, _when(of, c), tuple(_scope(of, c)), lines, tuple(_way(of, c)), tuple(_levels(of, c)),
        tuple(_waste(of, c)), tuple(_mind(of, works)), tuple(_drawings(of, works)),
    )  # fmt: skip


def _lines(of: Set, words: str, reckoned: Reckoned) -> Iterator[Asked]:
    """Yield what has to be supplied, each thing once however long its boards are, and then what has to be done."""
    found: dict[tuple[str, str], Bought] = {}
    for b in reckoned.bill:
        if b.item not in NOT_ASKED:
            had = found.get((b.item, b.words))
            found[b.item, b.words] = b if had is None else replace(had, net=had.net + b.net)
    for b in found.values():
        yield Asked(f"materials{words}", called(b, of.garden.style), lies(of, b), *_counted(of, b.net, b.unit))
    for x in reckoned.labour:
        much = amount_of(x.amount, x.unit, of.garden.style)
        yield Asked(f"work{words}", own_units(x.words, of.garden.style), much, *_counted(of, x.amount, x.unit))


def _counted(of: Set, number: float, unit: str) -> tuple[float, str]:
    own, called_ = own_number(number, unit, of.garden.style)
    return round(own, 3), called_


def _when(of: Set, c: Costed) -> str:
    job = c.job
    begin = f"Wanted to begin in {format_month(job.start)}" if job.start else "No month is fixed yet"
    months = f", {job.months} months in all" if job.months > 1 else ""
    fits = season(of.timeline, job)
    why = f" ({own_units(fits.words, of.garden.style)})" if fits.words else ""
    return f"{begin}{months}." + (f" The work fits in {fits.span}{why}." if fits.months != ALL_YEAR else "")


def _scope(of: Set, c: Costed) -> Iterator[str]:
    named = list(dict.fromkeys(of.words.name(t.partition("/")[0]) for t in c.job.does))
    if named:
        yield f"Make and set in place: {', '.join(named)}."
    if c.job.takes_away:
        yield f"Take away first: {', '.join(of.words.name(t) for t in c.job.takes_away)}."
    yield from (f"{capital(t)}." if not t.endswith(".") else t for t in c.job.tasks)
    if c.options:
        yield f"Not decided yet between {' and '.join(o.words for o in c.options)}; please price each."
    if c.reckoned.notes:
        yield own_units(f"Taken for granted: {'; '.join(c.reckoned.notes)}.", of.garden.style)


def _way(of: Set, c: Costed) -> Iterator[str]:
    """Yield how a barrow or a machine gets there, and how wide the narrowest place on the widest way is."""
    job, style = c.job, of.garden.style
    who = of.words.walker("machine" if job.reach == "machine" else "barrow")
    if who is None or job.start is None:
        return
    start = job.comes_from or next((s for m in of.garden.intents if (s := m.loads_from())), OUTSIDE)
    found = bringing(of.timeline, job, who, start)
    yield bringing_words(found, {j.id: j for j in of.garden.jobs}, of.words)
    width = _narrowest(found)
    if width is not None:
        wide, owners = width
        if wide is None:
            yield f"Nowhere on the widest way is it narrower than {format_length(WIDE_M, style)}."
        else:
            between = " and ".join(dict.fromkeys(of.words.the(o) for o in owners if o)) or "what stands there"
            yield f"The narrowest place on the widest way is {format_length(wide, style)}, at {between}."
    if job.heap_m2:
        yield f"Ground for materials and soil: {format_area(job.heap_m2, style)}, within {format_length(NEAR_M, style)} of the work."


def _narrowest(found: Bringing) -> tuple[float | None, tuple[str, str]] | None:
    """Return the narrowest place on the widest way between the ends of the way found, and what bounds it."""
    if found.scene is None or found.way is None:
        return None
    free = walk_of(found.scene, found.walker, polite=True).free
    start, end = Point(found.way.points[0]), Point(found.way.points[-1])
    narrow = widths_of(free, WIDE_M).between(start, end)
    return None if narrow is None else (narrow.width_m, narrow.owners)


def _levels(of: Set, c: Costed) -> Iterator[str]:
    """Yield how the ground lies under each thing, and how its finished floor lies and falls."""
    style, ground = of.garden.style, of.timeline.frame.ground
    for owner, shape in places_of(of.timeline, c.job):
        corners = [(float(x), float(y)) for x, y in shapely.get_coordinates(shape.convex_hull)]
        heights = [ground.height(x, y).item() for x, y in corners]
        low, high = min(heights), max(heights)
        if high - low >= 0.02:
            yield (
                f"{of.words.name(owner)}: the ground falls {format_length(high - low, style)} across it, from "
                f"{format_length(high, style)} to {format_length(low, style)} over the datum."
            )
        yield from _floors(of, c, owner)


def _floors(of: Set, c: Costed, owner: str) -> Iterator[str]:
    done, feature = of.timeline.last_month(c.job), of.timeline.feature(owner)
    if done is None or feature is None:
        return
    stood = of.timeline.stood(feature, first_day(month_from_index(done + 1)))
    for surface in stood.surfaces:
        if isinstance(surface.lie, Plane) and surface.lie.grade:
            yield f"{of.words.name(owner)}: finished with a fall of 1 in {1 / surface.lie.grade:.0f} towards {_towards(surface)}."


def _towards(surface: Surface) -> str:
    """Return the direction a floor falls to, in words."""
    lie = surface.lie
    down = lie.fall_deg if isinstance(lie, Plane) else 0.0
    return compass_words(down)


def _waste(of: Set, c: Costed) -> Iterator[str]:
    dug, style = c.reckoned.taken.dug_m3, of.garden.style
    if dug < 0.05:
        yield "Next to nothing is dug out."
        return
    loose = dug * BULKING
    yield (
        f"{format_volume(dug, style)} are dug out, about {format_volume(loose, style)} once loose "
        f"({barrow_loads(loose)} barrow loads)."
    )


def _mind(of: Set, works: list[Work]) -> Iterator[str]:
    for s in looked_up(of.garden, works, of.timeline):
        if s.answer != "within":
            yield own_units(f"{s.what}: {s.words}; {s.because}.", of.garden.style)


def _drawings(of: Set, works: list[Work]) -> Iterator[str]:
    yield "The plan to scale, the setting-out sheet, and a drawing file with a layer for each trade."
    if works:
        yield "How each structure is built: plan, views, parts, joints and what was looked up."
    if of.garden.levels.heights:
        yield "The levels sheet: heights over the datum."
