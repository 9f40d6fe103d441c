"""What the musts about a way between two places share: who walks, from where, to where."""

from __future__ import annotations

from quincunx.intents._base import Intent
from quincunx.units.fields import Slug, field


class Between(Intent):
    """A must about somebody's way from one place to another; each says for whom with the walker's own words."""

    walker: Slug = field("For whom", "person")
    start: Slug = field("From")
    end: Slug = field("To")

    def things(self) -> tuple[str, ...]:
        """Return the two places."""
        return (self.start, self.end)

    def walkers(self) -> tuple[str, ...]:
        """Return who walks."""
        return (self.walker,)
