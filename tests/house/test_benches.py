"""Every benchmark runs once at a small size, so that it can't rot; nothing depends on how long it takes."""

from __future__ import annotations

import json
import os
import subprocess
import sys

import pytest

from tests.house.source import ROOT

BENCHES = sorted(
    p.stem for p in (ROOT / "benches").glob("*.py") if not p.stem.startswith("_") and "--json" in p.read_text()
)

FOUND = {"survey"}
"""Those that also say whether what they found is right."""


def test_the_engines_have_their_benchmarks() -> None:
    assert {"board", "survey", "walk", "years"} <= set(BENCHES)


@pytest.mark.timeout(280)
@pytest.mark.parametrize("name", BENCHES)
def test_a_small_run_ends_in_one_json_object(name: str) -> None:
    env = {**os.environ, "PYTHONPATH": os.pathsep.join([str(ROOT / "src"), str(ROOT)])}
    env.pop("QUINCUNX_PEERS_PYTHON", None)
    words = [sys.executable, str(ROOT / "benches" / f"{name}.py"), "--small", "--json"]
    done = subprocess.run(words, cwd=ROOT, env=env, capture_output=True, text=True, timeout=250, check=False)
    assert done.returncode == 0, done.stderr[-2000:]
    said = json.loads(done.stdout.strip().splitlines()[-1])
    assert said.get("ours_s", said.get("p95_ms", 0)) > 0
    if name in FOUND:
        assert {"ours_s", "peers", "ratio", "found_share", "size"} <= set(said)
        assert said["right"]
        assert said["peers"][0]["agreement"]
