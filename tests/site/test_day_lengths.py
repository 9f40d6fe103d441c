"""Hours of daylight against tables made by others, at low and high latitudes; the table says where each was read."""

from __future__ import annotations

import csv
from datetime import date
from pathlib import Path

import pytest

from quincunx.site.sun import day_lengths_h

TABLE = Path(__file__).parents[1] / "published" / "day_length" / "days.csv"
ROWS = list(csv.DictReader(line for line in TABLE.read_text(encoding="utf-8").splitlines() if not line.startswith("#")))
MINUTES = {"A": 1.5, "B": 3.0, "C": 1.0}
"""What each source's rounding leaves [min]: A whole minutes and a town's place; B sunrise and sunset each a whole minute, at
high latitudes where a degree is half an hour; C seconds, at a place to a hundredth of a degree."""


@pytest.mark.parametrize("row", ROWS, ids=lambda r: f"{r['source']}-{r['latitude_deg']}-{r['day']}")
def test_the_day_is_as_long_as_published(row: dict[str, str]) -> None:
    (found,) = day_lengths_h(float(row["latitude_deg"]), [date.fromisoformat(row["day"])])
    assert found == pytest.approx(float(row["hours"]), abs=MINUTES[row["source"]] / 60)


def test_the_table_is_read_whole() -> None:
    assert [sum(r["source"] == s for r in ROWS) for s in "ABC"] == [12, 8, 1]
