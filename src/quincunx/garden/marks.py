"""What a person writes on the plan: dimension lines of their own, and notes and photos pinned to places."""

from __future__ import annotations

from quincunx.units.fields import Doc, Length, Name, Point, Slug, field, length


class Hold(Doc):
    """An end of a dimension line: where it is, and what it holds on to, so that it follows."""

    at: Point = field("Where")
    on: Slug | None = field("Holds on to", None, help="a thing or a spot; empty: a corner of the boundary, or nothing")
    by: str = field("By", "", max_length=60, help="which corner or handle of it; empty: it stays where it is")


class DimensionLine(Doc):
    """A dimension line of one's own: between two points, beside which the distance is written."""

    id: Slug = field("Id")
    name: Name = field("Name", "", max_length=80)
    start: Hold = field("From")
    end: Hold = field("To")
    aside: Length = length("Drawn beside the points, to their left", 0.5, ge=-30.0, le=30.0)


class Pin(Doc):
    """A note pinned to a place, with its photos."""

    id: Slug = field("Id")
    name: Name = field("Word beside the mark", "", max_length=80)
    at: Point = field("Where")
    text: str = field("Note", "", max_length=2000)
    pictures: tuple[Slug, ...] = field("Photos", (), max_length=12)
