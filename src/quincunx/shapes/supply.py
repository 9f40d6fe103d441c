"""Where water is drawn for what grows: a tap, a butt, a tank."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Supply:
    """A place to draw water: what it holds [litre] (None: it never runs out), the hose at it [m], what it waters (ids).

    ``waters`` is empty where nobody has said so.
    """

    owner: str
    at: tuple[float, float]
    litres: float | None = None
    hose_m: float | None = None
    waters: tuple[str, ...] = ()
