"""What those who work for an open garden see of it: its file, what is known, and whom to tell."""

from __future__ import annotations

from typing import Protocol

from quincunx.board.events import Hub
from quincunx.board.panel import Panel
from quincunx.board.standing import Standing
from quincunx.board.turns import Turns
from quincunx.review.verdicts import Verdicts
from quincunx.shapes import Finding
from quincunx.store import Store


class Opened(Protocol):
    """An open garden, as its threads use it."""

    store: Store
    hub: Hub
    turns: Turns
    verdicts: Verdicts
    panel: Panel

    def standing(self) -> Standing:
        """Return the garden as it is now, stood up."""

    def tell_revision(self, at: Standing) -> None:
        """Tell every window the revision, once."""

    def findings(self, at: Standing) -> tuple[Finding, ...] | None:
        """Return what was noticed in a state; None if nobody looked yet."""

    def keep_findings(self, at: Standing, found: tuple[Finding, ...]) -> None:
        """Keep what was noticed in a state."""
