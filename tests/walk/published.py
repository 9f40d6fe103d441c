"""The published tables about walking, read: rows by their number, in metres or ratios."""

import csv
from pathlib import Path

FOLDER = Path(__file__).parents[1] / "published"
UNITS = {"in": 0.0254, "ft": 0.3048, "m": 1.0, "ratio": 1.0, "share": 1.0, "count": 1.0, "ft/s": 0.3048}


def table(name: str, source: str = "walking") -> list[dict[str, str]]:
    """Return the rows of a table, comments left out."""
    lines = (FOLDER / source / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


WIDTHS = {row["row"]: float(row["value"]) * UNITS[row["unit"]] for row in table("widths.csv")}
"""Values by row number [m, ratio or share]."""
