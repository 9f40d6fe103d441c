"""Benchmark of survey: 60 stakes and 250 readings adjusted, with the search for misreadings.

Peers do in the same process what a person at ease with general-purpose libraries would do: start values from
shortest paths and classical scaling, a robust ``scipy.optimize.least_squares``, then ``statsmodels`` for the outliers
of the net made linear.  The last two are also timed alone, with the places given to them that ours finds by itself.

Run ``python benches/survey.py [--small] [--json]``; ``--full`` measures the bars on 1,000 random networks.  Seconds
are CPU of this process, with wall beside; one BLAS thread for all.
"""

from __future__ import annotations

import os

os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")  # before NumPy loads: on few cores its threads wait on each other

import argparse
import json
import statistics
import sys
import time
from collections.abc import Callable
from pathlib import Path
from typing import Any

import numpy as np

sys.path.insert(0, str(Path(__file__).parent))

from survey_nets import network, qualifying, spoiled, with_error, with_swapped_digits

from quincunx.survey import Survey, adjust, find_misreadings
from quincunx.survey._gauge import normals
from quincunx.survey._model import DIST, dense, evaluate
from quincunx.survey._net import Net


def cpu(work: Callable[[], Any], times: int = 5) -> tuple[float, float, Any]:
    """Return the median CPU and wall seconds of ``work`` and its last result, after one run to warm up."""
    result = work()
    cpus, walls = [], []
    for _ in range(times):
        c, w = time.process_time(), time.perf_counter()
        result = work()
        cpus.append(time.process_time() - c)
        walls.append(time.perf_counter() - w)
    return statistics.median(cpus), statistics.median(walls), result


def from_tapes_alone(net: Net) -> np.ndarray:
    """Find start values by shortest paths and classical scaling, then fit both hands robustly; keep the better."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import shortest_path

    n, tape = len(net.ids), net.rows.kind == DIST
    a, b = net.rows.points[tape, 0], net.rows.points[tape, 1]
    far = shortest_path(coo_array((net.rows.value[tape], (a, b)), shape=(n, n)).tocsr(), directed=False)
    middle = np.eye(n) - 1.0 / n
    values, vectors = np.linalg.eigh(-0.5 * middle @ far**2 @ middle)
    xy = vectors[:, -2:] * np.sqrt(values[-2:])
    fits = []
    for hand in (1.0, -1.0):
        start = _turned(xy * np.array([hand, 1.0]), net)
        places = by_scipy(net, by_scipy(net, start, "cauchy", 100.0), "cauchy", 3.0)
        cost = float(np.minimum((evaluate(net.rows, places)[0] / net.rows.sd) ** 2, 16.0).sum())
        fits.append((cost, places))
    return by_scipy(net, min(fits, key=lambda f: f[0])[1])


def _turned(xy: np.ndarray, net: Net) -> np.ndarray:
    datum, toward = next(iter(net.gauge.fixed)), net.gauge.toward
    q, d = xy - xy[datum], xy[toward] - xy[datum]
    (s, c), (u, v) = d / np.hypot(*d), net.gauge.direction
    sine, cosine = s * v - c * u, s * u + c * v
    return np.stack([q[:, 0] * cosine - q[:, 1] * sine, q[:, 0] * sine + q[:, 1] * cosine], axis=1)


def near_start(net: Net) -> np.ndarray:
    """Return places 3 cm off, for a peer that is given its start values."""
    return net.xy + np.random.default_rng(0).normal(0.0, 0.03, net.xy.shape)


def by_scipy(net: Net, start: np.ndarray, loss: str = "linear", scale: float = 1.0) -> np.ndarray:
    """Adjust the net with scipy from start values; a robust loss begins to bend at ``scale`` standard deviations."""
    from scipy.optimize import least_squares

    base = net.gauge.settle(net.xy)
    toward, datum = net.gauge.toward, next(iter(net.gauge.fixed))
    base[[s for s in range(len(base)) if s not in net.gauge.fixed]] = 0.0
    base[toward] = base[datum]

    def places(q: np.ndarray) -> np.ndarray:
        return net.gauge.spread(q).reshape(-1, 2) + base

    def misfit(q: np.ndarray) -> np.ndarray:
        return -evaluate(net.rows, places(q))[0] / net.rows.sd

    def slopes(q: np.ndarray) -> np.ndarray:
        slope = evaluate(net.rows, places(q))[1]
        return net.gauge.squeeze(dense(net.rows, slope, net.gauge.count)) / net.rows.sd[:, None]

    first = start.ravel()[net.gauge.columns]
    at = list(net.gauge.columns).index(2 * toward)
    first[at] = (start[toward] - start[datum]) @ np.array(net.gauge.direction)
    method = "lm" if loss == "linear" else "trf"
    return places(least_squares(misfit, first, jac=slopes, method=method, loss=loss, f_scale=scale, xtol=1e-10).x)


def by_statsmodels(net: Net) -> str:
    """Name the worst reading by the externally studentised residuals of the linear net."""
    from statsmodels.api import OLS
    from statsmodels.stats.outliers_influence import OLSInfluence

    design, misfit, _ = normals(net.rows, net.xy, net.gauge)
    fit = OLS(misfit, design).fit()
    worst = int(np.nanargmax(np.abs(OLSInfluence(fit).resid_studentized_internal)))
    return net.rows.listed[worst].reading


def peers(net: Net, first: str, ours_s: float) -> list[dict[str, Any]]:
    """Run the peers on the same net and compare their answers with ours."""
    out: list[dict[str, Any]] = []
    seconds, _, places = cpu(lambda: from_tapes_alone(net), 3)
    agreement = float(np.abs(places - net.xy).max()) < 1e-4
    whole = {"name": "from the tapes alone: scipy paths, scaling, robust fit", "s": seconds, "agreement": agreement}
    seconds, _, places = cpu(lambda: by_scipy(net, near_start(net)))
    apart = float(np.abs(places - net.xy).max())
    out.append({"name": "scipy least_squares (given start values, no search)", "s": seconds, "agreement": apart < 1e-5})
    try:
        import statsmodels  # noqa: F401
    except ImportError:
        return [*out, whole | {"ratio": whole["s"] / ours_s}]
    seconds, _, worst = cpu(lambda: by_statsmodels(net))
    out.append({"name": "statsmodels OLSInfluence (given places)", "s": seconds, "agreement": worst == first})
    whole |= {"name": whole["name"] + ", then statsmodels", "s": whole["s"] + seconds}
    whole["agreement"] = bool(whole["agreement"] and worst == first)
    out.append(whole)
    for peer in out:
        peer["ratio"] = peer["s"] / ours_s
    return out


def ample(stakes: int, ask: int, size_m: float, readings: int) -> Survey | None:
    """Return a network with at least so many readings; not every offset that is asked for fits."""
    survey, _ = network(2, stakes, ask, size_m)
    return survey if len(survey.readings) >= readings else None


def exactly(readings: int, survey: Survey) -> Survey:
    """Leave out every twentieth tape until just so many readings are left."""
    spare = len(survey.readings) - readings
    drop = set(range(10, 10 + 20 * spare, 20))
    return survey.changed(readings=tuple(r for i, r in enumerate(survey.readings) if i not in drop))


def bars(count: int) -> dict[str, float]:
    """Measure the bars on ``count`` random networks of 12 stakes and 36 readings."""
    alarms = sum(bool(find_misreadings(network(seed)[0]).suspects) for seed in range(count))
    found = together = tried = 0
    for seed in range(count):
        case = spoiled(seed)
        if case is None:
            continue
        suspects = find_misreadings(case[0]).suspects
        tried += 1
        found += bool(suspects) and suspects[0].reading == case[1]
        together += bool(suspects) and case[1] in (suspects[0].reading, *suspects[0].together)
    alone = right = swaps = 0
    for seed in range(count):
        swap = with_swapped_digits(seed)
        if swap is None:
            continue
        swaps += 1
        for s in find_misreadings(swap[0]).suspects[:1]:
            if s.reading == swap[1] and s.meant is not None:
                alone += 1
                right += abs(s.meant.value_m - swap[2]) < 0.0005
    return {
        "networks": count,
        "false_alarm_share": alarms / count,
        "tried": tried,
        "found_share": found / tried,
        "found_or_together_share": together / tried,
        "swaps": swaps,
        "one_candidate": alone,
        "swap_recovered_share": right / max(alone, 1),
    }


def main(argv: list[str] | None = None) -> None:
    """Run the benchmark; with ``--json`` the last line is one JSON object."""
    parser = argparse.ArgumentParser(description="Benchmark of survey")
    for flag in ("--small", "--full", "--json"):
        parser.add_argument(flag, action="store_true")
    asked = parser.parse_args(argv)
    stakes, readings = (15, 50) if asked.small else (60, 250)
    size_m = 25.0 if asked.small else 45.0
    data = exactly(
        readings, next(d for ask in range(readings, 2 * readings) if (d := ample(stakes, ask, size_m, readings)))
    )
    reading, unit = qualifying(adjust(data))[7]
    spoilt = with_error(data, reading, 20.0 * unit)
    ours_s, wall_s, result = cpu(lambda: find_misreadings(spoilt))
    first = result.suspects[0].reading
    compared = peers(adjust(spoilt).net, first, ours_s)
    measured = bars(1000 if asked.full else 4 if asked.small else 100)
    size = {"stakes": stakes, "readings": len(data.readings)}
    print(f"adjusted and searched: {ours_s * 1000:.1f} ms CPU, {wall_s * 1000:.1f} ms wall, misread {first == reading}")
    for peer in compared:
        print(f"{peer['name']}: {peer['s'] * 1000:.1f} ms CPU, agrees {peer['agreement']}")
    print(measured)
    if asked.json:
        ratio = compared[-1].get("ratio")
        share = measured["found_share"]
        print(
            json.dumps(
                {"ours_s": ours_s, "wall_s": wall_s, "peers": compared, "ratio": ratio, "found_share": share}
                | {"size": size, "bars": measured, "right": first == reading}
            )
        )


if __name__ == "__main__":
    main()
