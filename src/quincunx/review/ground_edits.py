"""Readings typed in, and the boundary drawn through stakes: each one edit that can be undone."""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence
from typing import Any

from quincunx.garden import Edit, Garden, GardenError, Op, change
from quincunx.garden.reading import Fault
from quincunx.review.from_stakes import places
from quincunx.review.ground import measure
from quincunx.survey import Instrument, Problem, Reading, Stake, Survey, names_in, parse_lines, points_of, stake_id
from quincunx.survey.entry import KINDS_OF_TOOL
from quincunx.units import capital

TAPES = ("tape", "laser")
TAPED = ("distance", "slope_distance", "offset", "wall_distance")
"""Types of reading that are taken with a tape."""


def with_readings(garden: Garden, text: str, label: str = "") -> tuple[Edit | None, tuple[Problem, ...]]:
    """Return the one edit that adds the readings in ``text`` (a line each), and the lines that couldn't be read.

    Stakes named for the first time are added with them.  None where no line holds a reading.
    """
    survey = garden.survey
    taken = [int(r.id[1:]) for r in survey.readings if r.id[:1] == "r" and r.id[1:].isdecimal()]
    new, problems = parse_lines(text, garden.style, max(taken, default=0) + 1, named_stakes(garden))
    if not new:
        return None, problems
    new, tools = _with_named_tools(garden, new)
    new = _with_the_tape(garden, new)
    known = {s.id for s in survey.stakes}
    written = _written_names(text)
    stakes = [Stake(id=i, name=written.get(i, i.upper())) for i in names_in(new) if i not in known]
    fields: dict[str, Any] = {"stakes": [*survey.stakes, *stakes], "readings": [*survey.readings, *new]}
    if tools:
        fields["instruments"] = [*survey.instruments, *tools]
    words = label or f"Add {len(new)} reading{'s' if len(new) > 1 else ''}"
    return change("survey", None, fields, words), problems


def without(survey: Survey, gone: Collection[str]) -> Survey:
    """Return a survey without some readings, by id, and without stakes that nothing else places or names."""
    kept = [r for r in survey.readings if r.id not in gone]
    used = {p for r in kept for p in points_of(r)} | {survey.datum, survey.toward}
    loose = {p for r in survey.readings if r.id in gone for p in points_of(r) if p not in used}
    stakes = [s for s in survey.stakes if s.id not in loose or s.held or s.x is not None or s.level is not None]
    return survey.changed(stakes=stakes, readings=kept)


def named_stakes(garden: Garden) -> tuple[str, ...]:
    """Return what stakes may be called in a line: their ids, and the names that come to the same."""
    stakes = garden.survey.stakes
    return (*(s.id for s in stakes), *(s.name for s in stakes if s.name and stake_id(s.name) == s.id))


def _with_named_tools(garden: Garden, new: Sequence[Reading]) -> tuple[tuple[Reading, ...], tuple[Instrument, ...]]:
    """Return readings whose instruments, named by their kind, are those of the garden, and the instruments to add."""
    known = {t.id: t.id for t in garden.survey.instruments}
    first = {t.kind: t.id for t in reversed(garden.survey.instruments)}
    added: dict[str, Instrument] = {}
    for name in sorted({r.instrument for r in new if r.instrument} - set(known)):
        kind = name.replace("-", "_")
        if kind in first:
            known[name] = first[kind]
        elif kind in KINDS_OF_TOOL:
            known[name] = name
            added[name] = Instrument(id=name, name=capital(name.replace("-", " ")), kind=kind)  # type: ignore[arg-type]
    taken = [r.changed(instrument=known[r.instrument]) if r.instrument in known else r for r in new]
    return tuple(taken), tuple(added.values())


def _with_the_tape(garden: Garden, new: Sequence[Reading]) -> tuple[Reading, ...]:
    """Return readings, those that were taped and name no instrument as taken with the one tape there is."""
    tapes = [t for t in garden.survey.instruments if t.kind in TAPES]
    if len(tapes) != 1:
        return tuple(new)
    return tuple(r.changed(instrument=tapes[0].id) if r.type in TAPED and r.instrument is None else r for r in new)


def taken_with(garden: Garden, instrument: str) -> Edit | None:
    """Return the edit that has every taped reading that names no instrument taken with one; None if none is left."""
    tool = next((t for t in garden.survey.instruments if t.id == instrument), None)
    if tool is None:
        raise GardenError([Fault("survey → instruments", "That instrument is no longer there.")])
    readings = [
        r.changed(instrument=tool.id) if r.type in TAPED and r.instrument is None else r for r in garden.survey.readings
    ]
    if readings == list(garden.survey.readings):
        return None
    return change("survey", None, {"readings": readings}, f"Readings taken with {tool.name}")


def _written_names(text: str) -> dict[str, str]:
    """Return the stakes' names as they were written first, by id."""
    out: dict[str, str] = {}
    for line in text.splitlines():
        for word in re.findall(r"[A-Za-z][A-Za-z0-9.]*", line.split("#")[0]):
            out.setdefault(stake_id(word), word)
    return out


def boundary_edit(garden: Garden, stakes: Sequence[str]) -> Edit:
    """Return the one edit that draws the boundary through ``stakes`` (names or ids, in order round the ground).

    :class:`GardenError` names a stake that is not there or has no place yet.
    """
    points = [[round(v, 3) for v in at] for at in places(measure(garden), stakes)]
    if len(points) < 3:
        raise GardenError([Fault("boundary", f"A boundary needs three stakes or more; got {len(points)}.")])
    return Edit(label=f"Boundary from {len(points)} stakes", ops=(Op(do="put", part="boundary", value=points),))
