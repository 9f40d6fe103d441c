"""Sizes of all plants of both demonstration gardens, each month of ten years, and their harvests."""

from __future__ import annotations

import gc
import json
import sys
import time
from datetime import date

from quincunx.demos import DEMOS, demo_garden
from quincunx.garden import timeline
from quincunx.grow.harvest import harvest
from quincunx.grow.months import monthly


def main() -> None:
    """Measure, and print one JSON object as the last line with ``--json``."""
    small = "--small" in sys.argv
    gardens = [timeline(demo_garden(d.id)) for d in DEMOS]
    for line in gardens:
        for year in line.years:
            line.at(line.leaf_date(year))
    years = 2 if small else 10
    # As the command line does: all that stands stays in use, and looking through it for rubbish finds none.
    gc.collect()
    gc.freeze()
    began, wall = time.process_time(), time.perf_counter()
    rows = [monthly(line, date(line.years[0], 1, 1), 12 * years) for line in gardens]
    ours, wall = time.process_time() - began, time.perf_counter() - wall
    plants = sum(len(r) for r in rows)
    began = time.process_time()
    kg = sum(harvest(line, year).kg.mid for line in gardens for year in line.years)
    crop_s = time.process_time() - began
    print(f"{plants} plantings, {12 * years} months: {1000 * ours:.1f} ms CPU ({1000 * wall:.1f} ms wall)")
    print(f"harvests of all years: {1000 * crop_s:.1f} ms CPU, {kg:.0f} kg")
    if "--json" in sys.argv:
        print(
            json.dumps(
                {
                    "ours_s": ours,
                    "peers": [],
                    "ratio": None,
                    "plantings": plants,
                    "months": 12 * years,
                    "harvest_s": crop_s,
                }
            )
        )


if __name__ == "__main__":
    main()
