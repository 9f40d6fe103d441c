"""Sun: how many hours, through what, on which ground, and what of the sky is seen."""

from quincunx.light.hours import SunGrid, sun_hours
from quincunx.light.sky import MONTHS, Sky, Suns, suns
from quincunx.light.slats import profile_angle_deg, slats_light

__all__ = ["MONTHS", "Sky", "SunGrid", "Suns", "profile_angle_deg", "slats_light", "sun_hours", "suns"]
