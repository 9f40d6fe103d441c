"""What was read from a table, as an edit of the garden."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from quincunx.garden.edits import Edit, change
from quincunx.garden.plain import plain

if TYPE_CHECKING:
    from quincunx.garden.document import Garden
    from quincunx.site.weather_in import WeatherIn


def climate_edit(garden: Garden, read: WeatherIn, name: str) -> Edit:
    """Return the edit that puts what was read into the site's climate; what it doesn't say stays."""
    now: dict[str, Any] = plain(garden.site.climate)
    climate = {**now, **read.climate, "source": f"from {name}"[:300]}
    return change("site", None, {"climate": climate}, f"Climate from {name}"[:200])
