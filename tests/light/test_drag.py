"""A drag gives what a cold start gives."""

from __future__ import annotations

from dataclasses import replace
from types import FunctionType

import numpy as np
import pytest
from hypothesis import given, settings, strategies as st
from shapely.affinity import translate

from quincunx.light import Prepared, daily_light, prepare, shade_at, sky_view, sun_hours, update
from quincunx.light._cast import add_suns, take_away
from tests.light.gardens import LEVEL, SLOPE, bumpy, one_of_each, scene, wall

MONTHS = (1, 3, 6)
GROUNDS = {"level": LEVEL, "slope": SLOPE, "bumps": bumpy()}
PREPARED: dict[tuple[str, str], Prepared] = {}


def moved(owner, x, y, ground):
    solids = [replace(s, footprint=translate(s.footprint, x, y)) if s.owner == owner else s for s in one_of_each()]
    return scene(*solids, ground=ground)


def prepared(owner, lie):
    if (owner, lie) not in PREPARED:
        PREPARED[owner, lie] = prepare(moved(owner, 0, 0, GROUNDS[lie]), owner, MONTHS, cell_m=0.5)
    return PREPARED[owner, lie]


@settings(max_examples=25, deadline=None)
@given(
    st.sampled_from([s.owner for s in one_of_each()]),
    st.sampled_from(sorted(GROUNDS)),
    st.floats(-8, 8),
    st.floats(-8, 8),
)
def test_update_equals_cold(owner, lie, x, y):
    ready = prepared(owner, lie)
    here = moved(owner, x, y, GROUNDS[lie])
    warm, cold = update(ready, here), sun_hours(here, MONTHS, cell_m=0.5)
    assert np.abs(warm.hours - cold.hours).max() <= 0.02


def test_taken_away_altogether():
    here = scene(*one_of_each())
    ready = prepare(here, "w", MONTHS, cell_m=0.5)
    without = scene(*(s for s in one_of_each() if s.owner != "w"))
    assert np.abs(update(ready, without).hours - sun_hours(without, MONTHS, cell_m=0.5).hours).max() < 0.02


def test_more_changed_than_was_prepared_is_worked_out_cold():
    ready = prepare(scene(wall(5, 5, 8, 6), wall(9, 5, 12, 6, owner="x")), "w", 6, cell_m=0.5)
    other = scene(wall(5, 5, 8, 6), wall(9, 9, 12, 10, owner="x"))
    assert np.array_equal(update(ready, other).hours, sun_hours(other, 6, cell_m=0.5).hours)
    bank = scene(wall(5, 5, 8, 6), wall(9, 5, 12, 6, owner="x"), ground=SLOPE)
    assert np.array_equal(update(ready, bank).hours, sun_hours(bank, 6, cell_m=0.5).hours)


def test_a_byte_for_each_cell_and_sun():
    ready = prepare(scene(wall(5, 5, 8, 6)), "w", (6,), cell_m=0.5)
    assert ready.kept[0].dtype == np.uint8
    assert ready.kept[0].nbytes == 1600 * len(ready.some[0].hours)
    with pytest.raises(ValueError, match="got"):
        prepare(scene(), "w", 0)


def test_what_set_up_compiles_is_what_is_called():
    # Another signature would compile in the person's way, at the first overlay.
    here = scene(*one_of_each(), ground=bumpy())
    ready = prepare(here, "w", 6, cell_m=1)
    update(ready, here)
    shade_at(here, (3, 3), months=(6,))
    sky_view(here, 6, cell_m=1)
    daily_light(here, 6, cell_m=1)
    for one in (add_suns, take_away):
        one.warm()
        if not isinstance(one.compiled(), FunctionType):
            assert len(one.compiled().signatures) == 1
