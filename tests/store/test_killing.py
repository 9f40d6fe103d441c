"""Fifty kills at random moments of writing; two thousand by ``python -m tests.store.killing 2000``."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.store.killing import kill_many


@pytest.mark.timeout(280)
def test_killed_at_any_moment_nothing_acknowledged_is_lost(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("QUINCUNX_DATA", str(tmp_path / "data"))
    tally = kill_many(50, tmp_path)
    assert tally.kills == 50
    assert tally.acknowledged >= 50, "the writers were killed before they wrote anything"
    assert (tally.lost, tally.unsound) == (0, 0)
