"""What a feature is told when it is asked to stand up, and what it answers."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import date
from functools import cached_property
from typing import Any, Protocol

from quincunx.plants.catalogue import Plant
from quincunx.plants.setbacks import Setback
from quincunx.scene.left_open import NOTHING_LEFT, LeftOpen
from quincunx.shapes import Buried, Change, Figure, Opening, Solid, Supply, Surface, Work, content_key
from quincunx.site.ground import Ground

DAYS_A_YEAR = 365.25


@dataclass(frozen=True, slots=True)
class Moment:
    """The circumstances in which a feature stands.

    ``stage`` counts the successive finishes done (0 the first).  ``age_years`` runs from planting or building
    of the feature (its own age at the start added by the feature itself).  ``plant`` finds a plant by id.
    ``setbacks`` is what the journal says happened to it by then; ``anew`` that it was lost and planted again.
    ``left`` is what openings keep free of the line its plants are set along.
    """

    on: date
    age_years: float
    ground: Ground
    plant: Callable[[str], Plant | None]
    stage: int = 0
    southern: bool = False
    setbacks: tuple[Setback, ...] = ()
    anew: bool = False
    left: LeftOpen = NOTHING_LEFT

    @property
    def month(self) -> int:
        """Return the calendar month 1..12."""
        return self.on.month

    def year_months(self, northern: tuple[float, ...]) -> tuple[float, ...]:
        """Return twelve northern monthly numbers turned to this hemisphere."""
        return northern[6:] + northern[:6] if self.southern else northern

    def ground_z_m(self, x_m: float, y_m: float) -> float:
        """Return the ground's height above the datum at a point [m]."""
        return float(self.ground.height(x_m, y_m))


IN_TIME: tuple[str, ...] = ("age_years", "month", "on")
"""What of a moment differs from one date to another of one garden, as long as the stage is the same."""


class Watched(Moment):
    """A moment that notes which of :data:`IN_TIME` it was asked: whoever asked for none stands so on every date."""

    __slots__ = ("_asked",)

    _asked: set[str]

    @classmethod
    def of(cls, moment: Moment) -> Watched:
        """Return ``moment``, watched."""
        self = cls(
            moment.on, moment.age_years, moment.ground, moment.plant, moment.stage, moment.southern, moment.setbacks,
            moment.anew, moment.left,
        )  # fmt: skip
        object.__setattr__(self, "_asked", set())
        return self

    def __getattribute__(self, name: str) -> Any:
        """Return an attribute, noting it if it is one of those."""
        get = object.__getattribute__
        if name in IN_TIME:
            get(self, "_asked").add(name)
            return get(self, "on").month if name == "month" else get(self, name)
        return get(self, name)

    @property
    def asked(self) -> tuple[str, ...]:
        """Return what it was asked, in the order of :data:`IN_TIME`."""
        return tuple(name for name in IN_TIME if name in self._asked)


@dataclass(frozen=True, slots=True)
class StandingPlant:
    """One plant (or a row or area of one kind) as it stands: where, how many, how old and how big [m].

    ``grown_years`` is its age by its growth, less what setbacks took: low, middle, high.  ``spacing_m`` apart in a row
    or area (0 for one alone).  ``set_back`` says that a setback costs this season's crop.  ``variety`` is as the
    person calls it, ``kept`` that it is clipped or pruned to less than its size.
    """

    owner: str
    plant: str
    at: tuple[tuple[float, float], ...]
    age_years: float
    height_m: tuple[float, float, float]
    spread_m: tuple[float, float, float]
    count: int = 1
    grown_years: tuple[float, float, float] = (0.0, 0.0, 0.0)
    spacing_m: float = 0.0
    set_back: bool = False
    variety: str = ""
    kept: bool = False


@dataclass(frozen=True)
class Stood:
    """What a feature gives on a date."""

    solids: tuple[Solid, ...] = ()
    surfaces: tuple[Surface, ...] = ()
    openings: tuple[Opening, ...] = ()
    changes: tuple[Change, ...] = ()
    plants: tuple[StandingPlant, ...] = ()
    figures: tuple[Figure, ...] = ()
    work: tuple[Work, ...] = ()
    buried: tuple[Buried, ...] = ()
    supplies: tuple[Supply, ...] = ()

    @cached_property
    def key(self) -> str:
        """Return a digest of all that makes a difference to anybody in the garden; empty where nothing does."""
        parts: tuple[object, ...] = (self.solids, self.surfaces, self.openings, self.changes, self.plants)
        parts += (self.supplies,) if self.supplies else ()
        return content_key(parts) if any(parts) else ""

    def __add__(self, other: Stood) -> Stood:
        """Return both together."""
        return Stood(
            self.solids + other.solids,
            self.surfaces + other.surfaces,
            self.openings + other.openings,
            self.changes + other.changes,
            self.plants + other.plants,
            self.figures + other.figures,
            self.work + other.work,
            self.buried + other.buried,
            self.supplies + other.supplies,
        )


class Stands(Protocol):
    """Anything that can stand in a garden: the scene knows features by this only."""

    @property
    def id(self) -> str:
        """Return the readable id."""
        ...

    @property
    def name(self) -> str:
        """Return what the person calls it."""
        ...

    @property
    def there_from(self) -> str | None:
        """Return ``"start"``, a month ``2027-03``, or None when a job says it."""
        ...

    @property
    def there_until(self) -> str | None:
        """Return the month it is taken away, or None."""
        ...

    def finish_ids(self) -> tuple[str, ...]:
        """Return the ids of its successive finishes, first to last; empty if it has none."""
        ...

    def plants_named(self) -> tuple[str, ...]:
        """Return the ids of the plants it refers to."""
        ...

    def stands_before(self) -> bool:
        """Return whether something of it stands before its job is done (a held place's meanwhile)."""
        ...

    def stand(self, moment: Moment) -> Stood:
        """Return what it gives at ``moment``."""
        ...
