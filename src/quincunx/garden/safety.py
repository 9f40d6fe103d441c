"""What the garden says about loads, and what its works were looked up to be."""

from __future__ import annotations

from collections.abc import Iterable

from quincunx.build import Ground
from quincunx.build.screening import Loads, Screened, screen
from quincunx.build.weather import bearing_of
from quincunx.garden.document import Garden
from quincunx.shapes import Work
from quincunx.site.place import region_of


def loads_of(garden: Garden) -> Loads:
    """Return whose rules are near, the snow and its edition, the ground and what it bears."""
    site = garden.site
    snow, wind = site.climate.snow_load, site.climate.design_wind
    region = region_of(site.place) if site.place is not None else "other"
    return Loads(
        region,
        None if snow is None else snow.ground_kn_m2,
        "" if snow is None else snow.edition,
        None if wind is None else wind.speed_m_s,
        Ground(site.climate.frost_depth_m),
        bearing_of(site.soil.texture, stony=site.soil.stony),
    )


def looked_up(garden: Garden, works: Iterable[Work]) -> tuple[Screened, ...]:
    """Return what was looked up for some works of the garden, the gravest first."""
    return screen(works, loads_of(garden))
