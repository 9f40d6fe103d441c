"""True north from the shadow of a stake, from the noon line, or from a compass.

A shadow points away from the sun, so its direction from true north is the sun's azimuth and half a turn.  The
plan's own "up" is turned by the difference; several shadows are averaged and their spread tells how sure it is.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime

XY = tuple[float, float]

CLEAR_SUN_DEG = 5.0
"""Below this height of the sun [deg] a shadow is too long and soft to use (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class Shadow:
    """The tip of a stake's shadow: foot of the stake and tip in plan coordinates [m], and when (aware)."""

    foot: XY
    tip: XY
    at: datetime


@dataclass(frozen=True, slots=True)
class North:
    """``turn_deg``: add this to a direction in plan coordinates to get it from true north.

    ``sd_deg`` is the standard deviation of the mean, None with one reading; ``each_deg`` are the single results.
    """

    turn_deg: float
    sd_deg: float | None
    each_deg: tuple[float, ...]

    @property
    def agree(self) -> bool:
        """Tell whether all readings lie within 2 degrees of their mean."""
        return all(abs(_between(each - self.turn_deg)) <= 2.0 for each in self.each_deg)


def plan_azimuth_deg(start: XY, end: XY) -> float:
    """Return the direction from ``start`` to ``end`` [deg clockwise from the plan's y axis, 0 to 360]."""
    if start == end:
        raise ValueError("a direction needs two different points; the foot and the tip are the same")
    return math.degrees(math.atan2(end[0] - start[0], end[1] - start[1])) % 360.0


def north_from_shadows(latitude_deg: float, longitude_deg: float, shadows: Sequence[Shadow]) -> North:
    """Return how the plan is turned, from the shadows of an upright stake; two or more are better than one.

    Raises ValueError for a time without a zone, or with the sun below :data:`CLEAR_SUN_DEG`.
    """
    from quincunx.site.sun import sun_position

    if not shadows:
        raise ValueError("north from shadows needs at least one shadow; mark the tip and note the time")
    for shadow in shadows:
        if shadow.at.tzinfo is None:
            raise ValueError(f"the time {shadow.at.isoformat()} has no zone; say whether it is summer time")
    up, sun = sun_position(latitude_deg, longitude_deg, [s.at.astimezone(UTC) for s in shadows])
    turns = []
    for shadow, height, azimuth in zip(shadows, up.tolist(), sun.tolist(), strict=True):
        if height < CLEAR_SUN_DEG:
            raise ValueError(f"at {shadow.at.isoformat()} the sun stands at {height:.1f} degrees; too low for a shadow")
        turns.append(azimuth + 180.0 - plan_azimuth_deg(shadow.foot, shadow.tip))
    return averaged(turns)


def north_from_noon_line(latitude_deg: float, longitude_deg: float, foot: XY, tip: XY, day: date) -> North:
    """Return how the plan is turned from the shortest shadow of ``day``, marked without a watch.

    The shortest shadow lies north of the stake where the sun passes south of it, and south of it otherwise.
    """
    from quincunx.site.sun import sun_position

    noon = datetime(day.year, day.month, day.day, 12, tzinfo=UTC).timestamp() - longitude_deg * 240.0
    around = [datetime.fromtimestamp(noon + 60.0 * k, UTC) for k in range(-20, 21)]
    up, sun = sun_position(latitude_deg, longitude_deg, around)
    highest = max(range(len(around)), key=lambda i: float(up[i]))
    if float(up[highest]) < CLEAR_SUN_DEG:
        raise ValueError(f"on {day.isoformat()} the sun never stands above {CLEAR_SUN_DEG:g} degrees there")
    shadow = 0.0 if 90.0 < float(sun[highest]) % 360.0 < 270.0 else 180.0
    return averaged([shadow - plan_azimuth_deg(foot, tip)])


def north_from_compass(bearings: Sequence[tuple[XY, XY, float]], declination_deg: float) -> North:
    """Return how the plan is turned from compass bearings (start, end, magnetic bearing [deg])."""
    if not bearings:
        raise ValueError("north from the compass needs at least one bearing along a line of the plan")
    return averaged([bearing + declination_deg - plan_azimuth_deg(a, b) for a, b, bearing in bearings])


def averaged(turns_deg: Sequence[float]) -> North:
    """Average turns [deg] on the circle."""
    sines = sum(math.sin(math.radians(t)) for t in turns_deg)
    cosines = sum(math.cos(math.radians(t)) for t in turns_deg)
    mean = math.degrees(math.atan2(sines, cosines))
    n = len(turns_deg)
    spread = [_between(t - mean) for t in turns_deg]
    sd = math.sqrt(sum(s * s for s in spread) / (n - 1) / n) if n > 1 else None
    return North(_between(mean), sd, tuple(_between(t) for t in turns_deg))


def _between(angle_deg: float) -> float:
    return (angle_deg + 180.0) % 360.0 - 180.0


def declination_deg(latitude_deg: float, longitude_deg: float, on: date) -> float:
    """Return how far the compass needle points east of true north [deg] at a place on a date.

    World Magnetic Model through the package pygeomag, for the model years it carries (from 2010 on); later or
    earlier dates raise ValueError.  Iron nearby, a car or a fence can turn a needle by more than all of this.
    """
    from pygeomag import GeoMag  # type: ignore[import-untyped]
    from pygeomag.wmm.wmm_2010 import WMM_2010  # type: ignore[import-untyped]
    from pygeomag.wmm.wmm_2015v2 import WMM_2015v2  # type: ignore[import-untyped]
    from pygeomag.wmm.wmm_2020 import WMM_2020  # type: ignore[import-untyped]
    from pygeomag.wmm.wmm_2025 import WMM_2025  # type: ignore[import-untyped]

    models = {2010: WMM_2010, 2015: WMM_2015v2, 2020: WMM_2020, 2025: WMM_2025}
    base = on.year // 5 * 5
    if base not in models:
        raise ValueError(f"the magnetic model covers 2010 to 2029; got {on.isoformat()}")
    first, last = date(on.year, 1, 1).toordinal(), date(on.year + 1, 1, 1).toordinal()
    year = on.year + (on.toordinal() - first) / (last - first)
    return float(
        GeoMag(coefficients_data=models[base]).calculate(glat=latitude_deg, glon=longitude_deg, alt=0.0, time=year).d
    )
