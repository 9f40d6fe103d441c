"""What is to be built beyond the published tables: have it designed."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.garden.safety import looked_up
from quincunx.review._view import View
from quincunx.shapes import DropWork, Finding, FlightWork, FrameWork, KitWork, LineWork, Severity, Work
from quincunx.units import own_units

REMEDY = "Have it designed, or make it smaller or stronger; your local code and a licensed person decide."


def check(view: View) -> Iterator[Finding]:
    """Yield one care for each planned structure some piece of which lies beyond what the tables cover."""
    seen: set[str] = set()
    made, first = view.made(), view.timeline.years[0]
    for year, scene in view.summers():
        for owner in sorted(o for o, done in made.items() if first <= done <= year and o not in seen):
            works: list[Work] = [
                w
                for w in scene.work
                if w.owner == owner and isinstance(w, (FrameWork, KitWork, LineWork, DropWork, FlightWork))
            ]
            if not works:
                continue
            seen.add(owner)
            beyond = [s for s in looked_up(view.garden, works) if s.answer == "beyond"]
            if beyond:
                what = own_units("; ".join(f"{s.what}: {s.because}" for s in beyond[:3]), view.garden.style)
                yield Finding(
                    f"beyond-{owner}", Severity.CARE, f"{view.called(owner)} goes beyond the published tables ({what}).", REMEDY,
                    beyond[0].source, (owner,), None, made[owner], hurts=True,
                )  # fmt: skip
