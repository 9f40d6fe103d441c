"""Unions of parts that abut at any angle."""

from __future__ import annotations

import json

import pytest
import shapely
from hypothesis import example, given, settings, strategies as st
from shapely import box

from quincunx.features import Feature
from quincunx.features.seat import Seat
from quincunx.garden import garden_from, timeline
from quincunx.garden.on_earth import geojson
from quincunx.shapes import united
from quincunx.water.roofs import roofs_of
from tests.features.standing import footprint, make, scene_of, stand

TURNED_DEG = -67.92519680335829
"""By so much a seat was turned whose parts GEOS would not unite."""


def test_what_unites_plainly_is_as_it_was():
    shapes = [box(0, 0, 1, 1), box(1, 0, 2, 1), box(5, 5, 6, 6)]
    assert united(shapes).equals(shapely.union_all(shapes))


def test_a_seat_turned_to_where_geos_gives_up_has_its_ground():
    seat = Seat.model_validate(dict(Seat.example))
    turned = seat.changed(**seat.moved(0.0, 0.0, TURNED_DEG, (0.0, 0.0)))
    parts = [s.footprint for s in stand(turned).solids]
    assert all(shapely.is_valid(parts))
    assert footprint(stand(turned)).area == pytest.approx(footprint(stand(seat)).area, abs=0.0015 * 3.4)


def turned(feature: Feature, degrees: float) -> Feature:
    return feature.changed(**feature.moved(0.0, 0.0, degrees, (0.0, 0.0)))


@settings(max_examples=60, deadline=None)
@given(degrees=st.floats(-180.0, 180.0))
@example(degrees=TURNED_DEG)
def test_a_seat_at_any_angle_is_in_the_plan_as_geojson(degrees: float) -> None:
    """Its parts are one shape of the same ground, however it is turned; at the angle above GEOS refused them."""
    seat = turned(Seat.model_validate(dict(Seat.example)), degrees)
    data = {
        "format": "quincunx/1", "site": {"place": {"name": "Here", "latitude_deg": 52.0, "longitude_deg": 0.0}},
        "boundary": [[-20, -20], [20, -20], [20, 20], [-20, 20]], "features": [seat.model_dump(mode="json") | {"there_from": "start"}],
    }  # fmt: skip
    garden = garden_from(data)
    through = timeline(garden)
    found = json.loads(geojson(garden, through.at(through.leaf_date(through.years[0]))))
    (one,) = (f for f in found["features"] if f["properties"]["part"] == "standing")
    assert shapely.is_valid(shapely.geometry.shape(one["geometry"]))


@pytest.mark.parametrize("kind", ["greenhouse", "roofed-shelter"])
@settings(max_examples=40, deadline=None)
@given(degrees=st.floats(-180.0, 180.0))
def test_a_roof_sheds_as_much_rain_at_any_angle(kind: str, degrees: float) -> None:
    """Its slabs meet along the ridge, turned or not; corners lie on a grid of millimetres."""
    (still,), (roof,) = (roofs_of(scene_of(turned(make(kind), d))) for d in (0.0, degrees))
    assert roof.area_m2 == pytest.approx(still.area_m2, abs=0.001 * still.shape.length)
