"""How one person writes numbers: units, decimal mark, currency."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

System = Literal["metric", "feet"]


@dataclass(frozen=True, slots=True)
class Style:
    """The person's way of writing: ``system``, decimal mark and ISO 4217 currency code."""

    system: System = "metric"
    decimal_mark: Literal[".", ","] = "."
    currency: str = "EUR"
