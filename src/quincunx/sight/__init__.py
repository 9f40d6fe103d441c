"""Eyes: what is seen from where, through what, and what would hide it.

Everything is a pure function of a scene.  A view goes along straight lines from an eye to the points of a target,
through whatever is porous, over the ground as it lies.
"""

from quincunx.sight.ahead import Ahead, ahead
from quincunx.sight.eyes import EYE_M, Eye, Posture, Target, eye_at, eye_over, target_of
from quincunx.sight.screening import Raise, Screen, least_raise, lowest, raised, screens
from quincunx.sight.seen import GROUND, Seen, bodies_in, seen
from quincunx.sight.viewshed import View, view_of, view_plainly

__all__ = [
    "EYE_M",
    "GROUND",
    "Ahead",
    "Eye",
    "Posture",
    "Raise",
    "Screen",
    "Seen",
    "Target",
    "View",
    "ahead",
    "bodies_in",
    "eye_at",
    "eye_over",
    "least_raise",
    "lowest",
    "raised",
    "screens",
    "seen",
    "target_of",
    "view_of",
    "view_plainly",
]
