"""Somebody walks, climbs or bends with difficulty: what the garden could be asked to do for them, and isn't yet."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.intents import INTENTS
from quincunx.review._view import View
from quincunx.shapes import Finding, Severity
from quincunx.units import listed

SOURCE = "Quincunx: who is about, as written under “Given”, held against the musts there are"


def check(view: View) -> Iterator[Finding]:
    """Yield one hint that names the kinds of must made for whoever is not steady on their feet, as far as none is there."""
    if not view.garden.site.household.unsteady:
        return
    there = {type(must) for must in view.garden.intents}
    lacking = [kind.words for kind in INTENTS if kind.eases and kind not in there]
    if lacking:
        yield Finding(
            "musts-for-the-unsteady", Severity.HINT,
            "Somebody here walks, climbs or bends with difficulty, and the garden isn't asked yet whether it is easy for them.",
            f"Add musts under “What the garden must do”: {listed([f'“{words}”' for words in lacking])}. Leave aside what you"
            " have no use for; the hint goes once each has been written down.",
            SOURCE,
        )  # fmt: skip
