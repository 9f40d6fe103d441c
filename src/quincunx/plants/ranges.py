"""A figure with its low and high."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Range:
    """A figure with its low and high."""

    low: float
    mid: float
    high: float

    @classmethod
    def of(cls, value: float | Range) -> Range:
        """Return a plain number as a range of nothing but itself."""
        return value if isinstance(value, Range) else cls(value, value, value)

    def most(self, limit: float) -> Range:
        """Return the range with nothing above ``limit`` (a hedge clipped to it)."""
        return Range(min(self.low, limit), min(self.mid, limit), min(self.high, limit))

    def times(self, share: float) -> Range:
        """Return the range times a share."""
        return Range(self.low * share, self.mid * share, self.high * share)

    @property
    def triple(self) -> tuple[float, float, float]:
        """Return low, middle and high."""
        return self.low, self.mid, self.high
