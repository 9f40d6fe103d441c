"""Any work to its take-off."""

from __future__ import annotations

from collections.abc import Iterable

from quincunx.build.amounts import TakeOff
from quincunx.build.drips import drip_take_off
from quincunx.build.floors import floor_take_off
from quincunx.build.frames import frame_take_off, kit_take_off, lift_take_off, plants_take_off
from quincunx.build.ground_rules import Ground
from quincunx.build.runs import run_take_off
from quincunx.shapes import AreaWork, DripWork, FrameWork, KitWork, LiftWork, LineWork, PlantWork, Work


def take_off(work: Work, ground: Ground | None = None) -> TakeOff:
    """Return what one piece of work comes to; ``ground`` says how deep pads and strips go."""
    if isinstance(work, AreaWork):
        found = floor_take_off(work)
    elif isinstance(work, LineWork):
        found = run_take_off(work, ground)
    elif isinstance(work, FrameWork):
        found = frame_take_off(work, ground)
    elif isinstance(work, KitWork):
        found = kit_take_off(work)
    elif isinstance(work, DripWork):
        found = drip_take_off(work)
    elif isinstance(work, PlantWork):
        found = plants_take_off(work)
    elif isinstance(work, LiftWork):
        found = lift_take_off(work)
    else:
        found = TakeOff()
    return found.owned(work.owner)


def take_off_all(works: Iterable[Work], ground: Ground | None = None) -> TakeOff:
    """Return what several works come to together."""
    total = TakeOff()
    for work in works:
        total += take_off(work, ground)
    return total
