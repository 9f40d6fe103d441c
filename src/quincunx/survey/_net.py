"""From a stored survey to stakes that have places: numbering, start values, frame, first solution."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import product

import numpy as np

from quincunx.survey._fold import unfolded
from quincunx.survey._gauge import Gauge, capped_at, chi2_at, relax, relax_softly
from quincunx.survey._hinges import bracing, joined
from quincunx.survey._loci import XY
from quincunx.survey._model import ACROSS, AZ, DIST, Row, Rows, evaluate, rows_of, sides_of
from quincunx.survey._normal import Array
from quincunx.survey._reseat import reseated
from quincunx.survey._spread import WAYS, spread_out
from quincunx.survey._start import Draft, Grown, Settle, Sides, grow
from quincunx.survey.accuracy import HANDLING, Handling
from quincunx.survey.readings import Survey

LARGE = 120
"""Above so many rows a shape that fits but for a few readings is taken without looking for another."""
ATTEMPTS = 5
"""How many places are tried to begin from, when what grows from one doesn't fit."""
_PATIENCE = (1, 3)
"""After so many attempts, in a small or a large net, a shape that fits but for a few readings is taken."""
_ENOUGH = 5
"""After so many attempts a shape is taken if one and the same way of beginning led to it twice."""
_FEW = 3
"""How many drafts of one beginning are settled in a large net, whose drafts mostly share their faults."""
_BRACED = 5
"""Two stakes with so many ties to each other can't lie on the wrong hand of each other by a single reading."""


@dataclass(frozen=True, slots=True)
class Net:
    """A survey in numbers: ``ids`` by number, rows, answers to mirror questions, the frame, the places found.

    ``shape`` are the places before the readings that fit badly had their say.
    """

    ids: tuple[str, ...]
    rows: Rows
    sides: tuple[tuple[int, int, int, int], ...]
    gauge: Gauge
    xy: Array
    chi2: float
    untied: frozenset[int]
    handed: bool
    number: dict[str, int] = field(default_factory=dict)
    shape: Array = field(default_factory=lambda: np.zeros((0, 2)))

    def without(self, readings: frozenset[str]) -> Net:
        """Return the net settled anew without the rows of some readings."""
        keep = np.array([row.reading not in readings for row in self.rows.listed], dtype=bool)
        rows = self.rows.only(keep)
        xy, chi2 = relax(rows, self.shape, self.gauge)
        return replace(self, rows=rows, xy=xy, chi2=chi2)


def never() -> bool:
    """Say that what is known is never enough."""
    return False


def net_of(survey: Survey, handling: Handling = HANDLING, enough_known: Callable[[], bool] = never) -> Net:
    """Number the stakes of ``survey``, find start values from its readings and settle them by least squares.

    Other places to begin from are tried until the readings fit or ``enough_known`` says so.
    """
    ids = tuple(sorted(stake.id for stake in survey.stakes))
    if not ids:
        return Net((), Rows.of([]), (), Gauge(0, {}), np.zeros((0, 2)), 0.0, frozenset(), handed=False)
    number = {stake: i for i, stake in enumerate(ids)}
    tools = {tool.id: tool for tool in survey.instruments}
    listed = rows_of(survey.readings, number, tools, survey.declination_deg, handling)
    sides = tuple(sides_of(survey.readings, number))
    fixed = _held(survey, number)
    handed = any(r.kind == AZ or (r.kind == ACROSS and r.value != 0.0) for r in listed) or len(fixed) > 2
    found: list[tuple[_Settled, Gauge, Rows, Grown]] = []
    for attempt, grown in enumerate(_beginnings(listed, len(ids), sides, fixed)):
        gauge = _gauge(survey, number, fixed, listed, grown.drafts[0], frozenset(grown.loose))
        rows = Rows.of([row for row in listed if not set(row.points) & gauge.idle])
        one_hand = grown.oriented or not (handed or sides)
        starts = [start for draft in grown.drafts for start in _framed(draft, rows, gauge, one_hand=one_hand)]
        settled = _settle(starts, rows, sides, gauge, patient=bool(grown.hung))
        found.append((settled, gauge, rows, grown))
        enough = settled.likely and attempt >= _PATIENCE[len(listed) > LARGE]
        done = settled.sound or enough or len(fixed) > 1 or enough_known()
        if done or _found_twice([(f[0], f[3]) for f in found]):
            break
    settled, gauge, rows, _ = min(found, key=lambda f: (len(f[1].idle), f[0].rank))
    xy, chi2 = relax(rows, settled.xy, gauge)
    return Net(ids, rows, sides, gauge, xy, chi2, gauge.idle, handed, number, settled.xy)


def _beginnings(listed: list[Row], count: int, sides: Sides, fixed: Mapping[int, XY]) -> Iterator[Grown]:
    """Yield drafts to settle, each tried only if what came before doesn't fit.

    Stakes are placed one after another, then spread out all at once, then placed again from elsewhere.
    """
    spread = False
    # Where a misreading throws the first stakes about, answers to mirror questions may steer a growth wrong: the
    # first growth goes without them, for the whole plan is tried on both hands afterwards.
    for attempt, asked in product(range(ATTEMPTS), ((), sides) if sides else ((),)):
        yield grow(listed, count, asked, fixed, attempt, _settler(listed, count, fixed) if attempt else None)
        if not spread:
            yield from _spread(listed, count, fixed, WAYS[:2])
            spread = True
    yield from _spread(listed, count, fixed, WAYS[2:])


def _spread(
    listed: list[Row], count: int, fixed: Mapping[int, XY], ways: Sequence[tuple[int, float]]
) -> Iterator[Grown]:
    for rounds, guessed in ways:
        xy = spread_out(listed, count, rounds, guessed) if len(fixed) < 2 else None
        if xy is None:
            return
        yield Grown([Draft({s: (x, y) for s, (x, y) in enumerate(xy.tolist())})], spread=True)


def _found_twice(found: list[tuple[_Settled, Grown]]) -> bool:
    """Tell whether the likeliest shape fits but for a few readings and was found in two ways, or in one twice."""
    best = min((settled for settled, _ in found), key=lambda f: f.rank)
    same = [
        g.spread
        for f, g in found
        if f.rank[:2] == best.rank[:2] and math.isclose(f.rank[2], best.rank[2], rel_tol=1e-4)
    ]
    return best.close and (len(set(same)) > 1 or (len(same) > 1 and len(found) >= _ENOUGH))


def _settler(listed: list[Row], count: int, fixed: Mapping[int, XY]) -> Settle:
    """Return a function that settles what is placed so far; bearings wait until all stakes stand."""
    rows = Rows.of([row for row in listed if row.kind != AZ])

    def settle(at: dict[int, XY]) -> tuple[dict[int, XY], float]:
        placed = np.zeros(count + 1, dtype=bool)
        placed[[*at, count]] = True
        part = rows.only(np.asarray(placed[rows.points].all(axis=1)))
        still = fixed if len(fixed) > 1 else dict(list(at.items())[:1])
        xy = np.zeros((count, 2))
        xy[list(at)] = list(at.values())
        gauge = Gauge(count, still, idle=frozenset(range(count)) - frozenset(at))
        xy = relax_softly(part, xy, gauge, steps=5) if part.listed else xy
        return {s: (float(xy[s, 0]), float(xy[s, 1])) for s in at}, capped_at(part, xy) if part.listed else 0.0

    return settle


def _held(survey: Survey, number: Mapping[str, int]) -> dict[int, tuple[float, float]]:
    return {
        number[s.id]: (float(s.x), float(s.y))
        for s in sorted(survey.stakes, key=lambda s: s.id)
        if s.held and s.x is not None and s.y is not None
    }


def _gauge(
    survey: Survey,
    number: Mapping[str, int],
    fixed: dict[int, tuple[float, float]],
    listed: Sequence[Row],
    draft: Draft,
    loose: frozenset[int],
) -> Gauge:
    count = len(number)
    if len(fixed) >= 2:
        return Gauge(count, fixed, idle=loose)
    held = next((number[s.id] for s in survey.stakes if s.held), None)
    datum = next(iter(fixed), number[survey.datum] if survey.datum else held)
    if datum is None or datum in loose:
        datum = min(draft.at)
    place = fixed.get(datum, (0.0, 0.0))
    if survey.azimuth_deg is None and any(row.kind == AZ for row in listed):
        return Gauge(count, {datum: place}, idle=loose)
    toward = number[survey.toward] if survey.toward else None
    if toward is None or toward == datum or toward in loose:
        tied = {
            p: row.value if row.kind == DIST else 0.0
            for row in listed
            for p in row.points[:2]
            if datum in row.points[:2]
        }
        toward = max(
            sorted(set(draft.at) - {datum}),
            key=lambda s: (s in tied, tied.get(s) or _apart(draft, datum, s)),
            default=None,
        )
    azimuth = math.radians(90.0 if survey.azimuth_deg is None else survey.azimuth_deg)
    return Gauge(count, {datum: place}, toward, (math.sin(azimuth), math.cos(azimuth)), loose)


def _apart(draft: Draft, one: int, other: int) -> float:
    (x, y), (u, v) = draft.at[one], draft.at[other]
    return round(math.hypot(x - u, y - v), 3)


def _framed(draft: Draft, rows: Rows, gauge: Gauge, *, one_hand: bool) -> list[Array]:
    """Bring a draft that lies anywhere into the frame: turned to the held direction or to the bearings."""
    xy = np.zeros((gauge.count, 2))
    for stake, place in draft.at.items():
        xy[stake] = place
    if len(gauge.fixed) >= 2:
        return [xy]
    datum, place = next(iter(gauge.fixed.items()))
    xy = xy - xy[datum]
    hands = [xy]
    if not one_hand:
        hands.append(xy * np.array([-1.0, 1.0]))
    return [gauge.settle(_turned(hand, rows, gauge) + np.array(place)) for hand in hands]


def _turned(xy: Array, rows: Rows, gauge: Gauge) -> Array:
    if gauge.toward is not None:
        x, y = xy[gauge.toward]
        turn = math.atan2(*gauge.direction) - math.atan2(x, y)
    else:
        compass = rows.kind == AZ
        off = evaluate(rows, xy)[0][compass]
        turn = math.atan2(float(np.sin(off).sum()), float(np.cos(off).sum()))
    c, s = math.cos(turn), math.sin(turn)
    return np.stack([xy[:, 0] * c + xy[:, 1] * s, xy[:, 1] * c - xy[:, 0] * s], axis=1)


def wrong_sides(sides: Sequence[tuple[int, int, int, int]], xy: Array) -> int:
    """Return how many answers to mirror questions the places ``xy`` go against."""
    wrong = 0
    for a, b, c, sign in sides:
        d, q = xy[b] - xy[a], xy[c] - xy[a]
        wrong += bool((q[0] * d[1] - q[1] * d[0]) * sign <= 0.0)
    return wrong


def _settle(starts: list[Array], rows: Rows, sides: Sides, gauge: Gauge, *, patient: bool) -> _Settled:
    """Settle the likeliest starts and return the one that fits best; answers to mirror questions count most."""
    ranked = sorted(starts, key=lambda xy: wrong_sides(sides, xy))  # else in the order of the drafts, best first
    shapes: list[Array] = []
    found: list[_Settled] = []
    most = _FEW if len(rows.listed) > LARGE else 24 if patient else 6
    for start in ranked[:most]:
        if any(float(np.abs(shape - start).max()) < 0.05 for shape in shapes):
            continue
        shapes.append(start)
        found.append(_settled(start, rows, sides, gauge))
        enough = 1 if len(rows.listed) > LARGE and found[-1].handless else 2
        if found[-1].sound or (len(shapes) >= enough and any(f.likely for f in found)):
            break
    return min(found, key=lambda f: f.rank)


@dataclass(frozen=True, slots=True)
class _Settled:
    """A shape; ``good`` fits throughout, ``likely`` fits but for a few readings that share no stake.

    ``handless`` if those that don't fit are plain tapes, so that the other hand would fit no better; ``close`` if
    they are no more than one in ten and the others fit; ``sound`` if all fits, or if they are plain tapes whose ends
    are well held to each other by the readings that fit.
    """

    xy: Array
    rank: tuple[int, int, float]
    good: bool
    likely: bool
    handless: bool
    close: bool
    sound: bool


def _settled(start: Array, rows: Rows, sides: Sides, gauge: Gauge) -> _Settled:
    """Settle one start; where readings fit badly, shapes that leave few of them far out are looked for."""
    spare = max(len(rows.listed) - int(gauge.columns.size), 0)
    enough = spare + 3.0 * math.sqrt(2.0 * spare)
    xy = relax_softly(rows, start, gauge)
    capped = capped_at(rows, xy)
    if capped > enough or _strays(rows, xy)[0]:
        xy = reseated(rows, xy, capped, sides, gauge)
        capped = capped_at(rows, xy)
    far, likely = _strays(rows, xy)
    if (capped > enough or far) and not (likely and len(rows.listed) > LARGE):
        hard, _ = relax(rows, start, gauge)
        hard = reseated(rows, hard, capped_at(rows, hard), sides, gauge)
        if capped_at(rows, hard) < capped - 1e-6:
            xy, capped = hard, capped_at(rows, hard)
    if _strays(rows, xy)[0]:
        flat = unfolded(rows, xy, gauge)
        if wrong_sides(sides, flat) <= wrong_sides(sides, xy):
            xy, capped = flat, capped_at(rows, flat)
    far, likely = _strays(rows, xy)
    wrong = wrong_sides(sides, xy)
    rank = (wrong, round(capped / 2.0), round(chi2_at(rows, xy), 3))
    plain = not (np.abs(evaluate(rows, xy)[0]) > 5.0 * rows.sd)[rows.kind != DIST].any()
    likely = likely and not wrong
    good = not (wrong or far) and capped <= enough
    close = not wrong and far <= max(1, len(rows.listed) // 10) and capped - 16.0 * far <= enough
    sound = good or (close and bool(plain) and _braced(rows, xy, gauge))
    return _Settled(xy, rank, good, likely, likely and bool(plain), close, sound)


def _braced(rows: Rows, xy: Array, gauge: Gauge) -> bool:
    """Tell whether the ends of each reading far out are well held to each other by those that fit."""
    far = (np.abs(evaluate(rows, xy)[0]) > 5.0 * rows.sd).tolist()
    near = joined([row for row, out in zip(rows.listed, far, strict=True) if not out], gauge)
    across = [row.points[:2] for row, out in zip(rows.listed, far, strict=True) if out]
    return all(bracing(near, p, q, _BRACED) >= _BRACED for p, q in across)


def _strays(rows: Rows, xy: Array) -> tuple[int, bool]:
    """Count the rows far out, and tell whether they look like single misreadings: few, no stake in two of them."""
    far = np.abs(evaluate(rows, xy)[0]) > 5.0 * rows.sd
    touched = rows.points[far].ravel()
    touched = touched[touched >= 0]
    return int(far.sum()), bool(far.sum() <= 4 and len(np.unique(touched)) == len(touched))
