"""How far the works have come by the journal."""

from __future__ import annotations

from quincunx.garden.document import Garden
from quincunx.units.dates import month_index
from quincunx.works import is_work


def happened_until(garden: Garden) -> int:
    """Return the month of the last work written down, counted from the plan's first; 0 if none is or it lies before."""
    first, last = 12 * garden.means.first_year, 12 * garden.means.years - 1
    jobs = {j.id for j in garden.jobs}
    months = [month_index(e.day[:7]) - first for e in garden.journal if is_work(e) and e.about in jobs]
    return min(max([0, *months]), last)
