"""The place: where it lies, how its ground lies, its soil, climate and sun.

What is stored is here; the computing modules :mod:`quincunx.site.ground`, :mod:`quincunx.site.sun` and
:mod:`quincunx.site.towns` are imported by those that need them, so that a document is read without NumPy.
"""

from __future__ import annotations

from quincunx.site.climate import Climate, Frosts, Horizon, SnowLoad, Soil, usda_zone
from quincunx.site.country import region_of
from quincunx.site.levels import BreakLine, SpotHeight
from quincunx.site.place import Place, zone_of

__all__ = [
    "BreakLine",
    "Climate",
    "Frosts",
    "Horizon",
    "Place",
    "SnowLoad",
    "Soil",
    "SpotHeight",
    "region_of",
    "usda_zone",
    "zone_of",
]
