"""Answers kept with the garden: what was found for a problem, by which solver, so that it is not worked out again.

An answer stands for every garden whose problem is the same; it is kept as text under a digest of that problem and of
the version of the solver, so that another solver or another rule asks anew.
"""

from __future__ import annotations

import importlib.metadata
import json
from collections.abc import Callable
from dataclasses import asdict
from functools import lru_cache
from typing import Any, Protocol

from quincunx.shapes import content_key
from quincunx.years.checker import check
from quincunx.years.order import Order
from quincunx.years.problem import Problem, Starts

RULES = 1
"""Raised whenever the model or the worth changes, so that older answers are asked anew."""


class Keep(Protocol):
    """Where answers are kept: text by name."""

    def kept(self, name: str) -> str | None:
        """Return what was kept under ``name``, or None."""

    def keep(self, name: str, text: str) -> None:
        """Keep ``text`` under ``name``."""


def key(what: str, problem: Problem, starts: Starts | None = None) -> str:
    """Return the name under which an answer to ``what`` is kept, for a problem and (if it is about one) a plan."""
    plan = None if starts is None else tuple(sorted(starts.items()))
    return f"{what}:{content_key((problem, plan, solver(), RULES))}"


@lru_cache(maxsize=1)
def solver() -> str:
    """Return the name and version of the solver."""
    return f"ortools {importlib.metadata.version('ortools')}"


def keep_order(where: Keep | None, problem: Problem, found: Order) -> None:
    """Keep the best order of a problem, unless a better or surer one is kept already."""
    if where is None or (found.starts is None and not found.proven):
        return
    before = kept_order(where, problem)
    if before is None or (found.worth, found.proven, -found.bound) > (before.worth, before.proven, -before.bound):
        where.keep(key("order", problem), json.dumps(asdict(found)))


def kept_order(where: Keep | None, problem: Problem) -> Order | None:
    """Return the best order kept for a problem, or None; what can't be read counts as not kept."""
    text = None if where is None else where.kept(key("order", problem))
    return _read(text, _order) if text else None


def best_known(where: Keep | None, problem: Problem, starts: Starts) -> Order | None:
    """Return the best order kept for a problem; None if there is none, or if the plan written betters it."""
    known = kept_order(where, problem)
    if known is None or known.starts is None:
        return None
    better = problem.worth(starts) > known.worth and check(problem, starts).sound
    return None if better else known


def _order(document: dict[str, Any]) -> Order:
    return Order(**document)


def _read(text: str, make: Callable[[dict[str, Any]], Order]) -> Order | None:
    try:
        return make(json.loads(text))
    except (ValueError, TypeError, KeyError):
        return None
