"""The plants there are: the package's own list, and the person's."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from typing import Annotated, Any, Literal

from pydantic import Field

from quincunx.plants.tables import floats, rows_of
from quincunx.units.fields import Doc, Month, Name, Slug, field

Form = Literal["tree", "shrub", "hedge", "climber", "herb", "grass", "row"]
Months = tuple[Month, ...]
Span = tuple[Annotated[float, Field(ge=0)], Annotated[float, Field(ge=0)]]
"""A low and a high figure."""
Sun = Literal["full", "part", "shade"]
Wet = Literal["dry", "medium", "moist", "wet"]
Poison = Literal["none", "low", "pets", "people", "high"]


class Plant(Doc):
    """One plant of the catalogue: its size and time to it, leaf, flower and crop, and what it needs and does."""

    id: Slug = field("Id")
    name: Name = field("Name")
    botanical: str = field("Botanical name", "")
    form: Form = field("Habit", "shrub")
    height_m: float = field("Height when mature", unit="m", gt=0, le=60)
    height_span_m: Span | None = field("Height when mature, low and high", None, unit="m")
    spread_m: float = field("Spread when mature", unit="m", gt=0, le=40)
    spread_span_m: Span | None = field("Spread when mature, low and high", None, unit="m")
    years_to_mature: float = field("Years to nearly that size", 10, unit="year", gt=0, le=150)
    mature_span_years: Span | None = field("Years to nearly that size, low and high", None, unit="year")
    start_height_m: float = field("Height when planted", 0.4, unit="m", gt=0, le=10)
    clear_stem_m: float = field("Clear stem when grown", 0.0, unit="m", ge=0, le=20)
    spacing_m: float = field("Distance in a row", 0.5, unit="m", gt=0, le=20)
    evergreen: bool = field("Green all winter", False)
    leaf_months: Months = field("In leaf (northern months)", (4, 5, 6, 7, 8, 9, 10))
    bloom_months: Months = field("In flower (northern months)", ())
    light_leaf: float = field("Sunlight let through in leaf", 0.15, unit="share", ge=0, le=1)
    light_bare: float = field("Sunlight let through when bare", 0.6, unit="share", ge=0, le=1)
    hedge_growth_m: float = field("Shoot growth a year as a hedge", 0.3, unit="m", gt=0, le=3)
    zone_min: int | None = field("Coldest hardiness zone (USDA)", None, ge=1, le=13)
    zone_max: int | None = field("Warmest hardiness zone (USDA)", None, ge=1, le=13)
    sun: tuple[Sun, ...] = field("Light it thrives in", (), help="full: 6 hours of sun or more; part; shade")
    moisture: tuple[Wet, ...] = field("Soil moisture it likes", ())
    ph_span: Span | None = field("Soil acidity it likes (pH), low and high", None)
    first_crop_years: Span | None = field("Years to the first crop", None, unit="year")
    full_crop_years: Span | None = field("Years to a full crop", None, unit="year")
    crop_kg: Span | None = field("Crop a year when full, low and high", None, unit="kg")
    crop_per: Literal["plant", "m"] = field("Crop of one", "plant", help="m: of a metre of row")
    crop_what: str = field("What is picked", "", help="empty: what its name says")
    harvest_months: Months = field("Picked in (northern months)", ())
    pollination: Literal["", "self", "better", "varies", "partner", "sexes"] = field(
        "Pollination", "", help="partner: another variety must flower near; sexes: male and female plants"
    )
    kin: str = field("Pollinated by plants of the group", "")
    by_wind: bool = field("Pollinated by the wind", False)
    life_years: Span | None = field("Years until it is worth renewing", None, unit="year")
    chill_h: Span | None = field("Hours of winter cold it needs", None, unit="h")
    deer: Literal["A", "B", "C", "D"] | None = field(
        "Deer damage", None, help="A rarely, B seldom severely, C occasionally severely, D frequently severely"
    )
    poison: Poison | None = field("Poison", None, help="to whom at worst; high: can kill")
    poison_words: str = field("What is poisonous", "")
    spreads: Literal["", "watch", "yes"] = field("Invasive", "")
    spreads_where: str = field("Invasive where", "")
    restricted: str = field("Restricted", "")
    water_demand: Literal["low", "moderate", "high"] | None = field("Water demand beside buildings", None)
    kc: tuple[float, float, float] | None = field("Water use against grass: first, middle, last of the season", None)
    root_depth_m: Span | None = field("Depth of the roots", None, unit="m")
    read_fields: tuple[str, ...] = field("Figures read in the sources", ())
    source: str = field("Known from", "from memory")

    @property
    def dies_back(self) -> bool:
        """Return whether nothing of it stands outside its months in leaf."""
        return self.form == "herb" and not self.evergreen

    @property
    def annual(self) -> bool:
        """Return whether it is sown or set anew each year."""
        return self.dies_back and self.years_to_mature <= 1

    @property
    def woody(self) -> bool:
        """Return whether its wood stands all year."""
        return self.form not in ("herb", "grass")

    @property
    def edible(self) -> bool:
        """Return whether something of it is picked to be eaten."""
        return bool(self.harvest_months) and not self.crop_what.startswith("cut")

    def known(self, name: str) -> str:
        """Return how a figure of this plant is known: the publications it was read in, or ``from memory``."""
        if name not in self.read_fields:
            return "from memory" if self.source.partition(":")[0] in ("read", "mixed", "memory") else self.source
        about = {r["key"]: r["publication"] for r in rows_of("sources.csv") if r["how"] != "memory"}
        keys = [k for k in self.source.partition(": ")[2].split(";") if k in about]
        mine = KEYS_FOR.get(name, ())
        only = [k for k in keys if (k in mine if mine else k not in ONE_FIGURE)]
        rest = [k for k in keys if k not in LISTS]
        return "; ".join(about[k] for k in (only or rest or keys)) or self.source

    def light(self, *, southern: bool = False) -> tuple[float, ...]:
        """Return the share of sunlight its crown lets through in each month, turned to the hemisphere."""
        bare = 1.0 if self.dies_back else self.light_bare
        return tuple(self.light_leaf + (bare - self.light_leaf) * (1 - m) for m in self.in_leaf(southern=southern))

    def in_leaf(self, *, southern: bool = False) -> tuple[float, ...]:
        """Return how full its leaf is in each month, 0 bare to 1 full, turned to the hemisphere."""
        months = set(range(1, 13)) if self.evergreen else set(self.leaf_months)
        share = [1.0 if m in months else 0.0 for m in range(1, 13)]
        return tuple(share[6:] + share[:6]) if southern else tuple(share)


KEYS_FOR: Mapping[str, tuple[str, ...]] = {
    "deer": ("E271", "RUT2", "CCE1"), "kc": ("FAO1",), "root_depth_m": ("FAO1",), "water_demand": ("NHB1",),
    "poison": ("ASP1",), "light_leaf": ("GAR1",), "years_to_mature": ("UTD1",), "life_years": ("PSU1", "OSU1", "UNH1"),
    "chill_h": ("CHL1", "CHL2"), "height_m": ("NHB1", "UTD1", "COR1", "UBC1", "UBC2", "ISU1", "ISU2", "USK1", "PEP1", "KPU1", "KPU2",
    "PSU1", "UMN1", "GRO1", "OSU1", "OSU2", "HWW1", "IDN1", "NWM1", "EPD1", "TPC1", "MDN1", "NUR3", "NUR4"),
    "crop_kg": ("COR1", "KSU1", "GRO1", "UMN1", "ATT1"),
    "spacing_m": ("COR1", "PSU1", "UMN1", "GRO1", "USK1", "HWW1", "UKY1", "TMG1", "ANG1"),
}  # fmt: skip
"""Figures that only these publications could have given."""
ONE_FIGURE = frozenset(("E271", "RUT2", "CCE1", "FAO1", "RIIS", "ASP1", "TAL1", "GAR1", "NHB1", "CHL1", "CHL2"))
"""Publications that give nothing else."""
LISTS = frozenset(("E271", "RUT2", "CCE1", "RIIS", "ASP1", "TAL1", "CHL1", "CHL2"))
"""Lists of deer damage, strangers, poison, caterpillars and chill, in which no size and no crop stands."""

_SPANS = tuple(n for n in Plant.model_fields if n.endswith(("_span_m", "_span_years", "_span", "_years", "_h", "_kg")))
_LISTS = ("leaf_months", "bloom_months", "harvest_months", "sun", "moisture", "read_fields")


@cache
def _rows() -> Mapping[str, dict[str, str]]:
    return {row["id"]: row for row in rows_of("plants.csv")}


@cache
def _built_in(plant_id: str) -> Plant | None:
    row = _rows().get(plant_id)
    return None if row is None else plant_from(row)


def plant_from(row: Mapping[str, str]) -> Plant:
    """Return the plant of a row of a table: spans as ``low high``, months and lists with spaces between.

    Raises pydantic's ValidationError where a cell can't be what its column says.
    """
    values: dict[str, Any] = {k: v for k, v in row.items() if v not in ("", None)}
    for name in values.keys() & set(_LISTS):
        values[name] = [int(p) if name.endswith("_months") and p.isdigit() else p for p in values[name].split()]
    for name in values.keys() & {*_SPANS, "kc", "root_depth_m"}:
        if name != "years_to_mature":
            values[name] = _numbers(values[name])
    return Plant.model_validate(values)


def _numbers(text: str) -> Any:
    try:
        return floats(text)
    except ValueError:
        return text


@cache
def builtin() -> Mapping[str, Plant]:
    """Return the package's own plants by id."""
    return {plant_id: plant for plant_id in _rows() if (plant := _built_in(plant_id)) is not None}


def find_plant(plant_id: str, own: Mapping[str, Plant] | None = None) -> Plant | None:
    """Return the plant called ``plant_id``: the person's ``own`` first, then the package's; None if neither has it."""
    return (own or {}).get(plant_id) or _built_in(plant_id)
