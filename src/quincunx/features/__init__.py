"""The kinds of feature: one file each, and this explicit list of them."""

from typing import Annotated, Union

from pydantic import Field

from quincunx.features._base import Feature, Group, HeldPlace
from quincunx.features._registry import feature_from, kind_id, kinds, register
from quincunx.features.arbour import Arbour
from quincunx.features.cold_frame import ColdFrame
from quincunx.features.gate import Gate
from quincunx.features.greenhouse import Greenhouse
from quincunx.features.hedge import Hedge
from quincunx.features.held import Held
from quincunx.features.house import House
from quincunx.features.path import Path
from quincunx.features.pergola import Pergola
from quincunx.features.roofed_shelter import RoofedShelter
from quincunx.features.shed import Shed
from quincunx.features.tree import Tree
from quincunx.features.wall import Wall

KINDS: tuple[type[Feature], ...] = (
    Arbour,
    ColdFrame,
    Gate,
    Greenhouse,
    Hedge,
    Held,
    House,
    Path,
    Pergola,
    RoofedShelter,
    Shed,
    Tree,
    Wall,
)
register(KINDS)

AnyFeature = Annotated[Union[KINDS], Field(discriminator="kind")]  # type: ignore[valid-type]  # noqa: UP007
"""A feature of any kind, told apart by its ``kind``."""

__all__ = ["KINDS", "AnyFeature", "Feature", "Group", "HeldPlace", "feature_from", "kind_id", "kinds", "register"]
