"""Sizes of all plantings month by month, many at once."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from quincunx.grow.plantings import growing
from quincunx.scene import Days, Timeline

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def monthly(timeline: Timeline, first: date, months: int) -> dict[str, NDArray[np.float64]]:
    """Return for each planting an array of ``months`` rows of height and spread, low, middle and high [m].

    The middle of each month is taken, and each planting grows through all of them at once; rows before it is planted,
    or after it is gone, are NaN.  They equal what stands on the day itself.
    """
    days = Days([_middle(first, k) for k in range(months)])
    return {feature.id: timeline.sizes(feature, days) for feature in growing(timeline)}


def _middle(first: date, k: int) -> date:
    month = first.month - 1 + k
    return date(first.year + month // 12, month % 12 + 1, 15)
