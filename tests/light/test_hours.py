"""Sun hours: kernels against rays in space, against geometry in closed form, and the pitfalls met on the way."""

from __future__ import annotations

import numpy as np
import pytest

from quincunx.light import Sky, sun_hours, suns
from quincunx.light._field import field_of
from quincunx.light._parts import parts_of
from quincunx.light.hours import NOTHING_KEPT, Cast
from tests.light.gardens import LEVEL, SLOPE, one_of_each, scene

SOME = (1, 4, 6)


def plainly(here, months, cell_m=0.5, step_min=30.0, height_m=0.0):
    cast = Cast(field_of(here, cell_m), parts_of(here.solids, here.ground), height_m)
    out = np.zeros((len(months), *cast.field.z_m.shape), np.float32)
    for k, month in enumerate(months):
        some = suns(Sky.of(here), (month,), "mid", step_min)
        cast._add_plainly(some, np.zeros(len(some.hours), np.int64), out[k : k + 1], NOTHING_KEPT)
    return out


@pytest.mark.parametrize("height_m", [0.0, 0.7])
@pytest.mark.parametrize("ground", [LEVEL, SLOPE], ids=["level", "slope"])
def test_equals_rays_in_space_on_a_plane(ground, height_m):
    here = scene(*one_of_each(), ground=ground)
    ours = sun_hours(here, SOME, cell_m=0.5, step_min=30, height_m=height_m).hours
    assert np.abs(ours - plainly(here, SOME, height_m=height_m)).max() < 1e-4
