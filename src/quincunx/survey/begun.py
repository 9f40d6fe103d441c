"""The lengths that began the garden, put together with what was taped later.

They name corners by letters; a length is joined to the readings once both its corners are stakes.  Where it can't be
told which of two readings of one line is wrong, the later counts: it is the finer, and was taken to check the first.

The corners they made say how the stakes lie, and on which hand, where nothing else does: tapes alone fix neither.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass
from itertools import combinations
from string import ascii_lowercase
from typing import Any

from quincunx.survey._model import true_length_m
from quincunx.survey.accuracy import SURE, begun_sd_m, tape_sd_m
from quincunx.survey.misread import Searched, Suspect
from quincunx.survey.readings import Bearing, Begun, Distance, Seen, Side, Survey, points_of
from quincunx.units.fields import Length
from quincunx.units.length import written_step_m
from quincunx.units.style import Style

XY = tuple[float, float]
MOVED_M = 0.005
"""A corner drawn no farther than this from where it was is the same: plans lie on a grid of millimetres [m]."""
Search = Callable[[Survey], Searched]
"""Looks for misreadings in a survey."""


@dataclass(frozen=True, slots=True)
class First:
    """A length that began the garden, beside what was taped of it ``since``, if anything was.

    ``apart_m`` is the first less the later [m], ``allowed_m`` how far two such readings may differ [m].  ``joined`` if
    it counts where the stakes are; ``said_m`` what the other readings say it is, where it doesn't fit them [m];
    ``later_wrong`` if it is the later one that doesn't fit.
    """

    begun: Distance
    since: Distance | None
    apart_m: float | None
    allowed_m: float
    joined: bool
    said_m: float | None = None
    later_wrong: bool = False

    @property
    def agrees(self) -> bool:
        """Tell whether nothing speaks against it: what was taped since agrees, or nothing was."""
        return self.said_m is None and (self.apart_m is None or abs(self.apart_m) <= self.allowed_m)


def begun(
    corners: Sequence[tuple[Length, Length]], sides: Sequence[Length], diagonal: Length | None, style: Style
) -> Begun:
    """Return the sides, and the diagonal from the first corner to the third if any, as the lengths that began a garden."""
    names = list(ascii_lowercase[: len(sides)])
    taped = list(zip(zip(names, [*names[1:], names[0]], strict=True), sides, strict=True))
    if diagonal is not None:
        taped.append(((names[0], names[2]), diagonal))
    lengths = [
        Distance(id=f"begun-{p}-{q}", start=p, end=q, length=length, accuracy=Length(first_sd_m(length, style)))
        for (p, q), length in taped
    ]
    return Begun(corners=tuple(corners), lengths=tuple(lengths))


def first_sd_m(length: Length, style: Style) -> float:
    """Return the standard deviation [m] of a length that begins a garden: no better than it is written."""
    return begun_sd_m(float(length), written_step_m(length.typed, style) if length.typed else 0.0)


def search_with_begun(survey: Survey, search: Search) -> tuple[Searched, tuple[First, ...]]:
    """Search a survey together with the lengths that began its garden, and return what became of each.

    The suspects returned are readings only.  Lengths most of which differ from what was taped between stakes of those
    names are not joined: the stakes are then other points than the corners.
    """
    with_stakes = _with_stakes(survey)
    joined = with_stakes if _same_points(survey, with_stakes) else ()
    found = search(_put_together(survey, joined))
    while (tie := _undecided(survey, found, joined)) is not None:
        joined = tuple(d for d in joined if d is not tie)
        found = search(_put_together(survey, joined))
    ids = {d.id for d in survey.begun.lengths}
    own = tuple(s for s in found.suspects if s.reading not in ids)
    bad = {s.reading: s for s in found.suspects}
    firsts = tuple(_first(survey, d, bad, joined=d in joined) for d in survey.begun.lengths)
    return Searched(found.adjusted, own), firsts


def _with_stakes(survey: Survey) -> tuple[Distance, ...]:
    known = {s.id for s in survey.stakes}
    return tuple(d for d in survey.begun.lengths if {d.start, d.end} <= known)


def _same_points(survey: Survey, lengths: Sequence[Distance]) -> bool:
    twice = [f for d in lengths if (f := _first(survey, d, {}, joined=False)).since is not None]
    return 2 * sum(not f.agrees for f in twice) <= len(twice)


def _put_together(survey: Survey, lengths: Sequence[Distance]) -> Survey:
    """Return the survey with the first lengths as readings, lying as its garden was begun unless something else holds it."""
    if not lengths:
        return survey
    at = corners_of(survey.begun, {name for d in lengths for name in (d.start, d.end)})
    return survey.changed(
        readings=(*survey.readings, *_hands(survey, at), *lengths),
        begun=Begun(),
        **({} if told(survey) else _lying(survey, at)),
    )


def moved(corners: Mapping[str, XY], ring: Sequence[XY], places: Mapping[str, XY] | None = None) -> tuple[str, ...]:
    """Return the letters of the corners a garden began with that its boundary no longer has there.

    A corner that was drawn anew where its stake is found (``places`` by letter) is the same one.  All distances [m].
    """
    now = dict(zip(ascii_lowercase, ring, strict=False))
    stays = {
        letter
        for letter, at in corners.items()
        if letter in now and min(math.dist(now[letter], was) for was in (at, (places or {}).get(letter, at))) <= MOVED_M
    }
    return tuple(sorted(set(corners) - stays))


def told(survey: Survey) -> bool:
    """Tell whether something other than its first lengths says how a survey lies."""
    held = any(s.held and s.x is not None for s in survey.stakes)
    return held or survey.azimuth_deg is not None or any(isinstance(r, Bearing) for r in survey.readings)


def corners_of(begun: Begun, names: Collection[str]) -> dict[str, XY]:
    """Return the corners the garden began with [m], by the letters of those asked for."""
    lettered = zip(ascii_lowercase, begun.corners, strict=False)
    return {letter: (float(x), float(y)) for letter, (x, y) in lettered if letter in names}


def _lying(survey: Survey, at: Mapping[str, XY]) -> dict[str, Any]:
    """Return what holds the first of the corners where it was drawn, and the line from it to the farthest as it ran."""
    if len(at) < 2:
        return {}
    datum = survey.datum if survey.datum is not None and survey.datum in at else min(at)
    (x, y), toward = at[datum], max(sorted(set(at) - {datum}), key=lambda n: math.dist(at[n], at[datum]))
    azimuth = math.degrees(math.atan2(at[toward][0] - x, at[toward][1] - y)) % 360.0
    stakes = [s.changed(held=True, x=Length(x), y=Length(y)) if s.id == datum else s for s in survey.stakes]
    return {"stakes": stakes, "datum": datum, "toward": toward, "azimuth_deg": round(azimuth, 6) % 360.0}


def _hands(survey: Survey, at: Mapping[str, XY]) -> list[Seen]:
    """Return on which hand the corners lie, seen along the longest line between two, unless it was said of any of them."""
    asked = {p for r in survey.readings if isinstance(r, Seen) for p in points_of(r)}
    names = sorted(at)
    if asked & set(names) or len(names) < 3:
        return []
    start, end = max(combinations(names, 2), key=lambda ab: math.dist(at[ab[0]], at[ab[1]]))
    out = []
    for point in names:
        (x, y), (u, v), (p, q) = at[start], at[end], at[point]
        left = (u - x) * (q - y) - (v - y) * (p - x)
        if point not in (start, end) and left:
            side: Side = "left" if left > 0.0 else "right"
            out.append(Seen(id=f"begun-{start}-{end}-{point}", start=start, end=end, point=point, side=side))
    return out


def _undecided(survey: Survey, found: Searched, joined: Sequence[Distance]) -> Distance | None:
    """Return a first length of which, or of its later reading, nobody can tell which is wrong; None if there is none."""
    for suspect in found.suspects:
        alike = {suspect.reading, *suspect.together}
        for d in joined:
            later = {r.id for r in between(survey, d)}
            if d.id in alike and later & alike:
                return d
    return None


def between(survey: Survey, length: Distance) -> list[Distance]:
    """Return the tapes between the two ends of a length, in the order they were put in."""
    ends = {length.start, length.end}
    return [r for r in survey.readings if isinstance(r, Distance) and {r.start, r.end} == ends]


def _first(survey: Survey, d: Distance, bad: dict[str, Suspect], *, joined: bool) -> First:
    taped = between(survey, d)
    since = next((r for r in reversed(taped) if r.id not in bad), taped[-1] if taped else None)
    own = float(d.accuracy or begun_sd_m(float(d.length)))
    said = abs(bad[d.id].likely) if d.id in bad else None
    if since is None:
        return First(d, None, None, SURE * own, joined, said)
    tool = next((t for t in survey.instruments if t.id == since.instrument), None)
    later = true_length_m(float(since.length), tool)
    sd = float(since.accuracy) if since.accuracy is not None else tape_sd_m(later, tool)
    allowed = SURE * math.hypot(own, sd)
    return First(d, since, float(d.length) - later, allowed, joined, said, later_wrong=since.id in bad)
