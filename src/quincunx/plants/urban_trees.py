"""Published sizes of trees by age: equations fitted to street and park trees of American cities.

References:
    McPherson EG, van Doorn NS, Peper PJ 2016. Urban Tree Database and Allometric Equations. PSW-GTR-253, and its
    data RDS-2016-0005, tables TS4 (forms) and TS6 (coefficients).  The chain is years since planting -> stem
    thickness -> height and crown width.  Their trees were planted 2.5 to 4 cm thick, so at 0 years they are not 0 high.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from types import ModuleType
from typing import Any

import numpy as np
from numpy.typing import NDArray

from quincunx.plants.tables import floats, rows_of

Form = Callable[[Any, Sequence[float]], Any]
"""One of the forms: of a number, or of an array of them."""
Curve = tuple[str, tuple[float, ...]]
"""The name of a form and its coefficients."""
LEAST_STEM_CM, LEAST_CROWN_M = 0.5, 0.05
"""Nothing is told of a tree thinner or narrower than this: the straight lines cross nought there."""


def _polynomial(x: Any, c: Sequence[float]) -> Any:
    return sum(a * x**n for n, a in enumerate(c))


def _forms(of: ModuleType) -> Mapping[str, Form]:
    """Return the forms with ``exp``, ``log`` and ``sqrt`` of a module: of plain numbers or of arrays."""

    def log_log(weight: Callable[[Any], Any]) -> Form:
        return lambda x, c: of.exp(c[0] + c[1] * of.log(of.log(x + 1)) + weight(x) * c[2] / 2)

    def log_log_1(x: Any, c: Sequence[float]) -> Any:
        # The half of c stands inside the logarithm: only so do the published figures come out (27 of 28 rows).
        return of.exp(c[0] + c[1] * of.log(of.log(x + 1) + c[2] / 2))

    return {
        "lin": _polynomial, "quad": _polynomial, "cub": _polynomial, "quart": _polynomial,
        "loglogw1": log_log_1, "loglogw2": log_log(of.sqrt), "loglogw3": log_log(lambda x: x),
        "loglogw4": log_log(lambda x: x * x),
    }  # fmt: skip


FORMS, FORMS_OF_MANY = _forms(math), _forms(np)
"""The forms of table TS4 that are used, of one number and of many; x is an age [years] or a stem thickness [cm]."""


@dataclass(frozen=True, slots=True)
class UrbanTree:
    """One species in one region: its equations, and the age up to which they were checked [years]."""

    plant: str
    species: str
    region: str
    to_years: float
    stem: Curve
    height: Curve
    crown: Curve

    def stem_cm(self, years: float) -> float:
        """Return the thickness of the stem at breast height [cm], ``years`` (kept within the data) after planting."""
        form, c = self.stem
        return max(float(FORMS[form](min(max(years, 0.01), self.to_years), c)), LEAST_STEM_CM)

    def height_m(self, years: float) -> float:
        """Return the height [m], ``years`` (kept within the data) after planting."""
        form, c = self.height
        return float(FORMS[form](self.stem_cm(years), c))

    def crown_m(self, years: float) -> float:
        """Return the width of the crown [m], ``years`` (kept within the data) after planting."""
        form, c = self.crown
        return max(float(FORMS[form](self.stem_cm(years), c)), LEAST_CROWN_M)

    def stems_cm(self, years: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return :meth:`stem_cm` of many ages."""
        form, c = self.stem
        return np.asarray(np.maximum(FORMS_OF_MANY[form](np.clip(years, 0.01, self.to_years), c), LEAST_STEM_CM))

    def heights_m(self, years: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return :meth:`height_m` of many ages."""
        form, c = self.height
        return np.asarray(FORMS_OF_MANY[form](self.stems_cm(years), c))

    def crowns_m(self, years: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return :meth:`crown_m` of many ages."""
        form, c = self.crown
        return np.asarray(np.maximum(FORMS_OF_MANY[form](self.stems_cm(years), c), LEAST_CROWN_M))

    def age_of(self, height_m: float) -> float:
        """Return the years after planting at which it is ``height_m`` high, within the data [years]."""
        low, high = 0.0, self.to_years
        if height_m <= self.height_m(low):
            return low
        for _ in range(40):
            middle = (low + high) / 2
            low, high = (middle, high) if self.height_m(middle) < height_m else (low, middle)
        return high


@cache
def urban_trees() -> Mapping[str, UrbanTree]:
    """Return the published trees by the id of the plant they are used for."""
    return {
        r["plant"]: UrbanTree(
            r["plant"], r["species"], r["region"], float(r["to_years"]),
            (r["stem"], floats(r["stem_abcd"])), (r["height"], floats(r["height_abcd"])),
            (r["crown"], floats(r["crown_abcd"])),
        )
        for r in rows_of("urban_trees.csv")
    }  # fmt: skip
