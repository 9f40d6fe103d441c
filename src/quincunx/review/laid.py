"""Taped stakes laid on the plan that was drawn before: which corner of the boundary is each, and how they lie on it.

Tapes alone fix a shape and neither where it lies nor how it is turned.  Whoever drew the ground first, roughly, and then
taped it has said both already: the drawn corners say them.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from string import ascii_lowercase

from quincunx.garden import Edit, Garden, change
from quincunx.review.ground import Measured, measure
from quincunx.shapes import XY
from quincunx.survey.begun import told
from quincunx.survey.words import small
from quincunx.units import compass_words, listed

LEAST = 3
"""Stakes that must fall on corners before anything is said: two would fit in many ways (our own choice, as are those below)."""
NEAR_M, NEAR_SHARE = 0.6, 0.03
"""How far a taped stake may lie from a corner that was drawn by eye: metres, or a share of the ground's extent."""
MOST = 24
"""Stakes and corners that are tried; with more, a plan was hardly drawn by eye."""
LIES_M = 0.02
"""Stakes that lie nearer than this where they would be laid lie there already [m]."""
SAID = 3
"""Readings of a hand that are named."""
WAYS = 2
"""A rectangle can be laid on itself in two ways."""


@dataclass(frozen=True, slots=True)
class Laid:
    """One way for the stakes to lie: ``corners`` by stake, ``datum`` on its corner ``at``, ``toward`` along ``azimuth_deg``.

    ``within_m`` is how far the stake that fits least then lies from its corner [m].
    """

    corners: Mapping[str, int]
    datum: str
    toward: str
    at: XY
    azimuth_deg: float
    within_m: float


def ways_to_lie(garden: Garden, m: Measured | None = None) -> tuple[Laid, ...]:
    """Return the ways in which the measured stakes fall on the boundary as drawn, the best first.

    Empty where something else says how they lie (held stakes, a bearing, a direction), where they lie so already, and
    where fewer than three stakes fall on corners.  Stakes called as the corners that began the garden lie on those.
    """
    if _told(garden) or not LEAST <= len(garden.boundary) <= MOST:
        return ()
    m = m or measure(garden)
    if not LEAST <= len(m.places) <= MOST:
        return ()
    ways = _ways(m.places, garden)
    if _over(m.places, ways, garden):
        return ()
    ways = [w for w in ways if _by_letters(garden, m, w)] or ways
    if not ways or _moved_m(m.places, ways[0]) < (NEAR_M if lies_as_begun(m) else LIES_M):
        return ()
    best = ways[0]
    near = [w for w in ways if len(w.corners) == len(best.corners) and w.within_m <= 2 * best.within_m + 0.1]
    return tuple(near[:WAYS])


def turned_over(garden: Garden, m: Measured | None = None) -> str:
    """Return one sentence where the stakes fall on the drawn boundary only as their own mirror image; else nothing.

    Tapes fix no hand: one answer to *left or right* given the wrong way turns all that was taped over.
    """
    if _told(garden) or not LEAST <= len(garden.boundary) <= MOST:
        return ""
    m = m or measure(garden)
    if not LEAST <= len(m.places) <= MOST:
        return ""
    over = _over(m.places, _ways(m.places, garden), garden)
    if over is None:
        return ""
    return (
        f"Turned over like a glove, {len(over.corners)} stakes would have the shape of the boundary as it is drawn, all"
        f" within {small(max(over.within_m, 0.001), m.style)}; as they lie now they have not. {_hand_words(m)}"
    )


def _hand_words(m: Measured) -> str:
    """Return what decides on which hand the stakes lie, and what to do about it."""
    if m.searched.adjusted.questions:
        return "Answer what is asked of left and right first: that decides it."
    lines = [
        f"“{m.names[r.start]}>{m.names[r.end]} sees {m.names[r.point]} {r.side}”"
        for r in m.survey.readings
        if r.type == "seen"
    ]
    again = f"Look again at {listed(lines[:SAID])}" if lines else "Look again at what was read to the left or right"
    return f"{again}. If that is right, the boundary is drawn the wrong way round."


def _ways(places: Mapping[str, XY], garden: Garden) -> list[Laid]:
    """Return every way in which three stakes or more fall on corners of the boundary, the best first."""
    return list(_searched(tuple(places.items()), tuple((float(x), float(y)) for x, y in garden.boundary)))


@lru_cache(maxsize=4)
def _searched(stakes: tuple[tuple[str, XY], ...], drawn: tuple[XY, ...]) -> tuple[Laid, ...]:
    """Return every way; a look at the ground asks twice for the stakes as they are, and twice turned over."""
    places = dict(stakes)
    found: dict[tuple[tuple[str, int], ...], Laid] = {}
    for corners in _matches(places, drawn):
        found[tuple(sorted(corners.items()))] = _laid(places, drawn, corners)
    return tuple(sorted(found.values(), key=lambda w: (-len(w.corners), round(w.within_m, 3), w.corners[w.datum])))


def lies_as_begun(m: Measured) -> bool:
    """Tell whether the stakes lie as the corners of the same letters did when the garden was begun."""
    return any(f.joined for f in m.firsts)


def _by_letters(garden: Garden, m: Measured, way: Laid) -> bool:
    """Tell whether stakes called as the corners that began the garden lie on those corners, and on no others."""
    first = [(float(x), float(y)) for x, y in garden.survey.begun.corners]
    if not lies_as_begun(m):
        return True
    same = len(first) == len(garden.boundary)

    def number(k: int) -> int:
        return k if same else min(range(len(first)), key=lambda i: math.dist(first[i], garden.boundary[k]))

    letters = list(ascii_lowercase[: len(first)])  # a stake called “ab” is none of them
    return all(number(k) == letters.index(name) for name, k in way.corners.items() if name in letters)


def _over(places: Mapping[str, XY], ways: Sequence[Laid], garden: Garden) -> Laid | None:
    """Return how the mirror image of the stakes lies on the boundary where it takes in more corners; else None."""
    over = _ways({name: (x, -y) for name, (x, y) in places.items()}, garden)
    fewer, more = (len(found[0].corners) if found else 0 for found in (ways, over))
    told = more > fewer and (more > LEAST or more == len(garden.boundary))
    return over[0] if told else None


def _told(garden: Garden) -> bool:
    """Whether something says already how the stakes lie on the plan."""
    return told(garden.survey)


def _matches(places: Mapping[str, XY], drawn: Sequence[XY]) -> Iterator[dict[str, int]]:
    """Yield stakes by the corners they fall on, for each side of the ground that two stakes are as far apart as."""
    tol = max(NEAR_M, NEAR_SHARE * max(math.dist(p, q) for p in drawn for q in drawn))
    names = sorted(places)
    for i, p in enumerate(drawn):
        j = (i + 1) % len(drawn)
        side = math.dist(p, drawn[j])
        for a in names:
            for b in names:
                if a == b or abs(math.dist(places[a], places[b]) - side) > tol:
                    continue
                corners = _fallen(places, drawn, {a: i, b: j}, tol)
                if len(corners) >= LEAST:
                    yield corners


def _fallen(places: Mapping[str, XY], drawn: Sequence[XY], base: Mapping[str, int], tol: float) -> dict[str, int]:
    """Return the corners on which stakes fall, one each, when two of them are laid on a side."""
    (a, i), (b, j) = base.items()
    turn = _direction(drawn[i], drawn[j]) - _direction(places[a], places[b])
    near = sorted(
        (math.dist(laid, corner), name, k)
        for name, laid in ((n, _turned(p, places[a], drawn[i], turn)) for n, p in places.items())
        for k, corner in enumerate(drawn)
    )
    out: dict[str, int] = {}
    for apart, name, k in near:
        if apart <= tol and name not in out and k not in out.values():
            out[name] = k
    return out


def _laid(places: Mapping[str, XY], drawn: Sequence[XY], corners: Mapping[str, int]) -> Laid:
    """Return how the stakes lie when the first by name stands on its corner and the others turn to theirs."""
    datum = min(corners)
    start, at = places[datum], drawn[corners[datum]]
    toward = max(sorted(set(corners) - {datum}), key=lambda n: math.dist(places[n], start))
    across = along = 0.0
    for name, k in corners.items():
        (x, y), (u, v) = _less(places[name], start), _less(drawn[k], at)
        across, along = across + x * v - y * u, along + x * u + y * v
    turn = math.atan2(across, along)
    within = max(math.dist(_turned(places[n], start, at, turn), drawn[k]) for n, k in corners.items())
    azimuth = 90.0 - math.degrees(_direction(start, places[toward]) + turn)
    return Laid(dict(corners), datum, toward, at, azimuth % 360.0, within)


def _moved_m(places: Mapping[str, XY], way: Laid) -> float:
    """Return how far the stake that moves most would move [m]."""
    start = places[way.datum]
    turn = math.radians(90.0 - way.azimuth_deg) - _direction(start, places[way.toward])
    return max(math.dist(p, _turned(p, start, way.at, turn)) for p in places.values())


def _direction(p: XY, q: XY) -> float:
    return math.atan2(q[1] - p[1], q[0] - p[0])


def _less(p: XY, q: XY) -> XY:
    return (p[0] - q[0], p[1] - q[1])


def _turned(p: XY, about: XY, to: XY, turn: float) -> XY:
    """Return ``p`` turned about ``about`` by ``turn`` [rad, anticlockwise], with ``about`` brought to ``to``."""
    (x, y), c, s = _less(p, about), math.cos(turn), math.sin(turn)
    return (to[0] + c * x - s * y, to[1] + s * x + c * y)


def laid_words(garden: Garden, m: Measured, way: Laid) -> str:
    """Return in one sentence which corners the stakes are and how near they come."""
    corner, other = (f"the {_corner(garden, way.corners[n])} corner" for n in (way.datum, way.toward))
    names, far = m.names, small(max(way.within_m, 0.001), m.style)
    return (
        f"{len(way.corners)} stakes have the shape of the boundary as it is drawn, all within {far}, with"
        f" {names[way.datum]} at {corner} and {names[way.toward]} at {other}."
    )


def _corner(garden: Garden, k: int) -> str:
    """Return on which side of the ground's middle a corner lies; its number where two lie on one side."""
    ring = [(float(x), float(y)) for x, y in garden.boundary]
    xs, ys = zip(*ring, strict=True)
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    sides = [compass_words(90.0 - math.degrees(_direction(middle, p))) for p in ring]
    if sides.count(sides[k]) == 1:
        return sides[k]
    out = max((i for i, s in enumerate(sides) if s == sides[k]), key=lambda i: math.dist(middle, ring[i]))
    return sides[k] if out == k else f"inner {sides[k]}"


def lay_edit(garden: Garden, n: int = 0) -> Edit | None:
    """Return the edit that lays the stakes on the plan in the ``n``-th of the ways; None where there is none such."""
    ways = ways_to_lie(garden)
    if not 0 <= n < len(ways):
        return None
    way = ways[n]
    x, y = (round(v, 3) for v in way.at)
    stakes = [s.changed(held=True, x=x, y=y) if s.id == way.datum else s for s in garden.survey.stakes]
    fields = {
        "stakes": stakes,
        "datum": way.datum,
        "toward": way.toward,
        "azimuth_deg": round(way.azimuth_deg, 4) % 360.0,
    }
    return change("survey", None, fields, "Lay the stakes on the plan")
