"""The garden on the earth: what stands on a date with longitudes and latitudes, as GeoJSON."""

from __future__ import annotations

from quincunx.garden.document import Garden
from quincunx.scene import Scene
from quincunx.site.place import Place
from quincunx.units.errors import PlainError


def geojson(garden: Garden, scene: Scene, at: tuple[float, float] | None = None) -> str:
    """Return what stands in ``scene`` as GeoJSON; ``at`` says where the plan's origin lies (latitude, longitude) [deg].

    Without ``at`` it is where the datum stake was found to lie, or else the place of the garden's town;
    :class:`~quincunx.units.errors.PlainError` where there is neither, or no such place on earth.
    """
    from quincunx.model import geojson_of

    kinds = {f.id: f.words for f in garden.features}
    return geojson_of(scene, _place(garden, at), kinds, name=garden.name)


def _place(garden: Garden, at: tuple[float, float] | None) -> Place:
    place = garden.site.place
    at = at or garden.site.datum.on_earth
    if at is None:
        if place is None:
            raise PlainError(
                "The garden has no place on the map yet. Give its town or its latitude and longitude first, or say where "
                "the plan's origin lies (--at 52.1 -1.2)."
            )
        return place
    latitude, longitude = at
    if not (-90 <= latitude <= 90 and -180 <= longitude <= 180):
        raise PlainError(
            f"There is no place at {latitude:g} {longitude:g}. Give the latitude (-90 to 90, north is positive), then the "
            "longitude (-180 to 180, east is positive)."
        )
    if place is None:
        return Place(latitude_deg=latitude, longitude_deg=longitude)
    return place.changed(name="", latitude_deg=latitude, longitude_deg=longitude)
