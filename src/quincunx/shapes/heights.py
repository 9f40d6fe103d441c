"""Heights: above the ground at that place, or above the site's datum."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

Datum = Literal["ground", "site"]


@dataclass(frozen=True, slots=True)
class Height:
    """A height [m] above the ground below it (``"ground"``) or above the site's datum (``"site"``)."""

    value_m: float
    datum: Datum = "ground"

    def above_ground_m(self, ground_z_m: float) -> float:
        """Return the height above ground [m] where the ground lies at ``ground_z_m``."""
        return self.value_m if self.datum == "ground" else self.value_m - ground_z_m

    def z_m(self, ground_z_m: float) -> float:
        """Return the height above the site's datum [m] where the ground lies at ``ground_z_m``."""
        return self.value_m + ground_z_m if self.datum == "ground" else self.value_m


@dataclass(frozen=True, slots=True)
class Plane:
    """A sloping plane: ``at`` height over ``(x_m, y_m)``, falling ``grade`` (m per m) towards ``fall_deg``."""

    x_m: float
    y_m: float
    at: Height
    fall_deg: float
    grade: float


@dataclass(frozen=True, slots=True)
class LevelChange:
    """A break in the ground: it lies ``drop_m`` lower along ``lower`` than along ``upper`` (lines side by side) [m]."""

    owner: str
    upper: tuple[tuple[float, float], ...]
    lower: tuple[tuple[float, float], ...]
    drop_m: float


GROUND = Height(0.0)
"""The ground itself."""
