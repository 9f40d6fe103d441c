"""The garden as it stands on one date, and through time."""

from quincunx.scene.moment import Moment, StandingPlant, Stands, Stood
from quincunx.scene.scene import OUTSIDE_M, Room, Scene, Spot, assemble, cut_solids
from quincunx.scene.timeline import Days, Frame, Span, Timeline

__all__ = [
    "OUTSIDE_M",
    "Days",
    "Frame",
    "Moment",
    "Room",
    "Scene",
    "Span",
    "Spot",
    "StandingPlant",
    "Stands",
    "Stood",
    "Timeline",
    "assemble",
    "cut_solids",
]
