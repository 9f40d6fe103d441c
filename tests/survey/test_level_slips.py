"""Misread levels are named and explained; a steel tape's warmth is put right where it matters."""

from __future__ import annotations

import random
from typing import Any

import pytest

from quincunx.garden import garden_from
from quincunx.review.ground import level_words, measure, warm_words
from quincunx.review.ground_report import ground_report
from quincunx.survey import Instrument, Rise, Stake, Survey, adjust
from quincunx.survey._model import true_length_m
from quincunx.survey.accuracy import STEEL_PER_C, rise_sd_m
from quincunx.survey.level_slips import find_level_slips
from quincunx.units import Style
from quincunx.units.fields import Length


def net(rng: random.Random, stakes: int = 7) -> tuple[dict[str, float], list[tuple[str, str]]]:
    """Levels of stakes, and lines between them: a ring and as many chords, so that three lines meet at every stake."""
    z = {f"s{i}": rng.uniform(-0.9, 0.9) for i in range(stakes)}
    names = list(z)
    ring = [(names[i], names[(i + 1) % stakes]) for i in range(stakes)]
    chords = [(names[i], names[(i + 2) % stakes]) for i in range(stakes)]
    return z, ring + chords


def survey_of(z: dict[str, float], rises: list[tuple[str, str, float]]) -> Survey:
    return Survey(
        stakes=tuple(Stake(id=i, name=i.upper()) for i in z),
        datum="s0",
        readings=tuple(
            Rise(id=f"r{n}", start=a, end=b, rise=Length(round(m, 3), f"{m:.3f}")) for n, (a, b, m) in enumerate(rises)
        ),
    )


def noisy(rng: random.Random) -> tuple[dict[str, float], list[tuple[str, str, float]]]:
    z, lines = net(rng)
    sd = rise_sd_m(10.0)
    return z, [(a, b, z[b] - z[a] + rng.gauss(0.0, sd)) for a, b in lines]


def test_a_miscounted_rise_is_named_and_explained_in_most_nets() -> None:
    rng, first, meant = random.Random(7), 0, 0
    for _ in range(120):
        z, rises = noisy(rng)
        k = rng.randrange(len(rises))
        a, b, m = rises[k]
        rises[k] = (a, b, m + rng.choice((0.1, -0.1)))
        _, found = find_level_slips(survey_of(z, rises), Style())
        first += bool(found) and found[0].reading == f"r{k}"
        meant += bool(found) and any(abs(s.value_m - m) < 0.012 for s in found[0].slips)
    assert first >= 0.95 * 120
    assert meant >= 0.9 * 120


def test_clean_nets_are_left_alone() -> None:
    rng, alarms = random.Random(11), 0
    for _ in range(200):
        z, rises = noisy(rng)
        alarms += bool(find_level_slips(survey_of(z, rises))[1])
    assert alarms <= 0.05 * 200


def test_a_rise_written_as_a_fall_is_turned_over() -> None:
    rng = random.Random(3)
    z, rises = noisy(rng)
    k = max(range(len(rises)), key=lambda i: abs(rises[i][2]))
    a, b, m = rises[k]
    rises[k] = (a, b, -m)
    levels, (bad,) = find_level_slips(survey_of(z, rises))
    assert (bad.reading, bad.upside_down) == (f"r{k}", True)
    assert bad.likely_m == pytest.approx(m, abs=0.02)
    assert all(levels.levels[i] - levels.levels["s0"] == pytest.approx(z[i] - z["s0"], abs=0.015) for i in z)


def test_one_loop_alone_can_not_tell_which_and_says_so() -> None:
    z = {"s0": 0.0, "s1": 0.31, "s2": 0.55}
    rises = [("s0", "s1", 0.13), ("s1", "s2", 0.24), ("s2", "s0", -0.55)]
    _, (bad,) = find_level_slips(survey_of(z, rises), Style())
    assert bad.reading == "r0", "swapped digits explain the first alone"
    assert bad.slips[0].kind == "swapped"
    assert set(bad.together) == {"r1", "r2"}


def garden(**survey: Any) -> Any:
    return garden_from({"format": "quincunx/1", "name": "Slope", "survey": survey})


def test_the_person_is_told_in_plain_words() -> None:
    stakes = [{"id": i, "name": i.upper()} for i in "abcd"]
    lines = [("a", "b", 0.31), ("b", "c", 0.24), ("a", "c", 0.55), ("c", "d", 0.12), ("a", "d", 0.67), ("b", "d", 0.63)]
    readings = [
        {"id": f"r{n}", "type": "rise", "start": s, "end": e, "rise": {"m": m, "typed": f"{m:.2f}"}}
        for n, (s, e, m) in enumerate(lines)
    ]
    told = garden(stakes=stakes, datum="a", readings=readings)
    m = measure(told)
    (words,) = level_words(m)
    assert words == (
        "B to D rises 0.630 m, but the others say it rises 0.360 m: read it again."
        " Swapped digits? Rises 0.360 m would fit."
    )
    assert ground_report(told)["level_slips"] == [words]


def test_a_cold_steel_tape_is_put_right_and_said_only_where_it_matters() -> None:
    steel = Instrument(id="long", name="The steel tape", steel=True, warmth=-5.0)
    assert true_length_m(30.0, steel) == pytest.approx(30.0 - STEEL_PER_C * 30.0 * 25.0)
    assert true_length_m(30.0, Instrument(id="x", name="x", steel=False, warmth=-5.0)) == 30.0
    assert true_length_m(30.0, None) == 30.0
    readings = [
        {"id": f"r{n}", "type": "distance", "start": a, "end": b, "length": m, "instrument": "long"}
        for n, (a, b, m) in enumerate([("a", "b", 30.0), ("b", "c", 40.0), ("a", "c", 50.0)])
    ]
    stakes = [{"id": i, "name": i.upper()} for i in "abc"]

    def at(warmth: float) -> Any:
        tool = {"id": "long", "name": "The steel tape", "steel": True, "tape_class": "I", "warmth": warmth}
        return garden(stakes=stakes, datum="a", toward="b", azimuth_deg=90, readings=readings, instruments=[tool])

    cold = measure(at(-10.0))
    (words,) = warm_words(cold)
    assert words.startswith("The steel tape was cold (-10 °C; it is true at 20): 17 mm in 50.00 m.")
    assert warm_words(measure(at(18.0))) == ()
    size = adjust(at(-10.0).survey).positions["b"].x_m
    assert size == pytest.approx(30.0 * (1 - STEEL_PER_C * 30.0), abs=1e-4)
