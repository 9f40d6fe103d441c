"""Who drives out sees who comes along the street: the corners beside the drive stay clear."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.scene import Timeline
from quincunx.shapes import AreaFigure, Figure, State, Verdict
from quincunx.sight.corners import HIGH_M, LEG_M, LOW_M, Corner, InTheWay, clear_corners, in_the_way
from quincunx.units import capital
from quincunx.units.fields import Length, Slug, field, length

ASK = "Towns differ in the legs and heights: ask yours."


class DriveLooksOut(Intent):
    """Nothing stands in the corners beside a drive between two heights."""

    words: ClassVar[str] = "one sees out of the drive"
    about: ClassVar[str] = (
        "In the triangles on both sides of where a drive meets the boundary nothing stands higher than a low limit, and "
        "crowns hang no lower than a high one; a trunk or post up to 30 cm wide does not count. The usual figures are one "
        "town's (El Segundo, California, 15-2: 10 ft, 30 in, 12 ft); others ask for 30 ft along the street, 24 to 42 in, "
        "7 or 8 ft (Dubuque 16-3-5, Zanesville 1159.13, Clearfield 11-13-10). Ask your own before you plant or build."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"sight"})
    example: ClassVar = {"id": "see-out", "drive": "drive"}

    kind: Literal["drive-looks-out"] = "drive-looks-out"
    drive: Slug = field("Drive")
    along: Length = length("Clear along the street for", LEG_M, ge=0.5, le=30.0)
    inward: Length = length("Clear along the drive for", LEG_M, ge=0.5, le=30.0)
    low: Length = length("Nothing higher than", LOW_M, ge=0.0, le=2.0)
    high: Length = length("Branches no lower than", HIGH_M, ge=1.0, le=10.0)

    def things(self) -> tuple[str, ...]:
        """Return the drive."""
        return (self.drive,)

    def sentence(self, words: Words) -> str:
        """Say what stays clear."""
        low, high = words.length(float(self.low)), words.length(float(self.high))
        return capital(
            f"one sees out of {words.the(self.drive)}: nothing over {low}, no branch under {high} in its corners."
        )

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look at the end of the summer."""
        scene = timeline.at(timeline.leaf_date(year))
        shape = scene.area_of(self.drive)
        if shape is None:
            return Verdict(year, State.UNKNOWN, capital(f"{words.the(self.drive)} does not stand then."))
        corners = clear_corners(scene.boundary, shape, float(self.along), float(self.inward))
        if not corners:
            return Verdict(year, State.UNKNOWN, capital(f"{words.the(self.drive)} does not meet the boundary."))
        limits = float(self.low), float(self.high)
        found = [w for c in corners for w in in_the_way(scene, c, self.drive, *limits)]
        drawn = _figures(corners, found)
        if not found:
            text = capital(f"nothing stands in the corners of {words.the(self.drive)}. {ASK}")
            return Verdict(year, State.HOLDS, text, 0.0, 0.0, evidence=drawn)
        worst = found[0]
        text = (
            f"{words.the(worst.owner)} stands {words.length(worst.top_m)} high in a corner of {words.the(self.drive)}"
        )
        if worst.under_m > limits[0]:
            text = f"{words.the(worst.owner)} hangs to {words.length(worst.under_m)} in a corner of {words.the(self.drive)}"
        rest = len({w.owner for w in found} - {worst.owner})
        also = f", and {rest} more" if rest else ""
        return Verdict(year, State.FAILS, f"{capital(text)}{also}. {ASK}", evidence=drawn)


def _figures(corners: list[Corner], found: list[InTheWay]) -> tuple[Figure, ...]:
    import shapely

    drawn: list[Figure] = [AreaFigure((_ring(c.triangle),), "evidence") for c in corners]
    for one in found:
        drawn += [
            AreaFigure((_ring(p),), "evidence", one.owner, "hatch")
            for p in shapely.get_parts(one.where)
            if p.geom_type == "Polygon"
        ]
    return tuple(drawn)


def _ring(shape: object) -> tuple[tuple[float, float], ...]:
    from shapely import Polygon

    if not isinstance(shape, Polygon):
        return ()
    return tuple((float(x), float(y)) for x, y in shape.exterior.coords[:-1])
