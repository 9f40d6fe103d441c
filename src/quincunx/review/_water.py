"""Standing water: the usual caution, always."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View, middle
from quincunx.shapes import Finding, Severity
from quincunx.units import format_length, own_units

DEEP_M = 0.61
"""Water deeper than 24 in commonly needs a barrier by local rule (a Florida county's pool rules, read; examples only)."""


def check(view: View) -> Iterator[Finding]:
    """Yield one caution for each piece of standing water, from the first year it is there, by its deepest place."""
    seen: set[str] = set()
    for year, scene in view.summers():
        wet = [s for s in scene.surfaces if s.water_depth_m > 0 and s.owner not in seen]
        for owner in dict.fromkeys(s.owner for s in wet):
            surface = max((s for s in wet if s.owner == owner), key=lambda s: s.water_depth_m)
            seen.add(owner)
            depth = format_length(surface.water_depth_m, view.garden.style)
            small = own_units("Small children drown in a few centimetres.", view.garden.style)
            deep = (
                " Many places require a barrier round water this deep: ask your local authority."
                if surface.water_depth_m > DEEP_M
                else ""
            )
            yield Finding(
                f"water-{surface.owner}", Severity.DANGER,
                f"{view.called(surface.owner)} holds up to {depth} of water from {view.since(owner, year)}. {small}{deep}",
                "Watch children near it at all times: no barrier replaces watching. Consider a rigid cover just under the surface.",
                "general caution, from memory; depth rule: US CPSC Pub. 362 and local rules", (surface.owner,), middle(surface.area), year,
            )  # fmt: skip
