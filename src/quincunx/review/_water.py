"""Standing water: the usual caution, always."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.garden.safety import country
from quincunx.review._view import View, middle
from quincunx.shapes import Finding, Severity, Surface
from quincunx.site.codes import held
from quincunx.units import format_length, own_units


def check(view: View) -> Iterator[Finding]:
    """Yield one caution for each piece of standing water, from the first year it is there, by its deepest place."""
    seen: set[str] = set()
    code = held(country(view.garden), "pool")
    for year, scene in view.summers():
        wet = [s for s in scene.surfaces if s.water_depth_m > 0 and s.owner not in seen]
        for owner in dict.fromkeys(s.owner for s in wet):
            surface = max((s for s in wet if s.owner == owner), key=lambda s: s.water_depth_m)
            seen.add(owner)
            depth = format_length(surface.water_depth_m, view.garden.style)
            small = own_units("Small children drown in a few centimetres.", view.garden.style)
            deep = (
                " Many places require a barrier round water this deep: ask your local authority."
                if surface.water_depth_m > code.figures["depth_m"]
                else ""
            )
            cover = "" if surface.flows else " Consider a rigid cover just under the surface."
            yield Finding(
                f"water-{surface.owner}", Severity.DANGER,
                f"{_holds(view.called(surface.owner), surface, depth)} from {view.since(owner, year)}. {small}{deep}",
                "Watch children near it at all times: no barrier replaces watching." + cover,
                f"general caution, from memory; depth rule: {code.cited()}", (surface.owner,), middle(surface.area), year,
            )  # fmt: skip


def _holds(name: str, surface: Surface, depth: str) -> str:
    """Return how deep a water is; of running water that is as it usually is."""
    if surface.flows:
        return f"{name} runs up to {depth} deep, deeper when it is high,"
    return f"{name} holds up to {depth} of water"
