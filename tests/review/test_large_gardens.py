"""A large garden isn't kept in memory for all years at once, and is judged as any other."""

from __future__ import annotations

import pytest

from quincunx.demos import demo_garden
from quincunx.review import judging
from quincunx.scene import _kept


def _held() -> int:
    return sum(len(kept._values) + len(kept._older) for kept in _kept._ALL)


def _judged() -> tuple[tuple[judging.Judged, ...], int]:
    _kept.forget_all()
    return judging.judge(demo_garden("ropewalk"), years=range(2027, 2033)), _held()


def test_what_was_worked_out_about_years_gone_by_is_let_go(monkeypatch: pytest.MonkeyPatch) -> None:
    every, held = _judged()
    monkeypatch.setattr(judging, "LARGE", 10)
    of_large, left = _judged()
    assert of_large == every
    assert left < held / 2
    _kept.forget_all()


def test_a_small_garden_keeps_what_was_worked_out(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[int] = []
    monkeypatch.setattr(judging, "age_all", lambda: asked.append(1))
    judging.judge(demo_garden("ropewalk"), years=(2027, 2028))
    assert not asked
