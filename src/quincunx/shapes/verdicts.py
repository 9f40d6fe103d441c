"""What a judgement can say."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from quincunx.shapes.figures import XY, Figure


class _ByValue(StrEnum):
    """Words that are pickled by what they say: Python before 3.11.4 names an attribute, which may be anything's."""

    def __reduce_ex__(self, protocol: object) -> tuple[type[_ByValue], tuple[str]]:
        """Return how it is made again."""
        return type(self), (self.value,)


class State(_ByValue):
    """How a must stands in one year."""

    HOLDS = "holds"
    FAILS = "fails"
    UNKNOWN = "unknown"
    NOT_DUE = "not_due"


Unit = Literal["m", "m2", "deg", "ratio", "slope", "share", "count", "money", "h", "year", "kg", "litre", "none"]


@dataclass(frozen=True, slots=True)
class Verdict:
    """One must in one year: ``state``, what was ``measured`` against the ``target`` and the sentence that says why.

    ``margin`` is positive when there is room to spare.  ``range`` holds the low and high of what is uncertain.
    """

    year: int
    state: State
    because: str
    measured: float | None = None
    target: float | None = None
    unit: Unit = "none"
    margin: float | None = None
    range: tuple[float, float] | None = None
    evidence: tuple[Figure, ...] = ()


class Severity(_ByValue):
    """How much a finding matters."""

    DANGER = "danger"
    FAULT = "fault"
    CARE = "care"
    HINT = "hint"


@dataclass(frozen=True, slots=True)
class Finding:
    """Something noticed unasked: where, why it matters, where that is known from, and what to do."""

    id: str
    severity: Severity
    words: str
    remedy: str
    source: str
    about: tuple[str, ...] = ()
    at: XY | None = None
    year: int | None = None
    evidence: tuple[Figure, ...] = ()
    hurts: bool = False
    """Whether somebody can be hurt or made ill, though it is no danger at once (poison, a post beyond the tables)."""

    @property
    def can_hurt(self) -> bool:
        """Return whether somebody can be hurt."""
        return self.hurts or self.severity is Severity.DANGER
