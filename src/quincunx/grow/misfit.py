"""One way in which a planting doesn't fit."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass

from quincunx.grow.plantings import Planting
from quincunx.shapes import Severity

PRACTICE = "common practice, no source"


HURTFUL = frozenset({"poison", "timber"})
"""The kinds by which somebody can be made ill."""


@dataclass(frozen=True, slots=True)
class Misfit:
    """One way in which a planting doesn't fit: a short ``kind``, how grave, the words, the remedy, the source.

    Features stand in the words as ``{id}`` and lengths as ``{m:1.234}``, for whoever writes them to fill in.
    """

    owner: str
    kind: str
    severity: Severity
    words: str
    remedy: str
    source: str
    other: str = ""

    def said(self, called: Callable[[str], str], length: Callable[[float], str]) -> str:
        """Return the words with names and lengths as the person writes them."""
        return re.sub(r"\{(m:)?([^}]*)\}", lambda m: length(float(m[2])) if m[1] else called(m[2]), self.words)


def name(one: Planting) -> str:
    """Return a planting as it stands in the words: its feature and its plant."""
    return f"{{{one.owner}}} ({one.plant.name})"
