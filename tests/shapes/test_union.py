"""Unions of parts that abut at any angle."""

from __future__ import annotations

import pytest
import shapely
from shapely import box

from quincunx.features.seat import Seat
from quincunx.shapes import united
from tests.features.standing import footprint, stand

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
