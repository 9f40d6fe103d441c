"""Weighted linear least squares by Cholesky's factor of the normal equations."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from quincunx.units.errors import PlainError

Array = NDArray[np.float64]


class NotDetermined(PlainError, ValueError):
    """The readings leave something free, so the normal equations have no single solution."""


@dataclass(frozen=True, slots=True)
class Solved:
    """Solution of A x = l + v with weights p: ``x`` (n), cofactors (n, n), residuals ``v`` (m), redundancy (m)."""

    x: Array
    cofactor: Array
    residual: Array
    redundancy: Array
    chi2: float
    dof: int

    @property
    def s0(self) -> float:
        """Standard deviation of unit weight after adjustment: root of vPv over the degrees of freedom."""
        return float(np.sqrt(self.chi2 / self.dof)) if self.dof > 0 else float("nan")

    @property
    def sd(self) -> Array:
        """Standard deviations of the unknowns for the weights as given (a priori), shape (n,)."""
        return np.sqrt(np.diag(self.cofactor))


def factor(normal: Array) -> tuple[Array, Array]:
    """Return (inverse of the lower Cholesky factor, scale) of a symmetric matrix scaled to a unit diagonal.

    Raises :class:`NotDetermined` where a pivot vanishes.
    """
    diagonal = np.diag(normal)
    if diagonal.size and diagonal.min() <= 0.0:
        raise NotDetermined("an unknown is touched by no reading")
    scale = 1.0 / np.sqrt(diagonal)
    scaled = normal * scale[:, None] * scale[None, :]
    try:
        lower = np.linalg.cholesky(scaled)
    except np.linalg.LinAlgError:
        raise NotDetermined("the readings don't fix every unknown") from None
    if lower.size and np.diag(lower).min() < 1e-6:
        raise NotDetermined("the readings hardly fix every unknown")
    return np.linalg.inv(lower), scale


def inverse(normal: Array) -> Array:
    """Return the inverse of a positive definite matrix, or raise :class:`NotDetermined`."""
    low_inverse, scale = factor(normal)
    part = low_inverse * scale[None, :]
    return part.T @ part


def solve(design: Array, observed: Array, weights: Array) -> Solved:
    """Solve ``design @ x = observed + v`` for least v'Pv.

    Parameters: ``design`` (m, n); ``observed`` (m,); ``weights`` (m,), the inverse squares of the standard
    deviations.  Reference: C. Ghilani, Adjustment Computations, chapters 11 and 12 (see the tests for what of
    it was read).
    """
    weighted = design * weights[:, None]
    cofactor = inverse(design.T @ weighted)
    x = cofactor @ (weighted.T @ observed)
    residual = design @ x - observed
    leverage = np.einsum("ij,jk,ik->i", design, cofactor, weighted, optimize=True)
    chi2 = float(residual @ (weights * residual))
    return Solved(x, cofactor, residual, 1.0 - leverage, chi2, design.shape[0] - design.shape[1])
