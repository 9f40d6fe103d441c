"""Off-cuts worth keeping, from one job to the next: what is left over is sawn first, before anything is bought.

Pieces go into left-overs longest first, each into the shortest that still holds it (best fit decreasing; D. Johnson,
Near-optimal bin packing algorithms, MIT 1973; from memory).  Fewer pieces then have to be sawn from what is bought, so
that it never costs more than without.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

KEPT_M = 0.5
"""A length left over is worth keeping from here on [m] (common practice, no source)."""
MOST = 400
"""No more left-overs than this are looked through for one item."""
GRID = 10_000
"""Lengths are counted in tenths of a millimetre, as in cutting."""


@dataclass(frozen=True, slots=True)
class Left:
    """``count`` left-overs of ``item``: their length, for sheets their width too [m], and the job that left them."""

    item: str
    length_m: float
    count: int
    source: str = ""
    wide_m: float = 0.0


@dataclass(frozen=True, slots=True)
class Reused:
    """``count`` left-overs sawn alike into pieces (index of the piece, how many), leaving ``left_m`` of each [m]."""

    left: Left
    cuts: tuple[tuple[int, int], ...]
    count: int
    left_m: float


def sawn_first(
    pieces: Sequence[tuple[float, int]], left: Sequence[Left], saw_m: float
) -> tuple[tuple[Reused, ...], list[int]]:
    """Return what is sawn from ``left`` of ``pieces`` (length [m], count), and how many of each are still wanted."""
    saw, rest = round(saw_m * GRID), [n for _, n in pieces]
    bins = [(one, round(one.length_m * GRID) + saw) for one in left for _ in range(one.count)][:MOST]
    rooms, cuts = [room for _, room in bins], [dict[int, int]() for _ in bins]
    for i in sorted(range(len(pieces)), key=lambda i: -pieces[i][0]):
        need = round(pieces[i][0] * GRID) + saw
        while rest[i] > 0:
            fit = min((k for k, room in enumerate(rooms) if room >= need), key=lambda k: (rooms[k], k), default=None)
            if fit is None:
                break
            rooms[fit] -= need
            cuts[fit][i] = cuts[fit].get(i, 0) + 1
            rest[i] -= 1
    out: dict[tuple[Left, tuple[tuple[int, int], ...]], Reused] = {}
    for (one, _), room, sawn in zip(bins, rooms, cuts, strict=True):
        if sawn:
            key = (one, tuple(sorted(sawn.items())))
            had = out.get(key)
            now = Reused(one, key[1], 1, max(room - saw, 0) / GRID)
            out[key] = now if had is None else replace(had, count=had.count + 1)
    return tuple(out.values()), rest


def still_left(left: Sequence[Left], used: Sequence[tuple[Left, int]]) -> list[Left]:
    """Return left-overs less those ``used`` (each with how many of it)."""
    gone: dict[Left, int] = {}
    for one, count in used:
        gone[one] = gone.get(one, 0) + count
    return [replace(one, count=one.count - gone.get(one, 0)) for one in left if one.count > gone.get(one, 0)]


def gathered(left: Sequence[Left]) -> tuple[Left, ...]:
    """Return left-overs of one size and job counted together (to the millimetre), the shortest first."""
    found: dict[tuple[str, int, int, str], Left] = {}
    for one in left:
        key = (one.item, round(one.length_m * 1000), round(one.wide_m * 1000), one.source)
        had = found.get(key)
        found[key] = one if had is None else replace(had, count=had.count + one.count)
    return tuple(sorted(found.values(), key=lambda x: (x.item, x.length_m * (x.wide_m or 1.0), x.source)))
