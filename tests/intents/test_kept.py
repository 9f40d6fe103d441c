"""What is kept from year to year, walker to walker and drag to drag gives the verdicts that nothing kept gives."""

from __future__ import annotations

import math
from dataclasses import fields, is_dataclass, replace
from importlib import resources

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.features import Feature
from quincunx.garden import Garden, read_garden, timeline
from quincunx.intents import Intent, Words
from quincunx.scene import Timeline
from quincunx.shapes import TextFigure, Verdict
from quincunx.walk.reach import forget


def demo(name: str) -> Garden:
    return read_garden((resources.files("quincunx.demos") / "data" / f"{name}.json").read_bytes())


ROPEWALK = demo("ropewalk")
MUSTS = [m for m in ROPEWALK.intents if "walk" in m.reads]
WARM = timeline(ROPEWALK)


def judged(line: Timeline, musts: list[Intent], year: int) -> list[Verdict]:
    words = Words.of(line)
    return [must.judge(line, year, words) for must in musts]


def alike(one: object, other: object) -> bool:
    """Return whether two values are the same but for 1e-9 m: outlines come to that by another order of the same sums."""
    if isinstance(one, float) and isinstance(other, float):
        return math.isclose(one, other, rel_tol=0.0, abs_tol=1e-9)
    if isinstance(one, (tuple, list)) and isinstance(other, (tuple, list)):
        return len(one) == len(other) and all(alike(a, b) for a, b in zip(one, other, strict=True))
    if is_dataclass(one) and type(one) is type(other):
        return all(alike(getattr(one, f.name), getattr(other, f.name)) for f in fields(one))
    return one == other


def test_alike_is_the_same_to_a_nanometre_and_no_less() -> None:
    (one,) = judged(WARM, MUSTS[:1], WARM.years[0])
    assert alike(one, replace(one))
    assert not alike(one, replace(one, because="Otherwise."))
    assert not alike(one, replace(one, measured=1e-6 + (one.measured or 0.0)))
    assert not alike((1.0, 2.0), (1.0,))


def moved(feature: Feature, dx_m: float, dy_m: float, turn_deg: float) -> Feature:
    return feature.changed(**feature.moved(dx_m, dy_m, turn_deg, (0.0, 0.0)))


@settings(max_examples=15, deadline=None)
@given(
    which=st.integers(0, len(ROPEWALK.features) - 1),
    by=st.tuples(st.integers(-30, 30), st.integers(-30, 30), st.sampled_from([0.0, 1.0, -2.5])),
    year=st.sampled_from(list(WARM.years)),
    musts=st.lists(st.sampled_from(MUSTS), min_size=4, max_size=4, unique_by=lambda m: m.id),
)
def test_a_drag_judged_with_all_that_is_kept_equals_one_judged_from_nothing(which, by, year, musts):
    feature = moved(ROPEWALK.features[which], by[0] / 10, by[1] / 10, by[2])
    judged(WARM, musts, year)
    warm = judged(WARM.with_features([feature]), musts, year)
    forget()
    others = [f for f in ROPEWALK.features if f.id != feature.id]
    assert alike(warm, judged(timeline(ROPEWALK.changed(features=[*others, feature])), musts, year))


def test_ground_that_is_shut_in_is_drawn_from_one_corner_whatever_was_judged_before():
    (must,) = (m for m in MUSTS if m.id == "round-walk")
    edge = next(f for f in ROPEWALK.features if f.id == "terrace-edge")
    away = moved(edge, -2.8, 0.4, -2.5)
    forget()
    judged(WARM, [must], 2030)
    warm = judged(WARM.with_features([away]), [must], 2030)
    forget()
    others = [f for f in ROPEWALK.features if f.id != edge.id]
    cold = judged(timeline(ROPEWALK.changed(features=[*others, away])), [must], 2030)
    assert len(cold[0].evidence) == 1
    assert alike(warm, cold)


def test_words_on_a_leak_stand_at_one_place_whatever_was_judged_before():
    (must,) = (m for m in MUSTS if m.id == "closed-rooms")
    hedge = next(f for f in ROPEWALK.features if f.id == "drying-hedge")
    away = moved(hedge, -1.4, -2.6, 1.0)
    forget()
    judged(WARM, [must], 2031)
    warm = judged(WARM.with_features([away]), [must], 2031)
    forget()
    others = [f for f in ROPEWALK.features if f.id != hedge.id]
    cold = judged(timeline(ROPEWALK.changed(features=[*others, away])), [must], 2031)
    assert any(isinstance(f, TextFigure) for f in cold[0].evidence)
    assert alike(warm, cold)


@pytest.mark.slow
@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_each_year_judged_after_the_others_equals_it_judged_alone(name):
    garden = demo(name)
    line = timeline(garden)
    musts = [m for m in garden.intents if "walk" in m.reads]
    warm = {year: judged(line, musts, year) for year in line.years}
    for year, verdicts in warm.items():
        forget()
        assert alike(verdicts, judged(timeline(garden), musts, year))
