"""What the site says about footings: how deep the ground freezes and what it bears."""

from __future__ import annotations

from dataclasses import dataclass

LEAST_M = 0.3048
"""Footings go at least 12 in below undisturbed ground in the US (IRC R403.1.4)."""


def both(metres: float) -> str:
    """Write a length in centimetres, or metres from one on, and inches, for people of either habit: ``40 cm (16 in)``."""
    if metres >= 0.995:
        return f"{metres:.2f} m ({metres / 0.0254:.0f} in)"
    return f"{metres * 100:.0f} cm ({metres / 0.0254:.0f} in)"


@dataclass(frozen=True, slots=True)
class Ground:
    """``frost_m``: depth to which the ground freezes [m]; None where nobody has written it down.

    ``least_m``: least depth of footings by the code of the garden's country [m].
    """

    frost_m: float | None = None
    least_m: float = LEAST_M

    @property
    def frost_known(self) -> bool:
        """Return whether the frost depth is written down."""
        return self.frost_m is not None

    @property
    def footing_depth_m(self) -> float:
        """Return how deep pads are dug [m]: to the frost depth, at least what the code asks for; 0.6 m where it isn't known."""
        return max(self.least_m, 0.6 if self.frost_m is None else self.frost_m)

    @property
    def why_so_deep(self) -> str:
        """Say what the depth goes by, and where to ask where nobody has written down how deep the ground freezes."""
        if self.frost_m is None:
            return (
                "nobody has written down how deep the ground freezes here: ask your building office and write it under"
                " “Given”"
            )
        if self.least_m > self.frost_m:
            return f"the least that codes ask for: the frost depth written down is {both(self.frost_m)}"
        return f"to the frost depth written down, {both(self.least_m)} at least"
