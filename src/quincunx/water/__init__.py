"""Rain: what stays dry when it blows, where it drips, what runs off, and what must be watered.

Everything is a pure function of a scene and of a :class:`Weather`.
"""

from quincunx.water.falling import drop_mm, fall_m_s, on_a_face_mm_h, slant, wet_in_m, wind_at_m_s
from quincunx.water.roofs import CAUGHT, Drip, Roof, RunOff, drips, into_tank, roofs_of, run_off
from quincunx.water.shelter import Dry, Wetting, dryness, sitting, wetting
from quincunx.water.weather import ORDINARY_MM_H, Rains, Weather, one_rain

__all__ = [
    "CAUGHT",
    "ORDINARY_MM_H",
    "Drip",
    "Dry",
    "Rains",
    "Roof",
    "RunOff",
    "Weather",
    "Wetting",
    "drips",
    "drop_mm",
    "dryness",
    "fall_m_s",
    "into_tank",
    "on_a_face_mm_h",
    "one_rain",
    "roofs_of",
    "run_off",
    "sitting",
    "slant",
    "wet_in_m",
    "wetting",
    "wind_at_m_s",
]
