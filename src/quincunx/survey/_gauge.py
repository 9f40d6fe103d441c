"""What holds the plan still: stakes at known places, and one direction; and the iterated solution in that frame."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from quincunx.survey._model import Rows, dense, evaluate
from quincunx.survey._normal import Array


@dataclass(frozen=True)
class Gauge:
    """``fixed`` stakes don't move; stake ``toward`` moves only along ``direction`` (unit vector) from the datum."""

    count: int
    fixed: Mapping[int, tuple[float, float]]
    toward: int | None = None
    direction: tuple[float, float] = (0.0, 1.0)
    idle: frozenset[int] = frozenset()

    @cached_property
    def columns(self) -> NDArray[np.int64]:
        """Numbers of the free coordinates among all 2 n; the held direction's stake keeps its first for its reach."""
        free = [s for s in range(self.count) if s not in self.fixed and s not in self.idle]
        out = [2 * s + k for s in free for k in ((0,) if s == self.toward else (0, 1))]
        return np.array(out, dtype=np.int64)

    def squeeze(self, design: Array) -> Array:
        """Return the design matrix (m, 2 n) by the free unknowns only (m, q)."""
        if self.toward is None or self.toward in self.idle:
            return design[:, self.columns]
        design = design.copy()
        at = 2 * self.toward
        design[:, at] = design[:, at] * self.direction[0] + design[:, at + 1] * self.direction[1]
        return design[:, self.columns]

    def spread(self, unknowns: Array) -> Array:
        """Return unknowns (q,) or (q, k) as coordinates of all stakes, (2 n,) or (2 n, k), zero where held."""
        full = np.zeros((2 * self.count, *unknowns.shape[1:]))
        full[self.columns] = unknowns
        if self.toward is not None and self.toward not in self.idle:
            at = 2 * self.toward
            full[at + 1] = full[at] * self.direction[1]
            full[at] = full[at] * self.direction[0]
        return full

    def settle(self, xy: Array) -> Array:
        """Return ``xy`` (n, 2) with held stakes at their places and the held direction's stake on its line."""
        xy = xy.copy()
        for stake, place in self.fixed.items():
            xy[stake] = place
        if self.toward is not None:
            datum = xy[next(iter(self.fixed))]
            unit = np.array(self.direction)
            xy[self.toward] = datum + max(0.1, float((xy[self.toward] - datum) @ unit)) * unit
        return xy


def normals(rows: Rows, xy: Array, gauge: Gauge) -> tuple[Array, Array, Array]:
    """Return the whitened design (m, q), the whitened misclosures (m,) and the normal matrix (q, q) at ``xy``."""
    misclosure, slopes = evaluate(rows, xy)
    design = gauge.squeeze(dense(rows, slopes, gauge.count)) / rows.sd[:, None]
    return design, misclosure / rows.sd, design.T @ design


def chi2_at(rows: Rows, xy: Array) -> float:
    """Return the sum of squared standardised misfits of ``rows`` at ``xy``."""
    return float(((evaluate(rows, xy)[0] / rows.sd) ** 2).sum())


def relax(rows: Rows, xy: Array, gauge: Gauge, steps: int = 60) -> tuple[Array, float]:
    """Move the stakes to least squares from ``xy`` (n, 2) by damped Gauss-Newton steps; return them and chi2.

    Works on a net that is not fully fixed, too: what is free then stays about where it started.
    """
    if gauge.columns.size == 0:
        return xy, chi2_at(rows, xy)
    damping, chi2 = 1e-10, chi2_at(rows, xy)
    for _ in range(steps):
        design, misfit, normal = normals(rows, xy, gauge)
        right = design.T @ misfit
        diagonal = np.diag(normal) + 1e-12 * (1.0 + np.diag(normal).max())
        while True:
            move = np.asarray(np.linalg.solve(normal + np.diag(damping * diagonal + 1e-9), right), dtype=np.float64)
            trial = xy + gauge.spread(move).reshape(-1, 2)
            better = chi2_at(rows, trial)
            if better <= chi2 * (1.0 + 1e-12) + 1e-12 or damping > 1e8:
                break
            damping = max(damping * 10.0, 1e-4)
        gain, size = chi2 - better, float(np.abs(move).max())
        if better <= chi2 * (1.0 + 1e-12) + 1e-12:
            xy, chi2 = trial, better
        damping = damping * 0.1 if damping > 1e-9 else damping
        if size < 1e-7 or damping > 1e8 or (gain < 1e-10 * (1.0 + chi2) and size < 1e-5):
            break
    return xy, chi2


def capped_at(rows: Rows, xy: Array) -> float:
    """Return the sum of squared standardised misfits, none counted above 16: few bad readings don't rule it."""
    return float(np.minimum((evaluate(rows, xy)[0] / rows.sd) ** 2, 16.0).sum())


def relax_softly(rows: Rows, xy: Array, gauge: Gauge, steps: int = 12) -> Array:
    """Move the stakes to a fit in which readings that fit badly count little (Cauchy weights at 3 sigma)."""
    if gauge.columns.size == 0:
        return xy
    for step in range(steps):
        design, misfit, _ = normals(rows, xy, gauge)
        wide = max(3.0, 20.0 / 2.0**step)
        weight = 1.0 / (1.0 + (misfit / wide) ** 2)
        normal = design.T @ (design * weight[:, None])
        normal[np.diag_indices_from(normal)] += 1e-3
        move: Array = np.clip(np.linalg.solve(normal, design.T @ (weight * misfit)), -2.0, 2.0)
        xy = xy + gauge.spread(move).reshape(-1, 2)
        if float(np.abs(move).max()) < 1e-3 and wide <= 3.0:
            break
    return xy
