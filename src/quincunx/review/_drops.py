"""Raised floors that end in a drop with nothing to hold anybody back: sides without a guard, and open sides nothing leads up to."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._air import Asked, Gap, gap_beside
from quincunx.review._view import View
from quincunx.scene import Scene
from quincunx.shapes import DropWork, Finding, Severity
from quincunx.units import format_length


def check(view: View) -> Iterator[Finding]:
    """Yield one finding for each raised floor from which one may step into the air along some of its sides."""
    seen, style, asked = set[str](), view.garden.style, Asked.of(view.garden)
    for year, scene in view.summers():
        for work in scene.work:
            if not isinstance(work, DropWork) or not work.edges or work.owner in seen:
                continue
            seen.add(work.owner)
            gap = _open(scene, work, asked)
            if not gap.told:
                continue
            yield Finding(
                f"drop-{work.owner}", Severity.CARE,
                f"{view.called(work.owner)} ends {format_length(gap.deep_m, style)} above what lies beside it, and along"
                f" {format_length(gap.long_m, style)} nothing high enough holds anybody back.",
                f"{asked.rule(gap.deep_m)}, lead steps or a ramp up where one comes and goes, or plant beside it; at the least mark the"
                " edge so that it is seen at dusk. Your local code and a licensed person decide.",
                asked.code.cited(), (work.owner,), gap.at, year, hurts=True,
            )  # fmt: skip


def _open(scene: Scene, work: DropWork, asked: Asked) -> Gap:
    floor = next((s for s in scene.surfaces if s.owner == work.owner), None)
    return Gap() if floor is None else gap_beside(scene, floor, work.edges, asked)
