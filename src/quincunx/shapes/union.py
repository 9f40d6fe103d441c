"""The union of shapes, also where GEOS gives up on sides that lie all but on each other."""

from __future__ import annotations

from collections.abc import Sequence

import shapely
from shapely.geometry.base import BaseGeometry

GRID_M = 1e-9
"""What can't be united exactly is united on a grid so fine [m]: nothing moves that anybody could measure."""


def united(shapes: Sequence[BaseGeometry]) -> BaseGeometry:
    """Return the union of ``shapes`` [m].

    Parts of one thing that was turned meet along sides that agree but for the last digit.  At some angles GEOS (3.14)
    refuses these, valid as they are, with a TopologyException; on a grid it never does.
    """
    try:
        return shapely.union_all(shapes)
    except shapely.errors.GEOSException:
        return shapely.union_all(shapes, grid_size=GRID_M)
