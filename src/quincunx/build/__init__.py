"""Building: work to parts, cuts, money and hours, and what is safe to attempt.  It knows no kind of feature."""

from quincunx.build.amounts import Line, Piece, TakeOff, Task
from quincunx.build.ground_rules import Ground
from quincunx.build.hours import Pace, learned, norms
from quincunx.build.reckon import Reckoned, Rules, reckon
from quincunx.build.take_off import take_off, take_off_all

__all__ = [
    "Ground",
    "Line",
    "Pace",
    "Piece",
    "Reckoned",
    "Rules",
    "TakeOff",
    "Task",
    "learned",
    "norms",
    "reckon",
    "take_off",
    "take_off_all",
]
