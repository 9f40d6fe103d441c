"""Who walks: people, barrows, animals, as data; a garden may change one or add its own."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from importlib import resources
from typing import Literal

from quincunx.units import capital
from quincunx.units.fields import Doc, Length, Name, Slug, field, length

Opens = Literal["nothing", "none", "latched", "locked"]
"""The hardest gate a walker opens: none at all, one that only needs a push, a latched one, a locked one."""

_HARDNESS: dict[str, int] = {"nothing": 0, "none": 1, "latched": 2, "locked": 3, "shut": 4}


class Known(Doc):
    """Where one of a walker's figures comes from."""

    figure: str = field("Figure")
    source: str = field("Known from")


class Walker(Doc):
    """One kind of walker and what stops it.

    It passes where its body fits; under what is higher than its headroom; over what is lower than ``over`` and, if it
    leaps, no deeper than its leap at that height;
    through holes as large as ``crawl_gap`` (or as its body, if it doesn't crawl); up steps of ``step_up``.
    """

    id: Slug = field("Id")
    name: Name = field("Name in a sentence", "a walker", max_length=60)
    many: bool = field("The name is plural", False)
    animal: bool = field("An animal", False)
    body_width: Length = length("Narrowest way it passes", 0.45, ge=0.01, le=6.0)
    easy_width: Length = length("Width at which it passes with ease", 0.6, ge=0.01, le=8.0)
    headroom: Length = length("Headroom it needs", 1.9, ge=0.01, le=6.0)
    step_up: Length = length("Highest step it takes", 0.4, ge=0.0, le=3.0)
    over: Length = length("Gets over what is lower than", 0.6, ge=0.0, le=4.0)
    leap: Length | None = length(
        "Longest leap over the flat (none: how deep a thing is doesn't matter)", None, ge=0.1, le=15.0
    )
    crawl_gap: Length | None = length("Smallest hole it gets through (none: it doesn't crawl)", None, ge=0.005, le=2.0)
    steepest: float = field("Steepest slope, rise over run", 0.6, unit="ratio", gt=0, le=5)
    keeps_off_plants: bool = field("Keeps off planted ground", True)
    wades: Length = length("Deepest water that doesn't stop it", 0.05, ge=0.0, le=20.0)
    opens: Opens = field("Hardest gate it opens", "latched")
    reach: Length = length("Reaches this far from where it stands", 0.6, ge=0.0, le=5.0)
    guard: Length | None = length("A guard this high keeps it off a plant", None, ge=0.1, le=4.0)
    snow_lifts: bool = field("Walks on top of snow", False)
    hedge_holds: bool = field("A grown hedge stops it for certain", True)
    digs: bool = field("Digs under what isn't buried", False)
    gnaws: bool = field("Gnaws bark at the foot", False)
    wheels: bool = field("On wheels or tracks", False)
    pace: float = field("Pace on level, firm ground", 1.07, unit="m/s", gt=0, le=5)
    turning: Length | None = length("Room it turns round in (none: on the spot)", None, ge=0.1, le=12.0)
    known: tuple[Known, ...] = field("Where the figures come from", ())

    @property
    def radius_m(self) -> float:
        """Return half its body width [m]."""
        return float(self.body_width) / 2

    def opens_latch(self, latch: str) -> bool:
        """Return whether it opens a gate with ``latch`` (none, latched, locked, shut for good)."""
        return _HARDNESS[self.opens] >= _HARDNESS[latch]

    @property
    def subject(self) -> str:
        """Return its name as the first word of a sentence."""
        return capital(self.name)

    def says(self, one: str, several: str) -> str:
        """Return the verb that agrees with its name."""
        return several if self.many else one


@cache
def builtin() -> Mapping[str, Walker]:
    """Return the package's own walkers by id."""
    import csv

    text = (resources.files("quincunx.walk") / "data" / "walkers.csv").read_text(encoding="utf-8")
    rows = csv.DictReader(line for line in text.splitlines() if not line.startswith("#"))
    return {row["id"]: Walker.model_validate(_row(row)) for row in rows}


_FLAGS = ("many", "animal", "keeps_off_plants", "snow_lifts", "hedge_holds", "digs", "gnaws", "wheels")
_FIGURES = (
    "body_width",
    "easy_width",
    "headroom",
    "step_up",
    "over",
    "leap",
    "crawl_gap",
    "wades",
    "reach",
    "guard",
    "turning",
)


def _row(row: Mapping[str, str]) -> dict[str, object]:
    out: dict[str, object] = {k: row[k] for k in ("id", "name", "opens")}
    out |= {k: row[k] == "yes" for k in _FLAGS} | {k: float(row[k]) for k in ("steepest", "pace")}
    out |= {k: float(row[f"{k}_m"]) for k in _FIGURES if row[f"{k}_m"]}
    pairs = (part.strip().partition(": ") for part in row["known"].split("; ") if ": " in part)
    out["known"] = tuple(Known(figure=name, source=source) for name, _, source in pairs)
    return out


def find_walker(walker_id: str, own: Mapping[str, Walker] | None = None) -> Walker | None:
    """Return the walker called ``walker_id``: the garden's ``own`` first, then the package's; else None."""
    return (own or {}).get(walker_id) or builtin().get(walker_id)
