"""Measure watering: ten years of days of evapotranspiration against pyet, and of the soil balance of forty beds.

``python benches/water.py [--small] [--json]``.  Seconds are process CPU, the least of several; pyet runs in a child process
of the same run, by the interpreter named in ``QUINCUNX_PEERS_PYTHON``; without it only we are measured.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

from quincunx.demos import DEMOS, demo_garden
from quincunx.garden import timeline
from quincunx.water import reference as fao
from quincunx.water.balance import days_compiled, days_plainly
from quincunx.water.spells import MONTH_OF, rain_of
from quincunx.water.watering import watering

LATITUDE_DEG, ALTITUDE_M = 50.8, 100.0
RAIN = (57.0, 43, 43, 45, 50, 52, 51, 58, 53, 65, 63, 60)
WET = (11.5, 9.3, 9.6, 9.3, 9.0, 9.1, 8.6, 9.2, 8.8, 10.6, 11.0, 11.0)


def least(work: Callable[[], object], rounds: int = 7) -> float:
    """Return the least CPU seconds of several rounds."""
    took = []
    for _ in range(rounds):
        start = time.process_time()
        work()
        took.append(time.process_time() - start)
    return min(took)


def weather(days: int) -> dict[str, Any]:
    """Return made-up days of weather with a season, wind and damp."""
    rng = np.random.default_rng(3)
    date = np.datetime64("2017-01-01") + np.arange(days)
    day = (date - date.astype("datetime64[Y]").astype("datetime64[D]")).astype(float) + 1.0
    low = 6.0 - 8.0 * np.cos(2 * np.pi * (day - 20) / 365) + rng.normal(0, 3, days)
    high = low + rng.uniform(3, 13, days)
    rh_high, rh_low = rng.uniform(75, 98, days), rng.uniform(40, 70, days)
    sunny = fao.daylight_h(LATITUDE_DEG, day) * rng.uniform(0, 0.9, days)
    return {
        "day": day, "low": low, "high": high, "rh_high": rh_high, "rh_low": rh_low, "wind": rng.uniform(0.5, 5, days),
        "sunny_h": sunny, "latitude": LATITUDE_DEG, "altitude": ALTITUDE_M,
    }  # fmt: skip


def ours(w: dict[str, Any]) -> np.ndarray:
    """Return reference evapotranspiration of every day [mm]."""
    ra = fao.beyond_air(LATITUDE_DEG, w["day"])
    rs = fao.sunlight(ra, w["sunny_h"] / fao.daylight_h(LATITUDE_DEG, w["day"]))
    ea = fao.vapour_kpa(w["low"], w["high"], w["rh_low"], w["rh_high"])
    rn = fao.net_radiation(w["low"], w["high"], ea, rs, fao.clear_sunlight(ra, ALTITUDE_M))
    es = fao.mean_saturation_kpa(w["low"], w["high"])
    found = fao.penman_monteith((w["low"] + w["high"]) / 2, rn, 0.0, w["wind"], es, ea, ALTITUDE_M)
    return np.asarray(np.maximum(found, 0.0))


def theirs(w: dict[str, Any]) -> tuple[float, np.ndarray] | None:
    """Return pyet's seconds and millimetres; None where its interpreter is not named or it does not run."""
    python = os.environ.get("QUINCUNX_PEERS_PYTHON")
    if not python:
        return None
    with tempfile.TemporaryDirectory() as folder:
        given, found = Path(folder) / "job.npz", Path(folder) / "found.npz"
        np.savez(given, **w)
        script = Path(__file__).with_name("_water_peers.py")
        done = subprocess.run([python, str(script), given, found], capture_output=True, text=True, check=False)
        if done.returncode:
            print(f"pyet did not run: {done.stderr.strip().splitlines()[-1:]}")
            return None
        with np.load(found) as read:
            return float(read["seconds"]), read["mm"]


def beds(n: int, years: int) -> tuple[Any, ...]:
    """Return ``n`` beds of all sorts and their years of days."""
    rng = np.random.default_rng(4)
    eto = (2.0 - 1.8 * np.cos(2 * np.pi * (np.arange(365) - 15) / 365)).clip(0.2)
    rain = np.ascontiguousarray(rain_of(RAIN, WET, years).reshape(years, 365).T)
    return (
        eto, rain, MONTH_OF.astype(np.int64), rng.uniform(0.3, 1.1, (12, n)), rng.random((12, n)) < 0.6,
        rng.uniform(30, 150, n), rng.uniform(0.3, 0.5, n), np.ones(n),
    )  # fmt: skip


def main() -> None:
    """Measure, and print one JSON object as the last line with ``--json``."""
    small = "--small" in sys.argv
    years, n = (2, 6) if small else (10, 40)
    w = weather(365 * years)
    ours_s, peer = least(lambda: ours(w)), theirs(w)
    args = beds(n, years)
    plain_s = least(lambda: days_plainly(*args), 3)
    same = all((a == b).all() for a, b in zip(days_compiled(*args), days_plainly(*args), strict=True))
    compiled_s = least(lambda: days_compiled(*args))
    lines = [timeline(demo_garden(d.id)) for d in DEMOS[: 1 if small else None]]
    for line in lines:
        for year in line.years:
            line.at(line.leaf_date(year))
    began = time.process_time()
    for line in lines:
        watering(line)
    demos_s = time.process_time() - began
    print(f"evapotranspiration of {365 * years} days: {1e3 * ours_s:.2f} ms CPU")
    rows = []
    if peer is not None:
        off = float(np.abs(ours(w) - peer[1]).max())
        rows = [
            {"name": "pyet", "s": peer[0], "ratio": peer[0] / ours_s, "agreement": f"greatest difference {off:.4f} mm"}
        ]
        print(
            f"  pyet {1e3 * peer[0]:.2f} ms, {peer[0] / ours_s:.1f} times ours; greatest difference {off:.4f} mm a day"
        )
    print(f"balance of {n} beds, {years} years of days: {1e3 * compiled_s:.1f} ms compiled, {1e3 * plain_s:.1f} ms plainly"
          f"; {'the same to the last bit' if same else 'THEY DIFFER'}")  # fmt: skip
    print(f"all beds and tanks of {len(lines)} gardens, all years of the plan: {1e3 * demos_s:.1f} ms")
    if "--json" in sys.argv:
        ratio = rows[0]["ratio"] if rows else None
        print(json.dumps({
            "ours_s": ours_s, "peers": rows, "ratio": ratio, "days": 365 * years, "beds": n, "balance_s": compiled_s,
            "balance_plain_s": plain_s, "demos_s": demos_s,
        }))  # fmt: skip


if __name__ == "__main__":
    main()
