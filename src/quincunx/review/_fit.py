"""Plants that don't suit their place, in the first year in which they stand there."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View
from quincunx.shapes import Finding


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each plant and each way in which it doesn't fit, told once for all plantings of one plant."""
    from quincunx.grow.fit import misfits
    from quincunx.grow.misfit import HURTFUL, Misfit
    from quincunx.units import own_marks

    seen: set[tuple[str, str, str]] = set()
    groups: dict[tuple[str, str], list[tuple[int, Misfit]]] = {}
    for year in view.timeline.years:
        for found in misfits(view.timeline, year, view.garden.style.currency):
            key = (found.owner, found.kind, found.other)
            if key not in seen and (found.other, found.kind, found.owner) not in seen:
                seen.add(key)
                plant = view.timeline.feature(found.owner)
                named = plant.plants_named()[0] if plant is not None and plant.plants_named() else found.owner
                groups.setdefault((named, found.kind), []).append((year, found))
    for (plant_id, kind), those in sorted(groups.items()):
        year, first = those[0]
        words = own_marks(first.said(view.called, view.words.length), view.garden.style)
        others = sorted({m.owner for _, m in those} - {first.owner, first.other})
        more = f" So is it with {view.words.both(tuple(others))}." if others else ""
        about = tuple(sorted({m.owner for _, m in those} | {m.other for _, m in those if m.other}))
        yield Finding(
            f"fit-{plant_id}-{kind}", first.severity, words + more, first.remedy, first.source, about, None, year,
            hurts=kind in HURTFUL,
        )  # fmt: skip
