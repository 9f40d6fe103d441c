"""Random networks of taped stakes, seeded: the same seed gives the same garden and the same slips."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import numpy as np

from quincunx.survey._gauge import normals
from quincunx.survey._model import DIST
from quincunx.survey._normal import inverse
from quincunx.survey.network import Adjusted, adjust
from quincunx.survey.readings import Distance, Offset, Reading, Stake, Survey
from quincunx.units.fields import Length

Truth = dict[str, tuple[float, float]]


def random_truth(rng: np.random.Generator, stakes: int, size_m: float, apart_m: float = 2.0) -> Truth:
    """Scatter ``stakes`` over a square of ``size_m``, no two nearer than ``apart_m``."""
    places: list[tuple[float, float]] = []
    while len(places) < stakes:
        x, y = (float(v) for v in rng.uniform(0.0, size_m, 2))
        if all(math.hypot(x - u, y - v) >= apart_m for u, v in places):
            places.append((x, y))
    return {f"s{i:02d}": place for i, place in enumerate(places)}


def taped(rng: np.random.Generator, truth: Truth, pairs: list[tuple[str, str]], sd_m: float) -> list[Reading]:
    """Tape the ``pairs`` with a normal error of ``sd_m``, written in metres to the centimetre grid's third place."""
    out: list[Reading] = []
    for i, (a, b) in enumerate(pairs):
        read = math.dist(truth[a], truth[b]) + float(rng.normal(0.0, sd_m))
        out.append(Distance(id=f"t{i:03d}", start=a, end=b, length=Length(read, f"{read:.3f}"), accuracy=Length(sd_m)))
    return out


def nearest_pairs(truth: Truth, want: int, each: int = 4) -> list[tuple[str, str]]:
    """Return about ``want`` pairs: each stake to its nearest ``each``, then the shortest pairs that are left."""
    ids = sorted(truth)
    far: Callable[[tuple[str, str]], tuple[float, tuple[str, str]]] = lambda p: (math.dist(truth[p[0]], truth[p[1]]), p)  # noqa: E731
    chosen: set[tuple[str, str]] = set()
    for a in ids:
        for _, b in sorted((math.dist(truth[a], truth[b]), b) for b in ids if b != a)[:each]:
            chosen.add((min(a, b), max(a, b)))
    rest = sorted(((a, b) for i, a in enumerate(ids) for b in ids[i + 1 :] if (a, b) not in chosen), key=far)
    return sorted(chosen | set(rest[: max(0, want - len(chosen))]))


def network(
    seed: int, stakes: int = 12, readings: int = 36, size_m: float = 25.0, sd_m: float = 0.01
) -> tuple[Survey, Truth]:
    """Return a random survey of ``stakes`` and about ``readings``, with its truth; a twentieth are offsets."""
    rng = np.random.default_rng(seed)
    truth = random_truth(rng, stakes, size_m)
    offsets = readings // 20
    pairs = nearest_pairs(truth, readings - offsets)
    listed = taped(rng, truth, pairs, sd_m)
    listed += _offsets(rng, truth, offsets, sd_m)
    ids = sorted(truth)
    survey = Survey(stakes=tuple(Stake(id=s, name=s.upper()) for s in ids), readings=tuple(listed), datum=ids[0])
    return survey, truth


def _offsets(rng: np.random.Generator, truth: Truth, count: int, sd_m: float) -> list[Reading]:
    ids, out = sorted(truth), []
    while len(out) < count:
        a, b, p = (ids[int(k)] for k in rng.choice(len(ids), 3, replace=False))
        (ax, ay), (bx, by), (px, py) = truth[a], truth[b], truth[p]
        size = math.hypot(bx - ax, by - ay)
        along = ((px - ax) * (bx - ax) + (py - ay) * (by - ay)) / size
        right = ((px - ax) * (by - ay) - (py - ay) * (bx - ax)) / size
        if not (0.5 < along < size and 0.3 < abs(right) < 4.0):
            if rng.random() < 0.02:
                break
            continue
        side = "right" if right > 0 else "left"
        along += float(rng.normal(0.0, math.hypot(sd_m, math.radians(1.5) * right)))
        off = abs(right + float(rng.normal(0.0, math.hypot(sd_m, 0.01))))
        out.append(
            Offset(
                id=f"o{len(out):02d}",
                start=a,
                end=b,
                along=Length(along, f"{along:.3f}"),
                side=side,
                offset=Length(off, f"{off:.3f}"),
                point=p,
                accuracy=Length(sd_m),
            )
        )
    return out


def qualifying(adjusted: Adjusted) -> list[tuple[str, float]]:
    """Return (reading, standard deviation over root redundancy [m]) of the tapes that a test may spoil.

    They are checked by others (redundancy above 0.02) and no other residual correlates above 0.9 with theirs.
    """
    net = adjusted.net
    design, _, normal = normals(net.rows, net.xy, net.gauge)
    residual = np.eye(len(design)) - design @ inverse(normal) @ design.T
    redundancy = np.clip(np.diag(residual), 1e-9, 1.0)
    rho = np.abs(residual / np.sqrt(np.outer(redundancy, redundancy)))
    np.fill_diagonal(rho, 0.0)
    return [
        (row.reading, row.sd / math.sqrt(float(redundancy[i])))
        for i, row in enumerate(net.rows.listed)
        if row.kind == DIST and redundancy[i] > 0.02 and rho[i].max() <= 0.9
    ]


def with_error(survey: Survey, reading: str, error_m: float) -> Survey:
    """Return the survey with one tape read wrong by ``error_m``, written to three decimals."""
    out: list[Reading] = []
    for r in survey.readings:
        if r.id == reading and isinstance(r, Distance):
            wrong = float(r.length) + error_m
            out.append(r.changed(length=Length(wrong, f"{wrong:.3f}")))
        else:
            out.append(r)
    return survey.changed(readings=tuple(out))


def spoiled(seed: int, low: float = 5.0, high: float = 15.0) -> tuple[Survey, str] | None:
    """Return a random survey with one gross error of ``low`` to ``high`` sigma over root redundancy, and which."""
    survey, _ = network(seed)
    rng = np.random.default_rng(seed + 1_000_000)
    choice = qualifying(adjust(survey))
    if not choice:
        return None
    reading, unit = choice[int(rng.integers(len(choice)))]
    size = float(rng.uniform(low, high)) * unit * float(rng.choice([-1.0, 1.0]))
    length = next(float(r.length) for r in survey.readings if r.id == reading and isinstance(r, Distance))
    return with_error(survey, reading, abs(size) if length + size < 0.3 else size), reading


def with_swapped_digits(seed: int) -> tuple[Survey, str, float] | None:
    """Return a random survey, written to the centimetre, with two neighbouring digits swapped in one tape.

    Also which reading, and what it should be [m].  Swaps of less than five sigma over root redundancy are passed by.
    """
    survey, _ = network(seed)
    rng = np.random.default_rng(seed + 2_000_000)
    centimetres = tuple(
        r.changed(length=Length(round(float(r.length), 2), f"{float(r.length):.2f}")) if isinstance(r, Distance) else r
        for r in survey.readings
    )
    survey = survey.changed(readings=centimetres)
    units = dict(qualifying(adjust(survey)))
    choice = []
    for r in survey.readings:
        if isinstance(r, Distance) and r.id in units:
            text = r.length.typed or ""
            spots = [i for i, c in enumerate(text) if c.isdigit()]
            for i, j in itertools.pairwise(spots):
                swapped = text[:i] + text[j] + text[i + 1 : j] + text[i] + text[j + 1 :]
                if float(swapped) > 0.3 and abs(float(swapped) - float(text)) > 5.0 * units[r.id]:
                    choice.append((r.id, swapped, float(text)))
    if not choice:
        return None
    reading, text, meant = choice[int(rng.integers(len(choice)))]
    return with_error(survey, reading, float(text) - meant), reading, meant
