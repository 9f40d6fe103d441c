"""Misreadings: which reading doesn't fit, what it probably was, and what to tape to be sure.

Each residual is divided by its own standard deviation (W. Baarda's data snooping, 1968; from memory); the largest
is set aside if it is beyond what chance gives in a network of that many readings, and the rest adjusted again.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace
from statistics import NormalDist

import numpy as np

from quincunx.survey._freedom import swings_of
from quincunx.survey._gauge import capped_at, normals, relax, relax_softly
from quincunx.survey._hinges import Leaf, reframed, turned_over
from quincunx.survey._model import DIST, Rows, computed_at, rows_of
from quincunx.survey._net import Net, net_of, never, wrong_sides
from quincunx.survey._normal import Array, NotDetermined, inverse
from quincunx.survey.accuracy import HANDLING, Handling, tape_sd_m
from quincunx.survey.network import Adjusted, adjusted
from quincunx.survey.readings import Distance, Offset, Reading, SlopeDistance, Survey, WallDistance, points_of
from quincunx.survey.slips import Slip, fitting, slips_of
from quincunx.units.fields import Length
from quincunx.units.style import Style

FALSE_ALARM = 0.03
"""Chance that a network without any misreading has a reading named."""
ALIKE = 0.9
"""Residuals correlated beyond this can't be told apart."""
SAME_M = 0.001
"""Places no further apart than this are the same [m]."""
WORTH = 6.0
"""Another shape is taken if the capped sum of squares is less by this: e^3 to 1."""
MOST_ALIKE = 5
"""Of readings that can't be told apart so many are named beside the first: all of four sides and two diagonals."""


@dataclass(frozen=True, slots=True)
class Suspect:
    """A reading that doesn't fit.

    ``value`` is what was used, ``likely`` what the others say it should be, with its standard deviation ``sd``
    (metres; radians for a bearing); ``w`` the standardised residual.  ``together`` are readings that could be the
    bad one as well, and ``decide`` the tape (from, to) that would tell.  ``slips`` explain it, likeliest first.
    """

    reading: str
    part: str
    value: float
    likely: float
    sd: float
    w: float
    together: tuple[str, ...] = ()
    decide: tuple[str, str] | None = None
    slips: tuple[Slip, ...] = ()

    @property
    def meant(self) -> Slip | None:
        """The one slip that fits, if exactly one does."""
        return self.slips[0] if len(self.slips) == 1 else None


@dataclass(frozen=True, slots=True)
class Searched:
    """The adjustment without the suspects, and the suspects in the order in which they were found."""

    adjusted: Adjusted
    suspects: tuple[Suspect, ...]


def critical_w(rows: int, false_alarm: float = FALSE_ALARM) -> float:
    """Return the standardised residual beyond which one of ``rows`` rows is named."""
    return NormalDist().inv_cdf(1.0 - false_alarm / (2.0 * max(rows, 1)))


def find_misreadings(
    survey: Survey, style: Style | None = None, handling: Handling = HANDLING, enough: Callable[[], bool] = never
) -> Searched:
    """Adjust ``survey``, set aside the readings that don't fit, and say what each probably was.

    ``enough`` is asked between steps; once it says so, the best that is known by then is returned.
    """
    whole = net_of(survey, handling, enough)
    readings = {r.id: r for r in survey.readings}
    found, result = _set_aside(whole, max(1, len(readings) // 4), enough)
    other = _other_hand(whole, result) if found else None
    if other is not None:
        found, result = _set_aside(other, max(1, len(readings) // 4), enough)
    return Searched(result, tuple(_explained(s, readings[s.reading], result, style) for s in found))


def _set_aside(net: Net, most: int, enough: Callable[[], bool]) -> tuple[list[Suspect], Adjusted]:
    found: list[Suspect] = []
    while len(found) < most and not (found and enough()):
        suspect = _worst(net)
        if suspect is None:
            break
        net = net.without(frozenset({suspect.reading}))
        found.append(suspect)
    return found, adjusted(net)


def _other_hand(whole: Net, result: Adjusted) -> Net | None:
    """Return the net with a part turned over, if a reading set aside was all that told its hand and then fits."""
    best, least = None, capped_at(whole.rows, whole.shape) - WORTH
    for q in result.questions:
        a, b, *part = (whole.number[s] for s in (q.start, q.end, *q.moves))
        image = reframed(turned_over(result.net.xy, Leaf(a, b, tuple(part))), result.net.xy, whole.gauge)
        shape = relax_softly(whole.rows, image, whole.gauge)
        cost = capped_at(whole.rows, shape)
        if cost < least and wrong_sides(whole.sides, shape) <= wrong_sides(whole.sides, whole.shape):
            xy, chi2 = relax(whole.rows, shape, whole.gauge)
            best, least = replace(whole, shape=shape, xy=xy, chi2=chi2), cost
    return best


def _worst(net: Net) -> Suspect | None:
    try:
        return _named(net)
    except NotDetermined:
        return _worst_of_fixed(net)


def _named(net: Net) -> Suspect | None:
    """Search where the readings that fit put the stakes, then, if nothing is found, where all of them do.

    Full least squares lets one reading that is metres out drag stakes so far that others seem to be wrong; a shape that
    is wrong itself shows only there.
    """
    found = _snoop(net, *_linear(net, net.shape))
    apart = float(np.abs(net.shape - net.xy).max()) if net.xy.size else 0.0
    return found if found is not None or apart < SAME_M else _snoop(net, *_linear(net, net.xy))


def _linear(net: Net, xy: Array) -> tuple[Array, Array, Array]:
    """Return the whitened design at ``xy``, what the least squares step leaves of the misclosures, and the cofactors."""
    design, misfit, normal = normals(net.rows, xy, net.gauge)
    cofactor = inverse(normal)
    return design, misfit - design @ (cofactor @ (design.T @ misfit)), cofactor


def _worst_of_fixed(net: Net) -> Suspect | None:
    """Search the part of a net that is fixed, where another part can still swing."""
    free, _, _ = swings_of(net)
    if not free:
        return None
    gauge = replace(net.gauge, idle=net.gauge.idle | free)
    keep = np.array([not free & set(row.points) for row in net.rows.listed], dtype=bool)
    part = replace(net, gauge=gauge, rows=net.rows.only(keep))
    if not gauge.columns.size:
        return None
    return _named(part)


def _snoop(net: Net, design: Array, misfit: Array, cofactor: Array) -> Suspect | None:
    hat = design @ cofactor
    redundancy = 1.0 - np.einsum("ij,ij->i", hat, design)
    free = redundancy > 0.01
    if not free.any():
        return None
    w = np.where(free, -misfit / np.sqrt(np.where(free, redundancy, 1.0)), 0.0)
    worst = int(np.abs(w).argmax())
    if abs(float(w[worst])) <= critical_w(int(free.sum())):
        return None
    rho = -(design @ hat[worst]) / np.sqrt(redundancy[worst] * np.where(free, redundancy, np.inf))
    return _suspect(net, worst, w, rho, redundancy, hat)


def _suspect(net: Net, worst: int, w: Array, rho: Array, redundancy: Array, hat: Array) -> Suspect:
    row, r = net.rows.listed[worst], float(redundancy[worst])
    residual = float(w[worst]) * row.sd * math.sqrt(r)
    behind = float(w[worst]) ** 2 - w**2
    alike = ((np.abs(rho) > ALIKE) & (behind < 9.0)) | (behind < 4.0)
    others = [i for i in np.argsort(behind, kind="stable").tolist() if alike[i] and i != worst]
    together = tuple(dict.fromkeys(net.rows.listed[i].reading for i in others))
    together = tuple(t for t in together if t != row.reading)[:MOST_ALIKE]
    decide = None
    if together:
        other = next(i for i in others if net.rows.listed[i].reading == together[0])
        shifts = [hat[i] * float(w[i]) / math.sqrt(float(redundancy[i])) for i in (worst, other)]
        decide = _deciding(net, shifts[0] - shifts[1])
    return Suspect(
        row.reading,
        row.part,
        row.value,
        row.value + residual / r,
        row.sd / math.sqrt(r),
        float(w[worst]),
        together,
        decide,
    )


def _deciding(net: Net, apart: Array) -> tuple[str, str] | None:
    """Return the untaped pair whose distance differs most, by its accuracy, between two explanations."""
    moved = net.gauge.spread(apart).reshape(-1, 2)
    taped = {frozenset(row.points) for row in net.rows.listed if row.kind == DIST}
    here = [s for s in range(len(net.ids)) if s not in net.gauge.idle]
    best: tuple[float, tuple[str, str]] | None = None
    for i, a in enumerate(here):
        for b in here[i + 1 :]:
            if frozenset((a, b)) in taped:
                continue
            d = net.xy[b] - net.xy[a]
            size = max(float(np.hypot(*d)), 1e-9)
            shift = abs(float((moved[b] - moved[a]) @ d) / size) / tape_sd_m(size)
            if best is None or shift > best[0] + 1e-9:
                best = (shift, (net.ids[a], net.ids[b]))
    return best[1] if best is not None and best[0] > 2.0 else None


def _explained(suspect: Suspect, reading: Reading, result: Adjusted, style: Style | None) -> Suspect:
    """Compare with the final adjustment, which knows of the other misreadings too, and try the usual slips."""
    read = _written(reading, suspect.part)
    if read is None:
        return suspect
    suspect = replace(suspect, likely=_said(result, reading, suspect))
    slips = slips_of(read, style)
    if isinstance(reading, Distance):
        slips += _wrong_stakes(reading, suspect, result)
    return replace(suspect, slips=fitting(slips, suspect.likely, suspect.sd))


def _said(result: Adjusted, reading: Reading, suspect: Suspect) -> float:
    """Return what the reading should be by the final places, or the first estimate if a stake has none."""
    if not set(points_of(reading)) <= set(result.positions):
        return suspect.likely
    rows = [r for r in rows_of([reading], result.net.number, {}) if r.part == suspect.part]
    return float(computed_at(Rows.of(rows), result.net.xy)[0])


def _written(reading: Reading, part: str) -> Length | None:
    match reading:
        case Distance() | SlopeDistance() | WallDistance():
            return reading.length
        case Offset():
            return reading.along if part == "along" else reading.offset
        case _:
            return None


def _wrong_stakes(reading: Distance, suspect: Suspect, result: Adjusted) -> list[Slip]:
    at = result.positions
    out = []
    for keep, lose in ((reading.start, reading.end), (reading.end, reading.start)):
        if keep not in at:
            continue
        for other in sorted(set(at) - {keep, lose}):
            d = math.dist((at[keep].x_m, at[keep].y_m), (at[other].x_m, at[other].y_m))
            if abs(d - float(reading.length)) < 3.0 * suspect.sd:
                out.append(Slip("wrong_stake", suspect.likely, None, other))
    return out
