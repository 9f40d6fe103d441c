"""Drip lines against Christiansen's factor summed up outlet by outlet, and the pipe formula in its American form."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings, strategies as st
from shapely import LineString

from quincunx.build.take_off import take_off
from quincunx.garden import Garden, timeline
from quincunx.review import _drips
from quincunx.review._view import View
from quincunx.review.drips_told import rows
from quincunx.review.read import words_for
from quincunx.shapes import DripWork, Severity
from quincunx.water.drip import EXPONENT, asked_l_min, drips, longest_run_m, outlets_factor, pipe_loss_m, run_loss_m


def work(length=6.0, runs=1, **more):
    lines = tuple(LineString([(0, 0.4 * k), (length, 0.4 * k)]) for k in range(runs))
    return DripWork("drip", lines, **{"between_m": 0.3, "litres_h": 2.0, "bore_m": 0.0138, **more})


@pytest.mark.parametrize("outlets", [1, 2, 5, 10, 20, 50, 100, 400])
def test_the_factor_is_the_loss_summed_over_the_outlets(outlets):
    # What Christiansen's formula (1942) stands for: each stretch carries what the outlets beyond it give.
    summed = sum((k / outlets) ** EXPONENT for k in range(1, outlets + 1)) / outlets
    assert outlets_factor(outlets) == pytest.approx(summed, rel=0.005)  # his series is cut after three terms


def test_ten_outlets_lose_two_fifths():
    # F for 10 outlets and m = 1.852 in handbook tables after Christiansen: 0.402 (from memory).
    assert outlets_factor(10) == pytest.approx(0.402, abs=0.0005)


def test_pipe_loses_as_in_the_american_form():
    # psi a foot = 4.52 Q^1.852 / (C^1.852 d^4.8704), Q in US gallons a minute, d in inches (from memory).
    gallons, inches = 120 / 3.785411784 / 60, 0.0138 / 0.0254
    psi_a_foot = 4.52 * gallons**1.852 / (130**1.852 * inches**4.8704)
    metres_of_water = psi_a_foot * 6894.757 / 9806.65 / 0.3048
    assert pipe_loss_m(120, 1.0, 0.0138) == pytest.approx(metres_of_water, rel=0.005)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.1, 1.0), st.floats(0.5, 8.0), st.floats(0.008, 0.025))
def test_the_longest_run_loses_just_what_it_may(between, litres, bore):
    longest = longest_run_m(between, litres, bore)
    step = round(longest / between)
    assert step == 1 or run_loss_m(longest, between, litres, bore) <= 2.0
    assert longest > 298 or run_loss_m((step + 1) * between, between, litres, bore) > 2.0
    # The flow at the far end is then at least nine tenths, by the root of the pressure.
    assert math.sqrt((10.0 - 2.0) / 10.0) > 0.89


def test_its_parts_are_counted_by_hand():
    taken = take_off(work(6.0, 3, feed_m=4.0, fed_from="tap"))
    found = {line.item: line for line in taken.lines}
    assert found["drip-tube"].net == pytest.approx(18.0)
    assert found["drip-tube"].gross == pytest.approx(18.9)
    assert "60 drippers, 120 l/h" in found["drip-tube"].how
    assert found["drip-pipe"].net == pytest.approx(4.8)  # from the tap, and across three ends 0.4 m apart
    assert found["drip-end"].net == 3
    assert found["drip-peg"].net == 21
    assert found["drip-head"].net == 1
    assert [t.amount for t in taken.tasks] == [pytest.approx(22.8)]
    assert not any("nobody has said" in n for n in taken.notes)
    assert any("nobody has said" in n for n in take_off(work()).notes)


def garden(*features):
    return Garden.model_validate(
        {
            "format": "quincunx/1", "name": "Drips", "boundary": [[0, 0], [90, 0], [90, 30], [0, 30]],
            "means": {"first_year": 2027, "years": 2}, "features": features,
        }
    )  # fmt: skip


def drip(length=6.0, **more):
    return {
        "kind": "drip-line", "id": "drip", "name": "Berry drip", "line": [[5, 5], [5 + length, 5]], "there_from": "2027-04",
        **more,
    }  # fmt: skip


TAP = {"kind": "tap", "id": "tap", "name": "Yard tap", "at": [2, 5], "there_from": "start", "flow": 1.0}
BUTT = {"kind": "tank", "id": "butt", "name": "Butt", "at": [2, 5], "there_from": "start"}


def noticed(*features):
    one = garden(*features)
    through = timeline(one)
    return {f.id: f for f in _drips.check(View(one, through, words_for(one, through)))}


def test_a_sound_line_is_told_and_not_noticed():
    one = garden(drip(fed_from="tap", feed=3.0, waters=[]), TAP)
    through = timeline(one)
    scene = through.at(through.leaf_date(2028))
    (found,) = drips(scene)
    assert found.work.drippers == 20
    assert asked_l_min((found,), "tap") == pytest.approx(40 / 60)
    assert found.apart_m == pytest.approx(3.0)
    (row,) = rows(scene, words_for(one, through))
    assert row[0] == "Berry drip"
    assert row[2] == "20"
    assert "Yard tap" in row[4]
    assert not noticed(drip(fed_from="tap", feed=3.0), TAP)


@pytest.mark.parametrize(
    ("features", "what", "grave", "words"),
    [
        ((drip(),), "loose", Severity.HINT, "which tap or tank Berry drip hangs on"),
        (
            (drip(fed_from="seat"), {"kind": "seat", "id": "seat", "at": [2, 5], "there_from": "start"}),
            "dry",
            Severity.FAULT,
            "gives no water",
        ),
        ((drip(fed_from="butt"), BUTT), "weak", Severity.CARE, "a tenth of a bar"),
        ((drip(80.0, fed_from="tap"), {**TAP, "flow": 40.0}), "long", Severity.CARE, "less than nine tenths"),
        ((drip(fed_from="tap", feed=1.0), TAP), "feed", Severity.CARE, "of pipe is counted"),
        ((drip(fed_from="tap", rows=3), TAP), "flow", Severity.FAULT, "together ask"),
    ],
)
def test_each_fault_is_noticed_with_what_to_do(features, what, grave, words):
    found = noticed(*features)[f"drip-{what}-drip"]
    assert found.severity is grave
    assert words in found.words
    assert found.remedy
    assert "Christiansen" in found.source


def test_runs_lie_side_by_side():
    one = garden(drip(rows=3, row_apart=0.5))
    feature = one.features[0]
    assert [round(run.coords[0][1], 6) for run in feature.runs()] == [4.5, 5.0, 5.5]
    assert feature.features_named() == ()
