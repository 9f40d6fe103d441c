"""What a garden must do: one file a kind of must, and this explicit list of them."""

from typing import TYPE_CHECKING, Annotated, Union

from pydantic import Field

from quincunx.intents._base import Intent, Words
from quincunx.intents.at_least_wide import AtLeastWide
from quincunx.intents.bears import Bears
from quincunx.intents.bed_at_hand import BedAtHand
from quincunx.intents.cant_reach import CantReach
from quincunx.intents.drive_looks_out import DriveLooksOut
from quincunx.intents.dry_in_rain import DryInRain
from quincunx.intents.dry_shod import DryShod
from quincunx.intents.each_month import EachMonth
from quincunx.intents.enclosed import Enclosed
from quincunx.intents.fit_for_wheels import FitForWheels
from quincunx.intents.gate_opens_easily import GateOpensEasily
from quincunx.intents.handrail_on_the_way import HandrailOnTheWay
from quincunx.intents.harvest_at_least import HarvestAtLeast
from quincunx.intents.hedge_closed import HedgeClosed
from quincunx.intents.hidden_from import HiddenFrom
from quincunx.intents.hours_no_more import HoursNoMore
from quincunx.intents.keeps_its_sun import KeepsItsSun
from quincunx.intents.keeps_to_path import KeepsToPath
from quincunx.intents.near_to_hand import NearToHand
from quincunx.intents.not_eaten import NotEaten
from quincunx.intents.on_the_line import OnTheLine
from quincunx.intents.only_way_in import OnlyWayIn
from quincunx.intents.plants_fit import PlantsFit
from quincunx.intents.plants_hide import PlantsHide
from quincunx.intents.reaches import Reaches
from quincunx.intents.rests_on_the_way import RestsOnTheWay
from quincunx.intents.roof_fills import RoofFills
from quincunx.intents.sees import Sees
from quincunx.intents.separate_rooms import SeparateRooms
from quincunx.intents.several_ways import SeveralWays
from quincunx.intents.shaded_between import ShadedBetween
from quincunx.intents.spend_no_more import SpendNoMore
from quincunx.intents.stays_in import StaysIn
from quincunx.intents.step_free import StepFree
from quincunx.intents.sun_at_least import SunAtLeast
from quincunx.intents.sun_before import SunBefore
from quincunx.intents.tank_lasts import TankLasts
from quincunx.intents.water_no_more import WaterNoMore
from quincunx.intents.way_passes_by import WayPassesBy
from quincunx.intents.works_reached import WorksReached

INTENTS: tuple[type[Intent], ...] = (
    AtLeastWide,
    Bears,
    BedAtHand,
    CantReach,
    DriveLooksOut,
    DryInRain,
    DryShod,
    EachMonth,
    Enclosed,
    FitForWheels,
    GateOpensEasily,
    HandrailOnTheWay,
    HarvestAtLeast,
    HedgeClosed,
    HiddenFrom,
    HoursNoMore,
    KeepsItsSun,
    KeepsToPath,
    NearToHand,
    NotEaten,
    OnTheLine,
    OnlyWayIn,
    PlantsFit,
    PlantsHide,
    Reaches,
    RestsOnTheWay,
    RoofFills,
    Sees,
    SeparateRooms,
    ShadedBetween,
    SeveralWays,
    SpendNoMore,
    StaysIn,
    StepFree,
    SunAtLeast,
    SunBefore,
    TankLasts,
    WaterNoMore,
    WayPassesBy,
    WorksReached,
)

if TYPE_CHECKING:
    AnyIntent = Intent
else:
    AnyIntent = Annotated[Union[INTENTS], Field(discriminator="kind")]  # noqa: UP007
"""A must of any kind, told apart by its ``kind``."""


def intent_kind(kind: type[Intent]) -> str:
    """Return the word a kind of must is stored under."""
    return str(kind.model_fields["kind"].default)


__all__ = ["INTENTS", "AnyIntent", "Intent", "Words", "intent_kind"]
