"""The other side of the water benchmark: pyet's FAO-56 evapotranspiration, run by its own interpreter.

``_water_peers.py JOB FOUND``: reads days of weather, writes the least seconds of CPU and the millimetres.
"""

from __future__ import annotations

import sys
import time

import numpy as np
import pandas as pd
import pyet

ROUNDS = 5


def main() -> None:
    """Read, measure, write."""
    with np.load(sys.argv[1]) as read:
        days = pd.date_range("2017-01-01", periods=len(read["low"]), freq="D")
        low, high, most, least, wind, sunny = (
            pd.Series(read[k], index=days) for k in ("low", "high", "rh_high", "rh_low", "wind", "sunny_h")
        )
        altitude, latitude = float(read["altitude"]), np.radians(float(read["latitude"]))
    took, found = [], None
    for _ in range(ROUNDS):
        began = time.process_time()
        found = pyet.pm_fao56(
            (low + high) / 2,
            wind,
            tmax=high,
            tmin=low,
            rhmax=most,
            rhmin=least,
            elevation=altitude,
            lat=latitude,
            n=sunny,
        )
        took.append(time.process_time() - began)
    np.savez(sys.argv[2], seconds=min(took), mm=np.asarray(found))


if __name__ == "__main__":
    main()
