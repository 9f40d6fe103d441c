"""Rounding to the safe side, so that *at least* and *at most* stay true as they are written."""

from __future__ import annotations

import math
from collections.abc import Callable

HAIR = 1e-9
"""What is nearer than this to a figure is that figure: sums of parts are off by less."""


def down(value: float, digits: int = 0) -> float:
    """Return ``value`` to so many digits, never more than it: for *at least*."""
    size = 10.0**digits
    return math.floor(value * size + HAIR) / size


def up(value: float, digits: int = 0) -> float:
    """Return ``value`` to so many digits, never less than it: for *at most*, and for what is to be enough."""
    size = 10.0**digits
    return math.ceil(value * size - HAIR) / size


def apart(value: float, asked: float, *ways: Callable[[float], str]) -> str:
    """Return ``value`` written in the first of these ways, coarse to fine, in which it differs from what was asked.

    A must that fails by a little is not told with the very figure that it asks for.
    """
    return next((told for write in ways if (told := write(value)) != write(asked)), ways[-1](value))
