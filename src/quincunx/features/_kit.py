"""Built things: made, bought as a kit or hired out, and what a kit's maker states."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Literal

from quincunx.features._base import Feature
from quincunx.shapes import XY, KitWork, Work
from quincunx.units.fields import Doc, Length, field, length, money

How = Literal["made", "kit", "hired"]


class Kit(Doc):
    """What the maker of a kit states.  Left empty where the maker states nothing: then nobody can tell."""

    width: Length | None = length("Maker's width", None, ge=0.1, le=60.0)
    depth: Length | None = length("Maker's depth", None, ge=0.1, le=60.0)
    height: Length | None = length("Maker's height", None, ge=0.1, le=15.0)
    price: int | None = money("Price", None)
    weight_kg: float | None = field("Weight", None, unit="kg", gt=0, le=20000)
    base: str = field("Base it asks for", "", max_length=120)
    people: int | None = field("People needed to put it up", None, ge=1, le=12)
    wind_limit_m_s: float | None = field(
        "Wind it stands, as stated", None, unit="m/s", gt=0, le=90, help="none stated: can't tell"
    )
    snow_limit_kpa: float | None = field(
        "Snow it carries, as stated", None, unit="kN/m2", gt=0, le=20, help="none stated: can't tell"
    )
    life_years: int | None = field(
        "Years it lasts, as stated", None, unit="year", ge=1, le=100, help="none stated: can't tell"
    )


class Built(Feature):
    """A feature that someone builds."""

    how: How = field("Made, bought as a kit or hired out", "made")
    kit: Kit | None = field("What the kit's maker states", None)

    def hired(self) -> bool:
        """Return whether somebody is paid to build it."""
        return self.how == "hired"

    def bought_words(self) -> str:
        """Return what it is called when it is simply bought whole (a gate, a bench); empty for what comes as a kit."""
        return ""

    def built_work(self, made: Sequence[Work], footings: Sequence[XY] = ()) -> tuple[Work, ...]:
        """Return ``made`` (also for whoever is hired), or the kit in its place, fixed down at ``footings`` [m]."""
        if self.how != "kit":
            return tuple(made)
        stated = self.kit or Kit()
        size = (_plain(stated.width), _plain(stated.depth), _plain(stated.height))
        kit = KitWork(
            self.id, size, stated.price, stated.weight_kg, stated.people, stated.wind_limit_m_s, stated.snow_limit_kpa,
            tuple(footings), self.bought_words(), stated.base, stated.life_years,
        )  # fmt: skip
        return (kit,)


def _plain(value: Length | None) -> float | None:
    return None if value is None else float(value)
