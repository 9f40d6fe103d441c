"""Points out of a drawing: the outlines, lines and points of a text DXF file; single lines that meet are joined."""

from __future__ import annotations

import io
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Literal

from quincunx.survey.given import UNITS, Brought, Given, Group, limited
from quincunx.survey.joined import XYZ, Joined, joined
from quincunx.units import counted

if TYPE_CHECKING:
    from ezdxf.document import Drawing

UNIT_OF = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 21: "us-ft"}
"""``$INSUNITS`` of the header (DXF reference, header section): which unit its numbers are in."""
BEND_M = 0.01
"""How far a chord may stand off an arc, as a share of the drawing's width over a hundred."""

JOIN_M = 0.01
"""Ends of single lines no farther apart than this are one [m] (our own choice; where the file names no unit, of its unit)."""
FLAT = 1e-9
"""A drawing all of whose heights are nearer to 0 than this is flat."""
OUTLINE: Literal["outline"] = "outline"
LINE: Literal["line"] = "line"


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
        unit = UNIT_OF.get(int(drawing.header.get("$INSUNITS", 0)))
        loose = _loose(drawing, unit)
        groups = [*_groups(drawing), *loose.groups]
    except (DXFError, ValueError, KeyError, IndexError, TypeError, AttributeError, OSError) as error:
        why = (str(error) or "it breaks off").rstrip(".")
        return Brought("DXF", faults=(f"The DXF can't be read: {why}. Save it again as text DXF.",))
    groups.sort(key=lambda g: (g.shape != "outline", -_wide(g)))
    faults = () if groups else ("There is no line, polyline, point or block in that drawing's model space.",)
    return limited(Brought("DXF", tuple(groups), unit, "east", loose.said, faults))


@dataclass(frozen=True)
class _Loose:
    """What a drawing's single lines come to, and what is said of it."""

    groups: tuple[Group, ...] = ()
    said: tuple[str, ...] = ()


def _loose(drawing: Drawing, unit: str | None) -> _Loose:
    """Return the single lines of each layer joined where their ends meet."""
    layers: dict[str, list[tuple[XYZ, XYZ]]] = {}
    for entity in drawing.modelspace():
        if entity.dxftype() == "LINE":
            start, end = entity.dxf.start, entity.dxf.end
            pair = ((start.x, start.y, start.z), (end.x, end.y, end.z))
            layers.setdefault(str(entity.dxf.get("layer", "0")), []).append(pair)
    if not layers:
        return _Loose()
    scale = UNITS[unit][1] if unit is not None else 1.0
    found = {layer: joined(lines, JOIN_M / scale) for layer, lines in layers.items()}
    groups = [
        Group(f"{words} on layer {layer}", tuple(_given(points)), shape)
        for layer, one in found.items()
        for words, shape, many in (("outline of single lines", OUTLINE, one.rings), ("single lines", LINE, one.chains))
        for points in many
    ]
    return _Loose(tuple(groups), tuple(_joined_words(found.values(), sum(map(len, layers.values())), scale, unit)))


def _joined_words(found: Collection[Joined], count: int, scale: float, unit: str | None) -> Iterator[str]:
    rings, chains = (sum(len(many) for many in (one.rings for one in found)), sum(len(one.chains) for one in found))
    widest = max(one.widest for one in found) * scale * 1000
    within = (
        f"{1000 * JOIN_M:.0f} mm" if unit is not None else f"{JOIN_M:g} of the drawing's unit (it doesn't say which)"
    )
    gap = f"; the widest gap was {widest:.1f} mm" if widest >= 0.05 and unit is not None else ""
    what = f"{counted(rings, 'outline')} and {counted(chains, 'line')}" if chains else counted(rings, "outline")
    yield f"{counted(count, 'single line')} joined into {what}: ends no farther apart than {within} are one{gap}."
    forks = sum(one.forks for one in found)
    if forks:
        places = "place" if forks == 1 else "places"
        yield f"At {forks} {places} more than two single lines meet: none goes on there. Leave those inside an outline out."


def _given(points: Sequence[XYZ]) -> Iterator[Given]:
    """Yield corners, with their heights where any of them has one: a flat drawing has none."""
    high = any(abs(z) > FLAT for *_, z in points)
    for x, y, z in points:
        yield Given("", x, y, z if high else None)


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
    points = list(_given([(v.x, v.y, v.z) for v in path.flattening(max(wide, 1e-6) * BEND_M / 10)]))
    closed = bool(getattr(entity, "closed", False) or getattr(entity, "is_closed", False))
    if closed or (len(points) > 3 and (points[0].first, points[0].second) == (points[-1].first, points[-1].second)):
        yield Group(f"outline on layer {layer}", tuple(points), "outline")
    else:
        yield Group(f"line on layer {layer}", tuple(points), "line")
