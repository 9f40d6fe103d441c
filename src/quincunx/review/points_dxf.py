"""Points out of a drawing: the outlines, lines and points of a text DXF file."""

from __future__ import annotations

import io
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from quincunx.survey.given import Brought, Given, Group, limited

if TYPE_CHECKING:
    from ezdxf.document import Drawing

UNIT_OF = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 21: "us-ft"}
"""``$INSUNITS`` of the header (DXF reference, header section): which unit its numbers are in."""
BEND_M = 0.01
"""How far a chord may stand off an arc, as a share of the drawing's width over a hundred."""


def is_dxf(text: str) -> bool:
    """Return whether a text begins as a DXF file does: a group code, then its value."""
    lines = [line.strip() for line in text.lstrip("\ufeff \r\n").split("\n", 3)[:2]]
    return text.startswith("AutoCAD Binary DXF") or (len(lines) == 2 and lines in (["0", "SECTION"], ["999", lines[1]]))


def read_dxf(text: str) -> Brought:
    """Return the outlines, lines and points of the model space, each with its layer; the widest outline first."""
    from ezdxf.filemanagement import read
    from ezdxf.lldxf.const import DXFError

    if text.startswith("AutoCAD Binary DXF"):
        return Brought("DXF", faults=("That is a binary DXF. Save it as text (ASCII) DXF.",))
    try:
        drawing = read(io.StringIO(text))
        groups = list(_groups(drawing))
    except (DXFError, ValueError, KeyError, IndexError, TypeError, AttributeError, OSError) as error:
        why = (str(error) or "it breaks off").rstrip(".")
        return Brought("DXF", faults=(f"The DXF can't be read: {why}. Save it again as text DXF.",))
    groups.sort(key=lambda g: (g.shape != "outline", -_wide(g)))
    unit = UNIT_OF.get(int(drawing.header.get("$INSUNITS", 0)))
    faults = (
        ()
        if groups
        else (
            "There is no polyline, point or block in that drawing's model space. Join single lines into a polyline first.",
        )
    )
    return limited(Brought("DXF", tuple(groups), unit, "east", faults=faults))


def _wide(group: Group) -> float:
    return max(max(vs) - min(vs) for vs in ([p.first for p in group.points], [p.second for p in group.points]))


def _groups(drawing: Drawing) -> Iterator[Group]:
    single: list[Given] = []
    for entity in drawing.modelspace():
        kind, layer = entity.dxftype(), str(entity.dxf.get("layer", "0"))
        if kind == "POINT":
            at = entity.dxf.location
            single.append(Given("", at.x, at.y, at.z))
        elif kind == "INSERT":
            at = entity.dxf.insert
            single.append(Given(_called(entity), at.x, at.y, at.z))
        elif kind in ("LWPOLYLINE", "POLYLINE"):
            yield from _line(entity, layer)
    if single:
        yield Group("the points", tuple(single), "points")


def _called(entity: Any) -> str:
    """Return what a block put in is called: the first of its texts that says something."""
    return next((a.dxf.text.strip()[:40] for a in entity.attribs if a.dxf.text.strip()), "")


def _line(entity: Any, layer: str) -> Iterator[Group]:
    from ezdxf.path import make_path

    path = make_path(entity)
    if not path:
        return
    corners = list(path.control_vertices())
    wide = max(
        max(v.x for v in corners) - min(v.x for v in corners), max(v.y for v in corners) - min(v.y for v in corners)
    )
    points = [Given("", v.x, v.y) for v in path.flattening(max(wide, 1e-6) * BEND_M / 10)]
    closed = bool(getattr(entity, "closed", False) or getattr(entity, "is_closed", False))
    if closed or (len(points) > 3 and (points[0].first, points[0].second) == (points[-1].first, points[-1].second)):
        yield Group(f"outline on layer {layer}", tuple(points), "outline")
    else:
        yield Group(f"line on layer {layer}", tuple(points), "line")
