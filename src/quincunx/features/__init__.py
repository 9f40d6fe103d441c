"""The kinds of feature: one file each, and this explicit list of them."""

from typing import TYPE_CHECKING, Annotated, Union

from pydantic import Field

from quincunx.features._base import Feature, Group, HeldPlace
from quincunx.features._registry import feature_from, kind_id, kinds, register
from quincunx.features.access_cover import AccessCover
from quincunx.features.arbour import Arbour
from quincunx.features.arch import Arch
from quincunx.features.bed import Bed
from quincunx.features.boulder import Boulder
from quincunx.features.bridge import Bridge
from quincunx.features.buried_line import BuriedLine
from quincunx.features.cage import Cage
from quincunx.features.climber import Climber
from quincunx.features.cold_frame import ColdFrame
from quincunx.features.compost_bay import CompostBay
from quincunx.features.deck import Deck
from quincunx.features.drain import Drain
from quincunx.features.drip_line import DripLine
from quincunx.features.duct import Duct
from quincunx.features.edging import Edging
from quincunx.features.fence import Fence
from quincunx.features.flood_ground import FloodGround
from quincunx.features.focal_object import FocalObject
from quincunx.features.gap import Gap
from quincunx.features.gate import Gate
from quincunx.features.gravel import Gravel
from quincunx.features.greenhouse import Greenhouse
from quincunx.features.guard import Guard
from quincunx.features.hedge import Hedge
from quincunx.features.held import Held
from quincunx.features.house import House
from quincunx.features.hurdle import Hurdle
from quincunx.features.lawn import Lawn
from quincunx.features.light_point import LightPoint
from quincunx.features.log import Log
from quincunx.features.material_heap import MaterialHeap
from quincunx.features.meadow import Meadow
from quincunx.features.mulch import Mulch
from quincunx.features.net import Net
from quincunx.features.path import Path
from quincunx.features.paving import Paving
from quincunx.features.pergola import Pergola
from quincunx.features.planted_area import PlantedArea
from quincunx.features.pond import Pond
from quincunx.features.raised_bed import RaisedBed
from quincunx.features.ramp import Ramp
from quincunx.features.roofed_shelter import RoofedShelter
from quincunx.features.row import Row
from quincunx.features.seat import Seat
from quincunx.features.shed import Shed
from quincunx.features.shrub import Shrub
from quincunx.features.smothered_ground import SmotheredGround
from quincunx.features.steps import Steps
from quincunx.features.stream import Stream
from quincunx.features.table import Table
from quincunx.features.tank import Tank
from quincunx.features.tap import Tap
from quincunx.features.terrace_edge import TerraceEdge
from quincunx.features.tree import Tree
from quincunx.features.trellis import Trellis
from quincunx.features.wall import Wall

KINDS: tuple[type[Feature], ...] = (
    AccessCover,
    Arbour,
    Arch,
    Bed,
    Boulder,
    Bridge,
    BuriedLine,
    Cage,
    Climber,
    ColdFrame,
    CompostBay,
    Deck,
    Drain,
    DripLine,
    Duct,
    Edging,
    Fence,
    FloodGround,
    FocalObject,
    Gap,
    Gate,
    Gravel,
    Greenhouse,
    Guard,
    Hedge,
    Held,
    House,
    Hurdle,
    Lawn,
    LightPoint,
    Log,
    MaterialHeap,
    Meadow,
    Mulch,
    Net,
    Path,
    Paving,
    Pergola,
    PlantedArea,
    Pond,
    RaisedBed,
    Ramp,
    RoofedShelter,
    Row,
    Seat,
    Shed,
    Shrub,
    SmotheredGround,
    Steps,
    Stream,
    Table,
    Tank,
    Tap,
    TerraceEdge,
    Tree,
    Trellis,
    Wall,
)
register(KINDS)

if TYPE_CHECKING:
    AnyFeature = Feature
else:
    AnyFeature = Annotated[Union[KINDS], Field(discriminator="kind")]  # noqa: UP007
"""A feature of any kind, told apart by its ``kind``."""

__all__ = ["KINDS", "AnyFeature", "Feature", "Group", "HeldPlace", "feature_from", "kind_id", "kinds", "register"]
