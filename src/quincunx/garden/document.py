"""The whole document: one garden as the person wrote it."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field

from quincunx.features import AnyFeature
from quincunx.garden.marks import DimensionLine, Pin
from quincunx.garden.seen import Peg, Still
from quincunx.garden.underlay import Traced
from quincunx.intents import AnyIntent
from quincunx.plants.catalogue import Plant
from quincunx.site.climate import Climate, Horizon, Soil
from quincunx.site.household import Household
from quincunx.site.levels import BreakLine, SpotHeight
from quincunx.site.place import DatumAt, Place
from quincunx.survey.readings import Survey
from quincunx.units.fields import Doc, Length, Name, Point, Slug, field, length
from quincunx.units.style import Style
from quincunx.walk.trips import Trip
from quincunx.walk.walkers import Walker
from quincunx.works import Entry, Job, Means, Norm, Price

FORMAT = "quincunx/1"
"""The format this program writes; it reads no newer one."""


class Writing(Doc):
    """How the person writes: units, decimal mark, currency, paper."""

    units: Literal["metric", "feet"] = field("Units", "metric")
    decimal_mark: Literal[".", ","] = field("Decimal mark", ".")
    currency: Annotated[str, Field(pattern=r"^[A-Z]{3}$")] = field("Currency (three letters)", "EUR")
    paper: Literal["A4", "A3", "Letter", "Tabloid"] = field("Paper", "A4")

    @property
    def style(self) -> Style:
        """Return this as the way lengths and sums are read and written."""
        return Style(self.units, self.decimal_mark, self.currency)


class Site(Doc):
    """Where the garden is: place, soil, climate, far horizon."""

    place: Place | None = field("Place", None)
    soil: Soil = field("Soil", Soil())
    climate: Climate = field("Climate", Climate())
    horizon: Horizon = field("Far horizon", Horizon())
    household: Household = field("Who is about", Household())
    datum: DatumAt = field("Where the datum stake lies", DatumAt())


class Levels(Doc):
    """How the ground lies: heights at spots, and lines along which it breaks."""

    heights: tuple[SpotHeight, ...] = field("Heights", ())
    breaks: tuple[BreakLine, ...] = field("Break lines", ())


class RoomDoc(Doc):
    """A room: a name, a point inside, an outline if drawn; only closed rooms can leak."""

    id: Slug = field("Id")
    name: Name = field("Name", "", max_length=80)
    inside: Point = field("A point inside")
    outline: Annotated[tuple[Point, ...], Field(min_length=3)] | None = field("Outline", None)
    closed: bool = field("Closed all round", True)


class SpotDoc(Doc):
    """A point people care about: a door, a tap, a seat, a window's eye."""

    id: Slug = field("Id")
    name: Name = field("Name", "", max_length=80)
    at: Point = field("Where")
    height: Length = length("Height of the eye or thing above the ground", 0.0, ge=0.0, le=30.0)


class Garden(Doc):
    """One garden: everything the person said about it."""

    format: Literal["quincunx/1"] = field("Format", FORMAT)
    name: Name = field("Name", "My garden", max_length=80)
    writing: Writing = field("Way of writing", Writing())
    site: Site = field("The place", Site())
    boundary: tuple[Point, ...] = field("Boundary", ())
    levels: Levels = field("Levels", Levels())
    survey: Survey = field("Measured", Survey())
    underlay: Traced | None = field("Picture to trace", None)
    rooms: tuple[RoomDoc, ...] = field("Rooms", ())
    spots: tuple[SpotDoc, ...] = field("Spots", ())
    features: tuple[AnyFeature, ...] = field("Features", ())
    dimensions: tuple[DimensionLine, ...] = field("Dimension lines", ())
    pins: tuple[Pin, ...] = field("Notes on places", ())
    pegs: tuple[Peg, ...] = field("Pegs to photograph from", ())
    stills: tuple[Still, ...] = field("Stills of how it will look", ())
    jobs: tuple[Job, ...] = field("Jobs", ())
    means: Means = field("Money and hours", Means())
    intents: tuple[AnyIntent, ...] = field("What the garden must do", ())
    plants: tuple[Plant, ...] = field("Own plants", ())
    walkers: tuple[Walker, ...] = field("Own walkers", ())
    trips: tuple[Trip, ...] = field("Ways walked again and again", ())
    prices: tuple[Price, ...] = field("Prices", ())
    norms: tuple[Norm, ...] = field("Norms", ())
    journal: tuple[Entry, ...] = field("Journal", ())

    @property
    def style(self) -> Style:
        """Return how the person reads and writes numbers."""
        return self.writing.style


LISTS: tuple[str, ...] = (
    "rooms", "spots", "features", "dimensions", "pins", "pegs", "stills",
    "jobs", "intents", "plants", "walkers", "trips", "prices", "norms", "journal",
)  # fmt: skip
"""The lists of things with an id; an edit addresses one of them by list and id."""

WHOLES: tuple[str, ...] = ("name", "writing", "site", "boundary", "levels", "survey", "underlay", "means")
"""The parts an edit replaces as a whole or field by field."""
