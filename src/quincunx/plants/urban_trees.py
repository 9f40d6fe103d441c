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

from quincunx.plants.tables import floats, rows_of

Form = Callable[[float, Sequence[float]], float]
LEAST_STEM_CM, LEAST_CROWN_M = 0.5, 0.05
"""Nothing is told of a tree thinner or narrower than this: the straight lines cross nought there."""


def _polynomial(x: float, c: Sequence[float]) -> float:
    return sum(a * x**n for n, a in enumerate(c))


def _log_log(weight: Callable[[float], float]) -> Form:
    def value(x: float, c: Sequence[float]) -> float:
        return math.exp(c[0] + c[1] * math.log(math.log(x + 1)) + weight(x) * c[2] / 2)

    return value


def _log_log_1(x: float, c: Sequence[float]) -> float:
    # The half of c stands inside the logarithm: only so do the published figures come out (27 of 28 rows).
    return math.exp(c[0] + c[1] * math.log(math.log(x + 1) + c[2] / 2))


FORMS: Mapping[str, Form] = {
    "lin": _polynomial, "quad": _polynomial, "cub": _polynomial, "quart": _polynomial,
    "loglogw1": _log_log_1, "loglogw2": _log_log(math.sqrt), "loglogw3": _log_log(lambda x: x),
    "loglogw4": _log_log(lambda x: x * x),
}  # fmt: skip
"""The forms of table TS4 that are used; x is an age [years] or a stem thickness [cm]."""


@dataclass(frozen=True, slots=True)
class UrbanTree:
    """One species in one region: its equations, and the age up to which they were checked [years]."""

    plant: str
    species: str
    region: str
    to_years: float
    stem: tuple[Form, tuple[float, ...]]
    height: tuple[Form, tuple[float, ...]]
    crown: tuple[Form, tuple[float, ...]]

    def stem_cm(self, years: float) -> float:
        """Return the thickness of the stem at breast height [cm], ``years`` (kept within the data) after planting."""
        form, c = self.stem
        return max(form(min(max(years, 0.01), self.to_years), c), LEAST_STEM_CM)

    def height_m(self, years: float) -> float:
        """Return the height [m], ``years`` (kept within the data) after planting."""
        form, c = self.height
        return form(self.stem_cm(years), c)

    def crown_m(self, years: float) -> float:
        """Return the width of the crown [m], ``years`` (kept within the data) after planting."""
        form, c = self.crown
        return max(form(self.stem_cm(years), c), LEAST_CROWN_M)

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
            (FORMS[r["stem"]], floats(r["stem_abcd"])), (FORMS[r["height"]], floats(r["height_abcd"])),
            (FORMS[r["crown"]], floats(r["crown_abcd"])),
        )
        for r in rows_of("urban_trees.csv")
    }  # fmt: skip
