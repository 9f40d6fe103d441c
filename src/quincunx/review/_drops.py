"""Raised floors that end in a drop with nothing to hold anybody back: sides without a guard, and open sides nothing leads up to."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._air import Asked, Gap, gap_beside
from quincunx.review._view import View
from quincunx.scene import Scene
from quincunx.shapes import DropWork, Finding, Severity
from quincunx.units import format_length


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each raised floor from which one may step into the air along some of its sides, whenever that begins.

    Of each it tells the first summer in which it is so, and once more the first in which a guard is asked for, if that is
    a later one: what held people back may go, and what lay beside it may be dug away.
    """
    asked, told = Asked.of(view.garden), dict[str, bool]()
    for year, scene in view.summers():
        for work in scene.work:
            if not isinstance(work, DropWork) or not work.edges or told.get(work.owner):
                continue
            gap = _open(scene, work, asked)
            guard = gap.deep_m >= asked.least_m
            if not gap.told or (work.owner in told and not guard):
                continue
            later = work.owner in told
            told[work.owner] = guard
            yield _finding(view, work.owner, gap, asked, year, later=later)


def _finding(view: View, owner: str, gap: Gap, asked: Asked, year: int, *, later: bool) -> Finding:
    style = view.garden.style
    return Finding(
        f"drop-{owner}{f'-{year}' if later else ''}", Severity.CARE,
        f"{f'From {year} on, ' if later else ''}{view.called(owner)} ends {format_length(gap.deep_m, style)} above what lies"
        f" beside it, and along {format_length(gap.long_m, style)} nothing high enough holds anybody back.",
        f"{asked.rule(gap.deep_m)}, lead steps or a ramp up where one comes and goes, or plant beside it; at the least mark the"
        " edge so that it is seen at dusk. Your local code and a licensed person decide.",
        asked.code.cited(), (owner,), gap.at, year, hurts=True,
    )  # fmt: skip


def _open(scene: Scene, work: DropWork, asked: Asked) -> Gap:
    floor = next((s for s in scene.surfaces if s.owner == work.owner), None)
    return Gap() if floor is None else gap_beside(scene, floor, work.edges, asked)
