"""Fifty kills at random moments of writing; two thousand by ``python -m tests.store.killing 2000``."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.skipif(not hasattr(os, "fork"), reason="the killer forks, which this system can't")
def test_killed_at_any_moment_nothing_acknowledged_is_lost(tmp_path: Path) -> None:
    env = {**os.environ, "QUINCUNX_DATA": str(tmp_path / "data"), "PYTHONPATH": str(ROOT / "src")}
    words = [sys.executable, "-m", "tests.store.killing", "50"]
    done = subprocess.run(words, cwd=ROOT, env=env, capture_output=True, text=True, timeout=110, check=True)
    tally = json.loads(done.stdout)
    assert tally["kills"] == 50
    assert tally["acknowledged"] >= 50, "the writers were killed before they wrote anything"
    assert (tally["lost"], tally["unsound"]) == (0, 0)
