"""Sun: how many hours, through what, on which ground, and how much of the sky is seen.

Everything is a pure function of a scene and of a :class:`Sky`, which says where the scene lies, how it is turned, what
stands on its skyline and how often the sun shines.
"""

from quincunx.light.classes import SunClasses, sun_classes
from quincunx.light.daily_light import LightGrid, daily_light
from quincunx.light.drag import Prepared, prepare, update
from quincunx.light.hours import SunGrid, sun_hours
from quincunx.light.shade import PointShade, shade_at, shades_at
from quincunx.light.shadow_day import Shadow, shadows
from quincunx.light.sky import MONTHS, Sky, Suns, suns
from quincunx.light.sky_view import SkyGrid, sky_view
from quincunx.scene.slats import profile_angle_deg, slats_light

__all__ = [
    "MONTHS",
    "LightGrid",
    "PointShade",
    "Prepared",
    "Shadow",
    "Sky",
    "SkyGrid",
    "SunClasses",
    "SunGrid",
    "Suns",
    "daily_light",
    "prepare",
    "profile_angle_deg",
    "shade_at",
    "shades_at",
    "shadows",
    "sky_view",
    "slats_light",
    "sun_classes",
    "sun_hours",
    "suns",
    "update",
]
