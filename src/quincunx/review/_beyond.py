"""Things that reach over the boundary."""

from __future__ import annotations

from collections.abc import Iterator

from quincunx.review._view import View, middle
from quincunx.shapes import Finding, Severity

OVER_M = 0.02
"""Reaching over by less than this is drawing, not building [m]."""

MOSTLY_IN = 0.25
"""What stands already and has no more of it outside than this share is an old house along the boundary with its eaves,
which nobody moves; more of it outside is rather a slip of the drawing."""


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each built thing that reaches over the boundary."""
    if len(view.garden.boundary) < 3:
        yield Finding(
            "no-boundary", Severity.HINT, "The ground has no boundary yet.", "Draw it, or tape four sides and a diagonal, or three sides.",
            "Quincunx: areas, ways and money are counted inside the boundary",
        )  # fmt: skip
        return
    if view.garden.site.place is None:
        yield Finding(
            "no-place", Severity.HINT, "Quincunx doesn't know where the garden lies, so it takes the seasons of 52 degrees north.",
            "Name the town or type its latitude.", "Quincunx: summer, winter and sun depend on the latitude",
        )  # fmt: skip
    seen: set[str] = set()
    standing = {f.id for f in view.garden.features if f.there_from == "start"}
    for year, scene in view.summers():
        inside = scene.boundary.buffer(OVER_M)
        for solid in scene.solids:
            if solid.grown or solid.owner in seen or inside.covers(solid.footprint):
                continue
            over = solid.footprint.difference(inside)
            on_line = solid.footprint.intersection(scene.boundary.exterior).length > 0.5 * (solid.footprint.length / 2)
            if over.area < 1e-4 or on_line:
                continue
            seen.add(solid.owner)
            if solid.owner in standing and over.area < MOSTLY_IN * solid.footprint.area:
                yield Finding(
                    f"over-boundary-{solid.owner}", Severity.HINT, f"{view.called(solid.owner)} reaches over the boundary as it stands.",
                    "Nothing is to be moved: know what the deeds say of it, and where its rain falls.",
                    "common practice, no source", (solid.owner,), middle(over), year,
                )  # fmt: skip
                continue
            yield Finding(
                f"over-boundary-{solid.owner}", Severity.CARE, f"{view.called(solid.owner)} reaches over the boundary.",
                "Move it in, or agree it with the neighbour and check the deeds.", "common practice, no source",
                (solid.owner,), middle(over), year,
            )  # fmt: skip
