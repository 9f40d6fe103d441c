"""The vapour that air can hold, against the reference library of the National Center for Atmospheric Research."""

from __future__ import annotations

import pytest

from quincunx.water.reference import saturation_kpa

# NCAR Command Language 6.4, documentation of satvpr_tdew_fao56, example 1 (FAO-56 chapter 3, equation 14): 15 deg C.
NCL_15_C = 1.70535


def test_saturated_air_at_fifteen_degrees_is_as_ncl_has_it() -> None:
    assert float(saturation_kpa(15.0)) == pytest.approx(NCL_15_C, abs=5e-6)
