"""Where water is drawn for what grows: a tap, a butt, a tank."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Supply:
    """A place to draw water: what it holds [litre] (None: it never runs out), the hose at it [m], what it waters (ids).

    ``flow_l_min`` is what runs from it, measured with a can and a watch [l/min].  ``waters`` is empty where nobody has said so.
    """

    owner: str
    at: tuple[float, float]
    litres: float | None = None
    hose_m: float | None = None
    waters: tuple[str, ...] = ()
    flow_l_min: float | None = None
