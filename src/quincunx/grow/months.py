"""Sizes of all plantings month by month, many at once."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from quincunx.grow.plantings import growing
from quincunx.plants.growth import season_share
from quincunx.scene import Timeline

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def monthly(timeline: Timeline, first: date, months: int) -> dict[str, NDArray[np.float64]]:
    """Return for each planting an array of ``months`` rows of height and spread, low, middle and high [m].

    The middle of each month is taken; rows before it is planted, or after it is gone, are NaN.  Sizes are taken as
    straight between the days looked at: each judging day, and each quarter while it is young (in its months of full
    leaf if it dies back); that is within 4 cm or 3 % of the size on the day itself (tested on both demonstrations).
    """
    import numpy as np

    years = range(first.year, first.year + months // 12 + 2)
    at = np.array([_middle(first, k).toordinal() for k in range(months)], dtype=np.float64)
    month = first.year * 12 + first.month - 1 + np.arange(months)
    out: dict[str, NDArray[np.float64]] = {}
    for feature in growing(timeline):
        days, sizes = [], []
        plant = timeline.find(feature.plants_named()[0])
        share = (
            [1.0] * 12 if plant is None else [season_share(plant, m, southern=timeline.southern) for m in range(1, 13)]
        )
        for on in _nodes(timeline, feature.id, first, years, share):
            for one in timeline.plants_on(feature, on)[:1]:
                days.append(on.toordinal())
                sizes.append([v / share[on.month - 1] for v in (*one.height_m, *one.spread_m)])
        rows = np.full((months, 6), np.nan)
        if days:
            table, known = np.array(sizes), np.array(days, dtype=np.float64)
            standing = np.array(share)[month % 12]
            for column in range(6):
                rows[:, column] = np.interp(at, known, table[:, column]) * standing
            span = timeline.span(feature.id)
            rows[(month < (span.begins or 0)) | (month >= (span.ends or 10**9))] = np.nan
        out[feature.id] = rows
    return out


YOUNG_YEARS = 4
"""So many years after planting growth is looked at four times a year: it bends most then."""


def _nodes(timeline: Timeline, feature_id: str, first: date, years: range, share: list[float]) -> list[date]:
    """Return the days on which a planting is looked at: when it is planted, each judging day, young ones four times.

    What dies back is looked at in each month in which a ``share`` of it stands in its first seasons, then in those in
    which it is whole.
    """
    begins = timeline.span(feature_id).begins
    if begins is not None and begins >= 12 * (years[-1] + 1):
        return []
    start = first if begins is None or begins < first.year * 12 else date(begins // 12, begins % 12 + 1, 1)
    whole = [m for m, s in enumerate(share, start=1) if s == 1.0]
    young = [y for y in years if y - start.year < YOUNG_YEARS]
    if len(whole) == 12:
        days = [start, *(timeline.leaf_date(y) for y in years)]
        days += [timeline.leaf_date(y) + timedelta(days=QUARTER * k) for y in young for k in (1, 2, 3)]
    else:
        some, first_ones = [m for m, s in enumerate(share, start=1) if s > 0], start.year + 2
        days = [date(y, m, 15) for y in years if y < first_ones for m in some]
        days += [date(y, m, 15) for y in young if y >= first_ones for m in whole]
        days += [date(y, whole[len(whole) // 2], 15) for y in years if y not in young]
    return sorted(d for d in days if d >= start)


QUARTER = 91


def _middle(first: date, k: int) -> date:
    month = first.month - 1 + k
    return date(first.year + month // 12, month % 12 + 1, 15)
