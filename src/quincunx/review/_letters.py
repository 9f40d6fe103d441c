"""Names with letters that the papers can't show."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.garden.letters import REMEDY, unprinted
from quincunx.review._view import View
from quincunx.shapes import Finding, Severity


def check(view: View) -> Iterator[Finding]:
    """Yield a hint where names hold letters that aren't in the typeface of the papers."""
    words, about = unprinted(view.garden)
    if words:
        yield Finding("letters-not-printed", Severity.HINT, words, REMEDY, "the typeface of the papers", about)
