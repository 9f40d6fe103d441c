"""Reading the tables that lie in the package beside this code."""

from __future__ import annotations

import csv
from functools import cache
from importlib import resources


@cache
def rows_of(name: str) -> tuple[dict[str, str], ...]:
    """Return the rows of a table in ``plants/data``; lines that begin with ``#`` are remarks."""
    text = (resources.files("quincunx.plants") / "data" / name).read_text(encoding="utf-8")
    return tuple(csv.DictReader(line for line in text.splitlines() if not line.startswith("#")))


def floats(text: str) -> tuple[float, ...]:
    """Return the numbers of a cell, written with spaces between."""
    return tuple(float(part) for part in text.split())
