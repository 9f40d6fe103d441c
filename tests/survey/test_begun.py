"""The lengths that began the garden, adjusted with what was taped later."""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import least_squares

from quincunx.survey import Distance, Stake, Survey, find_misreadings, tape_sd_m
from quincunx.survey.accuracy import begun_sd_m
from quincunx.survey.begun import begun, search_with_begun
from quincunx.survey.readings import Begun
from quincunx.units import Style, parse_length
from quincunx.units.fields import Length
from quincunx.units.length import written_step_m

METRIC, FEET = Style(), Style("feet")
SIDES = ("18.20", "46.00", "18.00", "46.02")
DIAGONAL = "49.45"
SATURDAY = {"ab": 18.22, "bc": 46.01, "cd": 18.02, "da": 46.03, "ac": 49.43, "bd": 49.42}


def typed(text: str, style: Style = METRIC) -> Length:
    return Length(parse_length(text, style), typed=text)


def garden_lengths() -> Begun:
    return begun([], [typed(s) for s in SIDES], typed(DIAGONAL), METRIC)


def survey_of(taped: dict[str, float]) -> Survey:
    stakes = sorted({name for pair in taped for name in pair})
    return Survey(
        stakes=tuple(Stake(id=s, name=s.upper()) for s in stakes),
        readings=tuple(Distance(id=f"r{n}", start=p[0], end=p[1], length=Length(v)) for n, (p, v) in enumerate(taped.items(), 1)),
        begun=garden_lengths(),
    )  # fmt: skip


def searched(taped: dict[str, float]):
    return search_with_begun(survey_of(taped), find_misreadings)


@pytest.mark.parametrize(
    ("text", "style", "step_m"),
    [
        ("18", METRIC, 1.0), ("18.2", METRIC, 0.1), ("18.20 m", METRIC, 0.01), ("1820 cm", METRIC, 0.01),
        ("18,20", Style(decimal_mark=","), 0.01), ("3 m 40", METRIC, 0.01), ("60'", FEET, 0.3048),
        ("60", FEET, 0.3048), ("12' 6\"", FEET, 0.0254), ("12' 6 1/4\"", FEET, 0.0254 / 4), ("12' 4 3/8", FEET, 0.0254 / 8),
    ],
)  # fmt: skip
def test_how_finely_a_length_is_written(text: str, style: Style, step_m: float) -> None:
    assert written_step_m(text, style) == pytest.approx(step_m)


def test_a_first_length_is_coarser_than_a_tape_and_never_finer_than_it_is_written() -> None:
    """An even spread over a step has its width over root twelve as standard deviation (variance of the uniform law)."""
    assert begun_sd_m(18.0) == pytest.approx(2 * tape_sd_m(18.0))
    assert begun_sd_m(18.0, 1.0) == pytest.approx(math.hypot(2 * tape_sd_m(18.0), 1 / math.sqrt(12)))


def test_one_line_read_twice_is_the_mean_weighted_by_the_inverse_variances() -> None:
    """C. Ghilani, Adjustment Computations, on the weighted mean: sum(w l) / sum(w), its variance 1 / sum(w)."""
    found, _ = searched({"ab": 18.22})
    first, later = begun_sd_m(18.20, 0.01) ** -2, tape_sd_m(18.22) ** -2
    kept = round(begun_sd_m(18.20, 0.01), 3) ** -2  # the file keeps it to the millimetre
    assert kept == pytest.approx(first, rel=0.05)
    at = found.adjusted.positions
    far = math.hypot(at["b"].x_m - at["a"].x_m, at["b"].y_m - at["a"].y_m)
    assert far == pytest.approx((kept * 18.20 + later * 18.22) / (kept + later), abs=1e-4)


def test_both_are_adjusted_together_as_scipy_does() -> None:
    found, firsts = searched(SATURDAY)
    assert found.suspects == ()
    assert all(f.joined and f.agrees for f in firsts)
    rows = [(p, v, tape_sd_m(v)) for p, v in SATURDAY.items()]
    rows += [(d.start + d.end, float(d.length), float(d.accuracy or 0)) for d in garden_lengths().lengths]
    at = {s: np.array([p.x_m, p.y_m]) for s, p in found.adjusted.positions.items()}
    order = sorted(at)

    def misfits(flat: np.ndarray) -> np.ndarray:
        xy = dict(zip(order, flat.reshape(-1, 2), strict=True))
        return np.array([(float(np.hypot(*(xy[p[0]] - xy[p[1]]))) - v) / sd for p, v, sd in rows])

    start = np.concatenate([at[s] for s in order]) + 0.05 * np.arange(8)
    peer = dict(zip(order, least_squares(misfits, start, xtol=1e-14, ftol=1e-14).x.reshape(-1, 2), strict=True))
    for pair in ("ab", "bc", "cd", "da", "ac", "bd"):
        ours, theirs = (float(np.hypot(*(net[pair[0]] - net[pair[1]]))) for net in (at, peer))
        assert ours == pytest.approx(theirs, abs=1e-5)


def test_the_first_lengths_make_the_stakes_surer_than_the_later_ones_alone() -> None:
    both, _ = searched(SATURDAY)
    alone = find_misreadings(survey_of(SATURDAY))
    assert both.adjusted.positions["c"].sure_m < alone.adjusted.positions["c"].sure_m
    assert both.adjusted.positions["c"].sure_m > 0.8 * alone.adjusted.positions["c"].sure_m


def test_a_first_length_misread_is_found_and_left_out() -> None:
    """Corners given; the first tape of A-B is a metre too long, all the others are as they lie."""
    corner = {"a": (0.0, 0.0), "b": (18.2, 0.4), "c": (18.9, 46.1), "d": (0.6, 46.4)}
    far = {p: math.dist(corner[p[0]], corner[p[1]]) for p in SATURDAY}
    sides = [Length(far[p] + (1.0 if p == "ab" else 0.0)) for p in ("ab", "bc", "cd", "da")]
    survey = survey_of(far).changed(begun=begun([], sides, Length(far["ac"]), METRIC))
    found, firsts = search_with_begun(survey, find_misreadings)
    assert found.suspects == ()
    ab, *others = firsts
    assert not ab.agrees
    assert ab.apart_m == pytest.approx(1.0, abs=0.001)
    assert ab.said_m == pytest.approx(far["ab"], abs=0.03)
    assert 0.05 < ab.allowed_m < 0.12
    assert all(f.agrees and f.said_m is None for f in others)


def test_a_later_reading_misread_is_found_by_the_first_lengths() -> None:
    found, firsts = searched(SATURDAY | {"ab": 17.22})
    assert [s.reading for s in found.suspects] == ["r1"]
    ab = next(f for f in firsts if f.begun.id == "begun-a-b")
    assert ab.later_wrong
    assert ab.said_m is None


def test_where_nobody_can_tell_the_later_reading_counts() -> None:
    found, firsts = searched({"ab": 17.22, "bc": 46.01})
    assert found.suspects == ()
    ab = next(f for f in firsts if f.begun.id == "begun-a-b")
    assert not ab.joined
    assert not ab.agrees
    at = found.adjusted.positions
    assert math.hypot(at["b"].x_m, at["b"].y_m) == pytest.approx(17.22, abs=1e-6)


def test_stakes_that_are_other_points_are_not_joined() -> None:
    found, firsts = searched({"ab": 7.2, "bc": 6.1, "ac": 9.0})
    assert not any(f.joined for f in firsts)
    assert found.suspects == ()
    at = found.adjusted.positions
    assert math.hypot(at["b"].x_m, at["b"].y_m) == pytest.approx(7.2, abs=1e-6)


def test_a_survey_without_first_lengths_is_searched_as_before() -> None:
    survey = survey_of(SATURDAY).changed(begun=Begun())
    found, firsts = search_with_begun(survey, find_misreadings)
    assert firsts == ()
    assert found == find_misreadings(survey)
