"""A file of corners or points brought in: looked at first, then taken as one edit that can be undone."""

from __future__ import annotations

import csv
import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from quincunx.garden import Edit, Garden, GardenError, Op, change, plain
from quincunx.garden.edits import free_id
from quincunx.garden.reading import Fault
from quincunx.review.from_stakes import Drawable, drawables, drawn_at
from quincunx.review.points_dxf import is_dxf, read_dxf
from quincunx.review.points_laid import LAYS, Asked, Laid, laid, order_of, unit_of
from quincunx.site.place import Place
from quincunx.survey import Staff, Stake, stake_id
from quincunx.survey.given import UNITS, Brought
from quincunx.survey.points_in import read_points
from quincunx.survey.readings import Rise
from quincunx.survey.rings import Round, round_of
from quincunx.units import Style, capital, counted, format_length
from quincunx.units.area import format_area

XY = tuple[float, float]
BOUNDARY, STAKES, SPOTS, HEIGHTS = "boundary", "stakes", "spots", "heights"
BECOMES = {
    BOUNDARY: "the boundary of the ground",
    STAKES: "stakes that hold the plan in place",
    SPOTS: "spots with their names",
    HEIGHTS: "heights of the ground",
}
"""What points can become, beside the kinds that points can draw."""
COVERS_DEGREES = (
    "A phone's own fix can be 5 m off under open sky and more by walls and trees (from memory): tape two sides and a "
    "diagonal before you build by it."
)
COVERS_GRID = (
    "Up on the plan is the file's own north. A map's grid may lie a degree or two off true north (common practice, no "
    "source): a stake's shadow tells."
)


@dataclass(frozen=True, slots=True)
class Looked:
    """What a file holds and what would be taken: sentences, faults, and the edit (None while there are faults)."""

    brought: Brought
    asked: Asked
    said: tuple[str, ...]
    faults: tuple[str, ...]
    unit: str = "m"
    order: str = "east"
    laid: Laid | None = None
    round: Round | None = None
    ways: tuple[tuple[str, tuple[XY, ...]], ...] = ()
    edit: Edit | None = None

    @property
    def closed(self) -> bool:
        """Whether the points go round something."""
        return self.round is not None


def read_file(text: str, style: Style) -> Brought:
    """Return the points in the text of a file of any form that can be read; what can't be is a fault."""
    return read_dxf(text) if is_dxf(text) else read_points(text, style)


BEYOND = (
    "A number or a name in that file is larger than any in a garden can be. Have its corners alone written out again."
)


def look(garden: Garden, text: str, asked: Asked, name: str = "a file") -> Looked:
    """Return what the file's text would bring into the garden as it was asked; nothing is changed, nothing raised."""
    try:
        return _looked(garden, text, asked, name)
    except (ValueError, ArithmeticError, csv.Error):  # pydantic's refusals too: a number or a word beyond all bounds
        return Looked(Brought("file"), asked, (), (BEYOND,))


def _looked(garden: Garden, text: str, asked: Asked, name: str) -> Looked:
    brought = read_file(text, garden.style)
    if not brought.groups or not any(g.points for g in brought.groups):
        return Looked(brought, asked, brought.said, brought.faults or ("There is no point in that file.",))
    try:
        how = _drawable(asked.become)
        asked = replace(asked, round=asked.become == BOUNDARY or (how is not None and how.round))
        unit, order = unit_of(garden, brought, asked), order_of(garden, brought, asked)
        found = laid(garden, brought, asked)
    except GardenError as error:
        return Looked(brought, asked, brought.said, (*brought.faults, *(f.sentence for f in error.faults)))
    said = [*_told(garden, brought, found, asked), *brought.said, *found.said]
    ring = round_of(found.at, found.names, garden.style) if asked.round else None
    if ring is not None:
        said += [*ring.said, *([] if ring.faults else [_size(ring, garden.style)])]
    faults = brought.faults or (ring.faults if ring is not None else ())
    edit = None
    if not faults:
        try:
            edit, more = _edit(garden, found, ring, asked, name)
            said += more
        except GardenError as error:
            faults = tuple(f.sentence for f in error.faults)
    return Looked(
        brought, asked, tuple(said), faults, unit, order, found, ring, _ways(garden, brought, asked, found), edit
    )  # fmt: skip


def _drawable(become: str) -> Drawable | None:
    """Return how a kind is drawn by points; None for what is no kind."""
    if become in BECOMES:
        return None
    how = next((d for d in drawables() if become in (d.kind, d.words)), None)
    if how is None:
        known = ", ".join([*BECOMES, *(d.words for d in drawables())])
        raise GardenError([Fault("points", f"Points can't become {become!r}. They can be: {known}.")])
    return how


def _told(garden: Garden, brought: Brought, found: Laid, asked: Asked) -> list[str]:
    unit = UNITS[found.unit][0]
    taken = "as you say" if asked.unit else "the file doesn't say: is that so?"
    taken = "as the file says" if brought.unit == found.unit else taken
    said = [f"{counted(len(found.at), 'point')}, in {unit} ({taken})."]
    if len(brought.groups) > 1:
        said.append(f"The file holds {counted(len(brought.groups), 'part')}; this is one of them.")
    said.append(COVERS_DEGREES if found.unit == "deg" else COVERS_GRID)
    if found.unit == "deg" and garden.site.place is None:
        said.append("The garden's place on the map is taken from the points.")
    return said


def _size(ring: Round, style: Style) -> str:
    from shapely import Polygon

    shape = Polygon(ring.corners)
    least = shape.minimum_rotated_rectangle
    sides = sorted(
        {
            round(((a[0] - b[0]) ** 2 + (a[1] - b[1]) ** 2) ** 0.5, 6)
            for a, b in zip(*_pairs(least.exterior.coords), strict=False)
        }
    )
    return (
        f"{counted(len(ring.corners), 'corner')}; {format_length(sides[-1], style)} by {format_length(sides[0], style)} over"
        f" all, {format_length(shape.exterior.length, style)} round, {format_area(shape.area, style)}."
    )


def _pairs(coords: Any) -> tuple[list[Any], list[Any]]:
    points = list(coords)
    return points[:-1], points[1:]


def _ways(garden: Garden, brought: Brought, asked: Asked, found: Laid) -> tuple[tuple[str, tuple[XY, ...]], ...]:
    """Return how the points would lie with east first, and with north first: the two pictures to choose from."""
    out: list[tuple[str, tuple[XY, ...]]] = []
    for order in ("east", "north"):
        if order == found.order:
            out.append((order, found.at))
            continue
        try:
            other = replace(asked, unit=found.unit, order=order, lay="")
            out.append((order, laid(garden, brought, other).at))
        except GardenError:
            continue
    return tuple(out)


def _edit(
    garden: Garden, found: Laid, ring: Round | None, asked: Asked, name: str
) -> tuple[Edit, list[str]]:  # fmt: skip
    said: list[str] = []
    how = _drawable(asked.become)
    if how is not None:
        points = ring.corners if ring is not None else found.at
        made = drawn_at(garden, how, points)
        ops = [*made.ops]
        words = f"{made.label} from {name}"
    elif asked.become == BOUNDARY and ring is not None:
        ops = [Op(do="put", part="boundary", value=[list(p) for p in ring.corners])]
        words = f"Boundary from {name}"
    elif asked.become == STAKES:
        ops, said = _stakes(garden, found)
        words = f"{counted(len(found.at), 'stake')} from {name}"
    elif asked.become == SPOTS:
        ops = _spots(garden, found)
        words = f"{counted(len(found.at), 'spot')} from {name}"
    else:
        ops, said = _heights(garden, found)
        words = f"Heights from {name}"
    return Edit(label=words[:200], ops=(*ops, *_site(garden, found))), said


def _site(garden: Garden, found: Laid) -> list[Op]:
    """Return what the points tell of where the garden lies."""
    fields: dict[str, Any] = {}
    if found.datum is not None and found.datum != garden.site.datum:
        fields["datum"] = found.datum
        at = found.datum.on_earth
        if at is not None and garden.site.place is None:
            fields["place"] = Place(latitude_deg=round(at[0], 4), longitude_deg=round(at[1], 4))
    return [*change("site", None, fields).ops] if fields else []


def _stakes(garden: Garden, found: Laid) -> tuple[list[Op], list[str]]:
    """Return the stakes held where the points lie; those that are there already are held there from now on."""
    survey, called = garden.survey, {s.name.casefold(): s for s in garden.survey.stakes}
    again = [n for n in found.names if n.casefold() in called]
    if survey.readings and len(again) < 2:
        words = (
            "The stakes that were taped hang on none of these points. Give two of the points the names of two taped"
            " stakes, so that all hold together, or bring the points in as spots."
        )
        raise GardenError([Fault("points", words)])
    levelled = any(isinstance(r, Rise | Staff) for r in survey.readings)
    taken, stakes = {s.id for s in survey.stakes}, {s.id: s for s in survey.stakes}
    seen: set[str] = set()
    for name, (x, y), z in zip(found.names, found.at, found.z, strict=True):
        if name.casefold() in seen:
            raise GardenError([Fault("points", f"Two points are called {name!r}; each stake needs its own name.")])
        seen.add(name.casefold())
        known = called.get(name.casefold())
        ident = known.id if known is not None else free_id(stake_id(name)[:50] or "p", taken)
        taken.add(ident)
        high = {} if z is None or levelled else {"level": z}
        stakes[ident] = (known or Stake(id=ident, name=name)).changed(held=True, x=x, y=y, **high)
    said = ["They hold the plan in place from now on: readings move other stakes, not these."]
    if again:
        said.append(
            f"{', '.join(again)} {'was' if len(again) == 1 else 'were'} there already and lie where the file says now."
        )
    return [*change("survey", None, {"stakes": list(stakes.values())}).ops], said


def _spots(garden: Garden, found: Laid) -> list[Op]:
    taken = {s.id for s in garden.spots}
    ops = []
    for name, at in zip(found.names, found.at, strict=True):
        ident = free_id(re.sub(r"[^a-z0-9]+", "-", name.casefold()).strip("-")[:50] or "spot", taken)
        taken.add(ident)
        ops.append(Op(do="put", part="spots", id=ident, value={"id": ident, "name": name, "at": list(at)}))
    return ops


def _heights(garden: Garden, found: Laid) -> tuple[list[Op], list[str]]:
    known = [(n, at, z) for n, at, z in zip(found.names, found.at, found.z, strict=True) if z is not None]
    if not known:
        raise GardenError([Fault("points", "The points have no heights. A third number, or a column z, gives them.")])
    said: list[str] = []
    zero = 0.0
    if not garden.levels.heights and abs(known[0][2]) > 20:
        zero = known[0][2]
        said.append(
            f"Heights are counted from the first point, {known[0][0]}: {format_length(zero, garden.style)} in the file."
        )
    if garden.levels.heights and min(abs(z - float(h.z_m)) for _, _, z in known for h in garden.levels.heights) > 20:
        words = "They lie over 20 m from every height there is: they are counted from another zero. Count both from the same."
        raise GardenError([Fault("points", words)])
    have = {(round(float(h.at[0]), 3), round(float(h.at[1]), 3)) for h in garden.levels.heights}
    new = [{"at": list(at), "z_m": round(z - zero, 3), "words": n} for n, at, z in known if at not in have]
    kept = [plain(h) for h in garden.levels.heights]
    if len(new) < len(known):
        left = len(known) - len(new)
        said.append(f"{counted(left, 'height')} stood there already and {'stays' if left == 1 else 'stay'} as before.")
    if not new:
        raise GardenError([Fault("points", "All those places have a height already.")])
    return [*change("levels", None, {"heights": [*kept, *new]}).ops], said


def becomes() -> tuple[tuple[str, str], ...]:
    """Return what points can become, each with its words: the ground's own first, then the kinds."""
    return (*BECOMES.items(), *((d.kind, d.words) for d in drawables()))


def part_words(brought: Brought) -> tuple[str, ...]:
    """Return the parts of a file in words, with how many points each has."""
    return tuple(f"{capital(g.words)}: {counted(len(g.points), 'point')}" for g in brought.groups)


def asked_of(said: dict[str, Any]) -> Asked:
    """Return what a person asked, from plain text fields; what isn't given is left to the file."""
    only: Sequence[str] = re.split(r"[,;\s]+", str(said.get("only") or "").strip())
    group = said.get("group")
    return Asked(
        unit=str(said.get("unit") or ""), order=str(said.get("order") or ""),
        group=group if isinstance(group, int) and not isinstance(group, bool) else 0,
        become=str(said.get("become") or BOUNDARY), lay=str(said.get("lay") or ""),
        only=tuple(w for w in only if w),
    )  # fmt: skip


__all__ = ["BECOMES", "LAYS", "Asked", "Looked", "asked_of", "becomes", "look", "part_words", "read_file"]
