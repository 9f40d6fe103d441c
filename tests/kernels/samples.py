"""Kernels made up for the tests: they call one another and freeze numbers."""

import math

import numpy as np

from quincunx.kernels import helper, kernel

STEP_M = 0.5
TABLE = np.array([1.0, 2.0, 4.0])


@kernel
def square(value):
    return value * value


@kernel("float64[::1]", "int64[::1]")
def total(values):
    """Add the squares."""
    found = 0.0
    for value in values:
        found += square(value) * STEP_M
    return found + TABLE[1] + math.sqrt(4.0)


@kernel("int64")
def factorial(n):
    return 1 if n < 2 else n * factorial(n - 1)


@kernel("float64[::1], int64")
def third(values, at):
    return values[at]


@helper
def halve(values, share):
    for i in range(len(values)):
        values[i] *= share


@kernel("float64[::1]")
def halved(values):
    """Halve by a helper that is lent the array."""
    out = values.copy()
    halve(out, 0.5)
    return out


@helper
def twice(values):
    return np.zeros(2 * len(values))


@kernel("float64[::1]")
def doubled(values):
    return len(twice(values))
