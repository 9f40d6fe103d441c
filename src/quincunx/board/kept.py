"""What is kept from one request to the next, never more than is good."""

from __future__ import annotations

from quincunx.scene import Stood

MOST_STOOD = 40_000
"""Stood features kept; a full garden of 300 features on 24 dates takes 7,200."""


class StoodCache(dict[object, Stood]):
    """A dictionary of stood features that empties itself when it has grown too large."""

    def __setitem__(self, key: object, value: Stood) -> None:
        """Keep ``value``; begin anew when full."""
        if len(self) >= MOST_STOOD:
            self.clear()
        super().__setitem__(key, value)
