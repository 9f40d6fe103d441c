"""Who goes where how often: what the garden is asked where paths will be trodden by."""

from __future__ import annotations

from quincunx.units.fields import Doc, Slug, field


class Trip(Doc):
    """A way that is walked again and again, there and back."""

    id: Slug = field("Id")
    start: Slug = field("From")
    end: Slug = field("To")
    walker: Slug = field("Who walks", "person")
    a_week: float = field("Times a week, there and back", 7.0, unit="count", gt=0, le=500)

    @property
    def passes_a_year(self) -> float:
        """Return how often a place on the way is walked over in a year, both ways counted."""
        return self.a_week * 2 * 52
