"""The marks of a tape: rounding a length to what can be read off it."""

from __future__ import annotations

import math
from dataclasses import dataclass

INCH_M = 0.0254


@dataclass(frozen=True, slots=True)
class Marks:
    """A tape's smallest mark [m]; lengths are set to the nearest."""

    step_m: float

    def rounded(self, length_m: float) -> float:
        """Return ``length_m`` [m] at the nearest mark."""
        return math.floor(length_m / self.step_m + 0.5) * self.step_m

    @property
    def sd_m(self) -> float:
        """Standard deviation of rounding to the nearest mark [m]: the step over the root of twelve."""
        return self.step_m / math.sqrt(12.0)


MILLIMETRES = Marks(0.001)
HALF_CENTIMETRES = Marks(0.005)
CENTIMETRES = Marks(0.01)
EIGHTHS = Marks(INCH_M / 8.0)
SIXTEENTHS = Marks(INCH_M / 16.0)


def marks_for(system: str) -> Marks:
    """Return the marks a person reads without effort: 5 mm on a metric tape, 1/8 in on one in feet and inches."""
    return EIGHTHS if system == "feet" else HALF_CENTIMETRES
