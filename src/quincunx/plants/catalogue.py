"""The plants there are: the package's own list, and the person's."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Annotated, Literal

from pydantic import Field

from quincunx.units.fields import Doc, Slug, field

Form = Literal["tree", "shrub", "hedge", "climber", "herb", "grass", "row"]
Months = tuple[Annotated[int, Field(ge=1, le=12)], ...]


class Plant(Doc):
    """One plant of the catalogue: mature size, time to it, leaf and light."""

    id: Slug = field("Id")
    name: str = field("Name")
    botanical: str = field("Botanical name", "")
    form: Form = field("Habit", "shrub")
    height_m: float = field("Height when mature", unit="m", gt=0, le=60)
    spread_m: float = field("Spread when mature", unit="m", gt=0, le=40)
    years_to_mature: float = field("Years to nearly that size", 10, unit="year", gt=0, le=150)
    start_height_m: float = field("Height when planted", 0.4, unit="m", gt=0, le=10)
    clear_stem_m: float = field("Clear stem when grown", 0.0, unit="m", ge=0, le=20)
    spacing_m: float = field("Distance in a row", 0.5, unit="m", gt=0, le=20)
    evergreen: bool = field("Green all winter", False)
    leaf_months: Months = field("In leaf (northern months)", (4, 5, 6, 7, 8, 9, 10))
    light_leaf: float = field("Sunlight let through in leaf", 0.15, unit="share", ge=0, le=1)
    light_bare: float = field("Sunlight let through when bare", 0.6, unit="share", ge=0, le=1)
    hedge_growth_m: float = field("Shoot growth a year as a hedge", 0.3, unit="m", gt=0, le=3)
    source: str = field("Known from", "from memory")

    @property
    def dies_back(self) -> bool:
        """Return whether nothing of it stands outside its months in leaf."""
        return self.form == "herb" and not self.evergreen

    @property
    def annual(self) -> bool:
        """Return whether it is sown or set anew each year."""
        return self.dies_back and self.years_to_mature <= 1

    def light(self, *, southern: bool = False) -> tuple[float, ...]:
        """Return the share of sunlight its crown lets through in each month, turned to the hemisphere."""
        bare = 1.0 if self.dies_back else self.light_bare
        return tuple(self.light_leaf + (bare - self.light_leaf) * (1 - m) for m in self.in_leaf(southern=southern))

    def in_leaf(self, *, southern: bool = False) -> tuple[float, ...]:
        """Return how full its leaf is in each month, 0 bare to 1 full, turned to the hemisphere."""
        months = set(range(1, 13)) if self.evergreen else set(self.leaf_months)
        share = [1.0 if m in months else 0.0 for m in range(1, 13)]
        return tuple(share[6:] + share[:6]) if southern else tuple(share)


@cache
def builtin() -> Mapping[str, Plant]:
    """Return the package's own plants by id."""
    import csv

    text = (resources.files("quincunx.plants") / "data" / "plants.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    plants = [Plant.model_validate({k: v for k, v in row.items() if v != ""} | _months(row)) for row in rows]
    return {p.id: p for p in plants}


def _months(row: Mapping[str, str]) -> dict[str, list[int]]:
    text = row.get("leaf_months", "")
    return {"leaf_months": [int(m) for m in text.split()]} if text else {}


def find_plant(plant_id: str, own: Mapping[str, Plant] | None = None) -> Plant | None:
    """Return the plant called ``plant_id``: the person's ``own`` first, then the package's; None if neither has it."""
    return (own or {}).get(plant_id) or builtin().get(plant_id)
