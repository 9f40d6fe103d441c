"""Plants set where an opening comes later: they are dug out again for it."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import LineString

from quincunx.garden.lifting import NEVER, lifted
from quincunx.review._view import View
from quincunx.scene import Stands
from quincunx.scene.left_open import Way, planted_line
from quincunx.shapes import XY, Finding, Severity
from quincunx.units import counted, format_length
from quincunx.units.dates import format_month, month_from_index

SOURCE = "Quincunx: what is planted by the plan, less what stands in the openings that come after it"


def check(view: View) -> Iterator[Finding]:
    """Yield a hint for each opening that takes plants out of a line the plan sets before it."""
    for feature in view.timeline.features:
        begins = view.timeline.span(feature.id).begins
        if begins is None or begins >= NEVER:
            continue
        for way in view.timeline.ways_in(feature):
            many = _taken(view, feature, way) if begins < way.begins < NEVER else 0
            if many:
                yield _told(view, feature, way, many)


def _taken(view: View, feature: Stands, way: Way) -> int:
    """Return how many plants are dug out for an opening: as many as its job has the hours of."""
    opening = view.timeline.feature(way.owner)
    found = () if opening is None else lifted(view.timeline, opening)
    return sum(len(x.at) for x in found if x.planting == feature.id)


def _told(view: View, feature: Stands, way: Way, many: int) -> Finding:
    planting, opening = view.words.the(feature.id), view.words.the(way.owner)
    are, they, them = ("is", "it is", "it") if many == 1 else ("are", "they are", "them")
    wide = format_length(way.stretch[1] - way.stretch[0], view.garden.style)
    month = format_month(month_from_index(way.begins))
    return Finding(
        f"planted-in-way-{feature.id}-{way.owner}", Severity.HINT,
        f"{counted(many, 'plant')} of {planting} {are} set where {opening} stands from {month}, and dug out for it.",
        f"Bring {opening} forward to the planting, or draw a gap {wide} wide there until it comes, and {they} not bought; or keep the"
        f" planting whole till then, and lift {them} in the dormant season to fill holes elsewhere: the job of {opening} has the"
        " hours, and its page says which.",
        SOURCE, (feature.id, way.owner), _middle(feature, way), way.begins // 12,
    )  # fmt: skip


def _middle(feature: Stands, way: Way) -> XY | None:
    found = planted_line(feature)
    if found is None:
        return None
    line = LineString(found[0])
    at = line.interpolate((sum(way.stretch) / 2) % line.length if line.is_closed else sum(way.stretch) / 2)
    return (round(float(at.x), 3), round(float(at.y), 3))
