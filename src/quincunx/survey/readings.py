"""What a person measured, as it is stored: stakes, instruments and readings.

A reading names stakes by their ids and keeps the length as it was typed (``Length.typed``), because a slip
of the pen can only be found in what was written.  Nothing here computes; see :mod:`quincunx.survey.network`.
"""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from quincunx.units.fields import Doc, Length, Name, Point, Slug, degrees, field, length as metres

Side = Literal["left", "right"]
"""Which hand something lies on for someone who stands at the start and looks at the end."""


class Stake(Doc):
    """A point that can be found again outside: a stake, a corner of the house, a tree, a mark."""

    id: Slug = field("Id")
    name: Name = field("Name on the stake", max_length=40, min_length=1)
    kind: Literal["stake", "corner", "tree", "mark"] = field("What it is", "stake")
    held: bool = field("Holds the plan in place", False, help="Its place is not moved by the readings.")
    x: Length | None = metres("East of the datum", None)
    y: Length | None = metres("North of the datum", None)
    level: Length | None = metres("Known level", None, help="Only if this level is held.")

    @model_validator(mode="after")
    def _both_or_neither(self) -> Stake:
        if (self.x is None) != (self.y is None):
            raise ValueError(f"stake {self.name!r} has only one of x and y; give both or neither")
        return self


class Instrument(Doc):
    """What a reading was taken with; see :mod:`quincunx.survey.accuracy` for what that is worth."""

    id: Slug = field("Id")
    name: Name = field("Name", max_length=60, min_length=1)
    kind: Literal[
        "tape", "laser", "paces", "compass", "theodolite", "staff", "line_level", "water_level", "a_frame", "square"
    ] = field("Kind", "tape")
    tape_class: Literal["I", "II", "III"] | None = field("Accuracy class printed on the tape", None)
    pace: Length | None = metres("Length of one pace", None, ge=0.2, le=2.0)
    marked: Length | None = metres("Length marked on the tape", None, ge=0.1, help="With the true length: a worn tape.")
    true: Length | None = metres("Its true length, compared with a good tape", None, ge=0.1)
    steel: bool = field("Steel tape", False)
    warmth: float | None = field(
        "How warm the tape was", None, unit="deg C", ge=-40, le=60, help="A steel tape is put right for it; 20 is true."
    )


class _Reading(Doc):
    id: Slug = field("Id")
    instrument: Slug | None = field("Taken with", None)
    accuracy: Length | None = metres("Thought to be good to", None, ge=0.0005, help="One standard deviation.")
    note: str = field("Note", "", max_length=200)
    by: str = field("Read by", "", max_length=24, help="The short name of whoever read it.")


class Distance(_Reading):
    """A level tape from one point to another."""

    type: Literal["distance"] = "distance"
    start: Slug = field("From")
    end: Slug = field("To")
    length: Length = metres("Distance", ge=0.001)


class SlopeDistance(_Reading):
    """A tape laid along sloping ground, with the difference in level of its ends."""

    type: Literal["slope_distance"] = "slope_distance"
    start: Slug = field("From")
    end: Slug = field("To")
    length: Length = metres("Distance along the slope", ge=0.001)
    fall: Length = metres("Difference in level of the ends")


class Paced(_Reading):
    """A distance counted in paces."""

    type: Literal["paced"] = "paced"
    start: Slug = field("From")
    end: Slug = field("To")
    paces: float = field("Paces", gt=0, le=5000)


class Offset(_Reading):
    """A point square off a taped line: so far along it, so far to the left or right."""

    type: Literal["offset"] = "offset"
    start: Slug = field("Line from")
    end: Slug = field("Line to")
    along: Length = metres("Along the line")
    side: Side = field("To the left or right")
    offset: Length = metres("Off the line", ge=0.0)
    point: Slug = field("Point")


class RightAngle(_Reading):
    """A corner that was set or found square."""

    type: Literal["right_angle"] = "right_angle"
    start: Slug = field("One arm")
    corner: Slug = field("Corner")
    end: Slug = field("Other arm")


class Straight(_Reading):
    """Points sighted in one straight line, in their order."""

    type: Literal["straight"] = "straight"
    through: tuple[Slug, ...] = field("Points in order", min_length=3, max_length=40)


class WallDistance(_Reading):
    """From a point to a wall: square to it, or along the line towards another point."""

    type: Literal["wall_distance"] = "wall_distance"
    start: Slug = field("From")
    toward: Slug | None = field("In the line towards", None)
    wall: tuple[Slug, Slug] = field("Wall between")
    length: Length = metres("Distance", ge=0.0)


class Bearing(_Reading):
    """A compass bearing; how finely it is written says how good it is."""

    type: Literal["bearing"] = "bearing"
    start: Slug = field("Standing at")
    end: Slug = field("Looking at")
    bearing_deg: float = degrees("Bearing")
    typed: str = field("As it was written", "", max_length=40)
    north: Literal["magnetic", "true"] = field("Counted from", "magnetic")


class Seen(_Reading):
    """The answer to a mirror question: from the start, looking at the end, the point is on this hand."""

    type: Literal["seen"] = "seen"
    start: Slug = field("Standing at")
    end: Slug = field("Looking at")
    point: Slug = field("The point")
    side: Side = field("is on the")


class Rise(_Reading):
    """A difference in level by water level, line level, A-frame or staff; negative where the end is lower."""

    type: Literal["rise"] = "rise"
    start: Slug = field("From")
    end: Slug = field("To")
    rise: Length = metres("Rises by")


class Staff(_Reading):
    """One line of a level book, in the order taken: back sight, between, fore sight.

    Two who level at once, or one who levels on another day, have a ``book`` each; lines of one are never read into another.
    """

    type: Literal["staff"] = "staff"
    sight: Literal["back", "between", "fore"] = field("Sight")
    stake: Slug = field("Staff on")
    reading: Length = metres("Staff reads")
    book: Slug | None = field("Level book", None, help="Where there are several.")


Reading = Annotated[
    Distance | SlopeDistance | Paced | Offset | RightAngle | Straight | WallDistance | Bearing | Seen | Rise | Staff,
    Field(discriminator="type"),
]
"""Any one reading; the ``type`` tells which."""


class Begun(Doc):
    """The lengths that began the garden, and the corners of the boundary they made, both in order round the ground.

    They name the corners a, b, c ... as the first page for Saturday does.  Earlier and coarser than what is taped
    later, each with its own ``accuracy``; see :mod:`quincunx.survey.begun` for how they are put together.
    """

    corners: tuple[Point, ...] = field("Corners they made", ())
    lengths: tuple[Distance, ...] = field("Lengths", ())


class Survey(Doc):
    """All that was measured on the ground, and what holds the plan in place.

    The datum stake is held at (0, 0) unless stakes hold coordinates; the direction from it ``toward`` another
    stake is held at ``azimuth_deg`` if that is known.
    """

    stakes: tuple[Stake, ...] = field("Stakes", ())
    instruments: tuple[Instrument, ...] = field("Instruments", ())
    readings: tuple[Reading, ...] = field("Readings", ())
    begun: Begun = field("Lengths that began the garden", Begun())
    datum: Slug | None = field("Datum stake", None)
    toward: Slug | None = field("Direction held towards", None)
    azimuth_deg: float | None = degrees("Direction of that line from true north", None)
    declination_deg: float = field("Compass needle points east of true north by", 0.0, unit="deg", ge=-180, le=180)

    @model_validator(mode="after")
    def _names_are_known(self) -> Survey:
        for what, things in (
            ("stake", self.stakes),
            ("instrument", self.instruments),
            ("reading", (*self.readings, *self.begun.lengths)),
        ):
            ids = [thing.id for thing in things]
            twice = sorted({i for i in ids if ids.count(i) > 1})
            if twice:
                raise ValueError(f"the {what} id {twice[0]!r} is used twice; give each {what} its own")
        known = {stake.id for stake in self.stakes}
        tools = {tool.id for tool in self.instruments}
        for reading in self.readings:
            for stake in points_of(reading):
                if stake not in known:
                    raise ValueError(f"reading {reading.id!r} names stake {stake!r}, which is not among the stakes")
            if reading.instrument is not None and reading.instrument not in tools:
                raise ValueError(f"reading {reading.id!r} names instrument {reading.instrument!r}, which is not listed")
        for holder in (self.datum, self.toward):
            if holder is not None and holder not in known:
                raise ValueError(f"the plan is held by stake {holder!r}, which is not in the list of stakes")
        return self


def points_of(reading: Reading) -> tuple[str, ...]:
    """Return the ids of all stakes a reading touches, in the order it names them."""
    match reading:
        case Offset() | Seen():
            return (reading.start, reading.end, reading.point)
        case RightAngle():
            return (reading.start, reading.corner, reading.end)
        case Straight():
            return reading.through
        case WallDistance():
            toward = () if reading.toward is None else (reading.toward,)
            return (reading.start, *toward, *reading.wall)
        case Staff():
            return (reading.stake,)
        case _:
            return (reading.start, reading.end)
