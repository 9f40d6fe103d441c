"""A gate, arch or gap that stands in no wall."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View, middle
from quincunx.shapes import Cut, Finding, Narrow, Severity, Shut


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each opening that cuts nothing, in the first year it does."""
    seen: set[str] = set()
    for year, scene in view.summers():
        for change in scene.unmet:
            if change.owner in seen:
                continue
            seen.add(change.owner)
            name = view.called(change.owner)
            if isinstance(change, Cut):
                yield Finding(
                    f"opening-in-no-wall-{change.owner}", Severity.FAULT, f"{name} stands in no wall, fence or hedge in {year}.",
                    "Move it onto the wall it belongs in, or build the wall by then.", "Quincunx: an opening cuts the wall it stands in",
                    (change.owner,), middle(change.place), year,
                )  # fmt: skip
            elif isinstance(change, (Narrow, Shut)):
                target = view.called(change.target)
                yield Finding(
                    f"nothing-to-change-{change.owner}", Severity.CARE, f"{name} belongs to {target}, which isn't an opening in {year}.",
                    f"Build {target} by then, or choose another.", "Quincunx: a change needs something to change",
                    (change.owner, change.target), None, year,
                )  # fmt: skip
