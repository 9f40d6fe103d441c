"""Misreadings: found, explained, and told from what only looks like them."""

from __future__ import annotations

import math

import pytest

from quincunx.survey import Distance, Offset, Seen, find_misreadings, slips_of, words
from quincunx.survey.misread import critical_w
from quincunx.units.fields import Length
from quincunx.units.style import Style
from tests.survey.made import SQUARE, nets, survey, tapes

TRUTH = SQUARE | {"e": (4.0, 5.5)}
PAIRS = "ab bc cd da ac bd ae be ce de"
FEET = Style(system="feet")


def written(text: str, style: Style) -> Length:
    from quincunx.units.length import parse_length

    return Length(parse_length(text, style), text)


def misread(id: str, text: str, style: Style = Style(), truth=TRUTH, decimals: int = 2):  # noqa: B008 - frozen
    readings = [
        r.changed(length=written(text, style)) if r.id == id else r for r in tapes(truth, PAIRS, decimals, 0.006)
    ]
    return find_misreadings(survey(truth, readings), style)


class TestSlips:
    def test_swapped_digits(self):  # from c to d is 14.04 m
        found = misread("cd", "11.11")
        assert [s.reading for s in found.suspects] == ["cd"]
        assert found.suspects[0].likely == pytest.approx(14.036, abs=0.02)
        assert found.suspects[0].meant is None
        found = misread("cd", "14.40")
        assert found.suspects[0].meant is not None
        assert found.suspects[0].meant.kind == "swapped"
        assert found.suspects[0].meant.value_m == pytest.approx(14.04)

    @pytest.mark.parametrize(
        ("text", "style", "kind"),
        [
            ("13.04", Style(), "miscounted"),
            ("46.05", Style(), "feet_for_metres"),
            ("14.14", Style(), "zero_end"),
            ("47' 0 5/8\"", FEET, "miscounted"),
            ("14.04 ft", FEET, "feet_for_metres"),
        ],
    )
    def test_usual_slips(self, text, style, kind):
        found = misread("cd", text, style)
        assert [s.reading for s in found.suspects] == ["cd"]
        slip = next(s for s in found.suspects[0].slips if s.kind == kind)
        assert slip.value_m == pytest.approx(14.036, abs=0.03)

    def test_inches_written_as_tenths(self):
        found = {s.kind: s.value_m for s in slips_of(Length(12.4 * 0.3048, "12.4"), FEET)}
        assert found["inches_as_tenths"] == pytest.approx((12 + 4 / 12) * 0.3048)

    def test_look_alike_digits(self):
        found = [s for s in slips_of(Length(16.1, "16.1"), Style()) if s.kind == "look_alike"]
        assert {s.text for s in found} == {"76.1", "19.1", "16.7"}

    def test_wrong_stake(self):
        d = math.dist(TRUTH["a"], TRUTH["e"])
        found = misread("ab", f"{d:.2f}")
        assert found.suspects[0].reading == "ab"
        assert ("wrong_stake", "e") in {(s.kind, s.stake) for s in found.suspects[0].slips}

    def test_offset_on_the_wrong_part(self):
        offset = Offset(id="o", start="a", end="b", along=Length(5.5), side="right", offset=Length(5.0), point="e")
        readings = [*tapes(TRUTH, PAIRS), offset]
        found = find_misreadings(survey(TRUTH, readings))
        assert [(s.reading, s.part) for s in found.suspects] == [("o", "offset")]
        assert found.suspects[0].likely == pytest.approx(4.0, abs=0.03)


class TestNaming:
    def test_clean_survey_names_nothing(self):
        assert not find_misreadings(survey(TRUTH, tapes(TRUTH, PAIRS))).suspects

    def test_what_cannot_be_told_apart_is_named_together_with_the_tape_that_decides(self):
        readings = tapes(SQUARE, "ab bc cd da ac bd")
        readings[2] = readings[2].changed(length=Length(float(readings[2].length) + 0.3))
        found = find_misreadings(survey(SQUARE, readings))
        suspect = found.suspects[0]
        assert "cd" in {suspect.reading, *suspect.together}
        assert len(suspect.together) >= 2

    def test_the_deciding_tape_decides(self):
        truth = SQUARE | {"e": (15.0, 6.0)}
        readings = tapes(truth, "ab bc cd da ac bd ce de ae")
        readings[-1] = readings[-1].changed(length=Length(float(readings[-1].length) + 0.4))
        seen = Seen(id="s", start="a", end="b", point="d", side="right")
        data = survey(truth, [*readings, seen])
        suspect = find_misreadings(data).suspects[0]
        assert "ae" in {suspect.reading, *suspect.together}
        assert suspect.decide is not None
        a, b = suspect.decide
        more = Distance(id="z", start=a, end=b, length=Length(math.dist(truth[a], truth[b])))
        again = find_misreadings(data.changed(readings=(*data.readings, more))).suspects
        assert again[0].reading == "ae"

    def test_without_redundancy_nothing_is_named(self):
        readings = tapes(SQUARE, "ab bc cd da ac")
        readings[0] = readings[0].changed(length=Length(11.0))
        assert not find_misreadings(survey(SQUARE, readings)).suspects

    def test_a_misreading_is_found_where_another_part_still_swings(self):
        truth = TRUTH | {"f": (14.0, 5.0)}
        readings = tapes(truth, PAIRS + " cf")
        readings[0] = readings[0].changed(length=Length(13.0))
        found = find_misreadings(survey(truth, readings))
        assert [s.reading for s in found.suspects] == ["ab"]
        assert found.adjusted.swings[0].stake == "f"

    def test_threshold_grows_with_the_number_of_readings(self):
        assert 3.0 < critical_w(12) < critical_w(250) < 4.2


@pytest.mark.parametrize("count", [20, pytest.param(1000, marks=pytest.mark.slow)])
class TestBars:
    """Bars of the issue on random networks; the sample always runs, the thousand on demand."""

    def test_right_reading_named_first(self, count):
        cases = [case for seed in range(count) if (case := nets().spoiled(seed)) is not None]
        found = sum((s := find_misreadings(data).suspects) != () and s[0].reading == bad for data, bad in cases)
        print(f"found_share {found / len(cases):.3f} of {len(cases)}")
        assert found / len(cases) >= 0.95

    def test_no_false_alarm(self, count):
        alarms = sum(bool(find_misreadings(nets().network(seed)[0]).suspects) for seed in range(count))
        print(f"false alarms {alarms / count:.3f}")
        assert alarms / count <= 0.05

    def test_swapped_digits_recovered(self, count):
        alone = right = 0
        for seed in range(count):
            case = nets().with_swapped_digits(seed)
            if case is None:
                continue
            data, bad, meant = case
            for s in find_misreadings(data).suspects[:1]:
                if s.reading == bad and s.meant is not None:
                    alone += 1
                    right += abs(s.meant.value_m - meant) < 0.0005
        print(f"swapped digits recovered {right} of {alone}")
        assert alone >= count // 4
        assert right / alone >= 0.90


def test_sentences():
    found = misread("cd", "14.40")
    readings = {r.id: r for r in survey(TRUTH, tapes(TRUTH, PAIRS)).readings}
    readings["cd"] = readings["cd"].changed(length=written("14.40", Style()))
    names = {s: s.upper() for s in TRUTH}
    text = words.suspect(found.suspects[0], readings, names, Style())
    assert text.startswith("C–D reads 14.40, but the others say 14.0")
    assert "Swapped digits? 14.40 would fit as 14.04." in text
