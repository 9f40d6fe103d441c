"""What kinds that grow share: the plant they mean, its age, how it is listed and how it hides and shades."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from quincunx.plants.catalogue import Plant
from quincunx.plants.growth import Size
from quincunx.plants.habit import Habit
from quincunx.plants.raising import Raised, behind_years, start_m
from quincunx.plants.ranges import Range
from quincunx.plants.setbacks import crop_missed, grown_years, lost, measured
from quincunx.scene.moment import Moment, StandingPlant
from quincunx.shapes import XY, Monthly

UNKNOWN = Plant(id="unknown-plant", name="unknown", height_m=1.5, spread_m=1.0)
"""Stands in for a plant nobody has described: a middling shrub."""


def known(moment: Moment, plant_id: str, otherwise: Plant = UNKNOWN) -> Plant:
    """Return the plant called ``plant_id``, or what stands in for it."""
    return moment.plant(plant_id) or otherwise


def light_and_view(plant: Plant, moment: Moment, cover: float = 1.0) -> tuple[Monthly, Monthly]:
    """Return the share of sunlight let through and the share of a view blocked, by month.

    ``cover`` is the share of the solid's outline that the plants really fill.
    """
    through = tuple(1.0 - cover * (1.0 - share) for share in plant.light(southern=moment.southern))
    return through, tuple(1.0 - share for share in through)


@dataclass(frozen=True, slots=True)
class Aged:
    """How old a planting is: ``years`` since it was set, ``grown`` by its growth, less what setbacks took.

    ``begun`` is its age when the plan starts, if it was there already.  ``measured`` is (grown age, height [m]) when
    its height was last measured.  ``lost`` counts plants lost and not set anew; ``set_back`` that this season's crop
    is lost.
    """

    years: float
    grown: Range
    begun: float = 0.0
    measured: tuple[float, float] | None = None
    lost: float = 0.0
    set_back: bool = False


def aged(moment: Moment, there_from: str | None, age_at_start: float) -> Aged:
    """Return how old a planting is at ``moment``."""
    begun = age_at_start if there_from == "start" and not moment.anew else 0.0
    years, happened = moment.age_years + begun, moment.setbacks
    if not happened:
        return Aged(years, Range.of(years), begun)
    since = grown_years(moment.age_years, happened)
    grown = Range(since.low + begun, since.mid + begun, since.high + begun)
    found = measured(moment.age_years, happened)
    taken = None
    if found is not None and found.amount:
        then = grown_years(found.age_years, happened).mid + begun
        taken = (min(then, grown.mid), found.amount)
    gone, missed = lost(moment.age_years, happened), crop_missed(moment.age_years, happened)
    return Aged(years, grown, begun, taken, gone, missed)


def grown(habit: Habit, age: Aged, moment: Moment) -> Size:
    """Return the size to which a planting has grown, as much of it as stands in the month."""
    month = moment.month if habit.plant.dies_back else 1
    return habit.size(age.grown, month, southern=moment.southern, measured=age.measured)


def usual_habit(raised: Raised, plant: Plant) -> Habit:
    """Return how a plant left to itself grows: from small where it is raised at home and set out at once."""
    return Habit(plant, start_m(raised, plant.start_height_m) if raised == "own" else None)


def later(age: Aged, raised: Raised, plant: Plant) -> Aged:
    """Return an age less the years by which what is raised at home and set at once lies behind what is bought."""
    years = behind_years(raised, plant)
    if not years:
        return age
    low, mid, high = age.grown.triple
    return replace(age, grown=Range(low - years, mid - years, high - years))


def listed(
    owner: str,
    plant_id: str,
    at: Sequence[XY],
    age: Aged,
    size: Size,
    *,
    spacing_m: float = 0.0,
    variety: str = "",
    kept: bool = False,
) -> StandingPlant:
    """Return the plants as they stand, for the schedules and the engines."""
    count = max(len(at) - round(age.lost), 0)
    return StandingPlant(
        owner, plant_id, tuple(at), age.years, size.height_m.triple, size.spread_m.triple, count, age.grown.triple,
        spacing_m, age.set_back, variety, kept,
    )  # fmt: skip
