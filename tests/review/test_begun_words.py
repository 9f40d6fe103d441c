"""The lengths that began a garden, kept with its survey: what is said of them, undone, carried out and in again."""

from __future__ import annotations

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden, GardenError, apply, garden_from, garden_text, plain
from quincunx.garden.starting import Answers, begin
from quincunx.review.begun_words import (
    anew_words,
    apart_words,
    first_text,
    leave_out_said,
    left_words,
    other_points,
    together_words,
)
from quincunx.review.ground import measure, summary
from quincunx.review.ground_edits import with_readings
from quincunx.review.ground_report import ground_report
from quincunx.units import Style

METRIC = {"sides": ["18.2", "46", "18", "46.02"], "diagonal": "49.45"}
FEET = {"sides": ["60'", "150' 6\"", "60'", "150' 6\""], "diagonal": "162'", "writing": {"units": "feet"}}
SATURDAY = "A B 18.22\nB C 46.01\nC D 18.02\nD A 46.03\nA C 49.43\nB D 49.42"


def begun(answers: dict, readings: str = "") -> Garden:
    style = Style("feet") if answers.get("writing") else Style()
    garden = begin(Answers.model_validate(answers, context={"style": style}))
    edit, problems = with_readings(garden, readings) if readings else (None, ())
    assert not problems
    return garden if edit is None else apply(garden, edit)[0]


def test_they_are_kept_as_they_were_written_and_come_back_the_same() -> None:
    garden = begun(FEET)
    kept = garden.survey.begun.lengths
    assert [(d.start, d.end, d.length.typed) for d in kept] == [
        ("a", "b", "60'"), ("b", "c", "150' 6\""), ("c", "d", "60'"), ("d", "a", "150' 6\""), ("a", "c", "162'"),
    ]  # fmt: skip
    again = garden_from(plain(garden))
    assert again == garden
    assert garden_text(again) == garden_text(garden)
    assert [d.length.typed for d in again.survey.begun.lengths] == [d.length.typed for d in kept]


def test_a_unit_left_away_is_said_as_it_was_meant() -> None:
    sides = ["23' 4 1/2\"", "41 ft 7", "19' 2¾", "40' 0 1/2"]
    garden = begun({"sides": sides, "diagonal": "47' 1", "writing": {"units": "feet"}})
    said = [first_text(f, garden.style) for f in measure(garden).firsts]
    assert said == ["23' 4 1/2\"", '41 ft 7"', "19' 2¾\"", "40' 0 1/2\"", "47' 1\""]
    bare = begun({"sides": ["60", "60 1/2", "60", "60 1/2"], "diagonal": "85", "writing": {"units": "feet"}})
    assert [first_text(f, bare.style) for f in measure(bare).firsts][:2] == ["60 ft", "60 1/2 ft"]
    metric = begun({"sides": ["18", "46 m", "18 m 05", "46"], "diagonal": "49"})
    assert [first_text(f, metric.style) for f in measure(metric).firsts][:3] == ["18 m", "46 m", "18 m 05"]


def test_a_garden_begun_with_them_has_no_stake_and_no_reading_yet() -> None:
    garden = begun(METRIC)
    assert (garden.survey.stakes, garden.survey.readings) == ((), ())
    report = ground_report(garden)
    assert not report["measured"]
    assert [r["words"] for r in report["begun"]["rows"]] == ["not taped again yet"] * 5
    assert report["begun"]["to_do"] == []
    assert "They are kept, and worked out with what you tape." in report["words"]


def test_taped_again_both_are_one_survey() -> None:
    m = measure(begun(METRIC, SATURDAY))
    assert summary(m).startswith("4 of 4 stakes found from 6 readings and 5 lengths that began the garden, all sure")
    assert together_words(m).startswith("They are worked out together")
    assert apart_words(m) == ()


def test_a_side_read_twice_that_disagrees_says_by_how_much_and_what_to_do() -> None:
    m = measure(begun(METRIC, "A B 17.22\nB C 46.01"))
    (words,) = apart_words(m)
    assert words.startswith(
        "A to B read 18.2 m to begin with and 17.22 m since: 98 cm apart, where 8 cm is what two such"
    )
    assert words.endswith("Tape it a third time and type that too; until then the stakes stand by the later one.")


def test_what_was_not_taped_again_is_named_until_all_is() -> None:
    assert left_words(measure(begun(METRIC))) == ""
    assert (
        left_words(measure(begun(METRIC, "A B 18.21\nB C 46.02"))) == "Not taped again yet: C to D, D to A and A to C."
    )
    assert left_words(measure(begun(METRIC, SATURDAY))) == ""


def test_the_third_tape_decides() -> None:
    third = measure(begun(METRIC, "A B 17.22\nB C 46.01\nA C 49.43\nA B 18.21"))
    assert [s.reading for s in third.searched.suspects] == ["r1"]
    assert apart_words(third) == ()


def test_a_first_length_that_the_others_speak_against_is_left_out_and_the_boundary_to_be_drawn_anew() -> None:
    given = METRIC | {"sides": ["19.2", "46", "18", "46.02"]}
    m = measure(begun(given, SATURDAY))
    (words,) = apart_words(m)
    assert "the first is left out" in words
    assert words.endswith("The boundary was drawn by it: draw it from the stakes.")
    assert m.suspects == ()


def test_stakes_that_are_other_points_are_told_in_one_sentence() -> None:
    m = measure(begun(METRIC, "A B 7.2\nB C 6.1\nA C 9.0"))
    assert apart_words(m) == (other_points(m),)
    assert other_points(m).startswith("3 of 3 lengths that began the garden differ")
    assert together_words(m) == ""


def test_whole_metres_are_lengths_to_the_metre() -> None:
    m = measure(begun({"sides": ["18", "46", "18", "46"], "diagonal": "49"}, "A B 18.3\nB C 46.2\nA C 49.3"))
    assert apart_words(m) == ()
    assert all(f.agrees for f in m.firsts)


def test_leaving_one_out_is_one_edit_that_can_be_undone() -> None:
    garden = begun(METRIC, SATURDAY)
    less, back = apply(garden, leave_out_said(garden, "B A"))
    assert len(less.survey.begun.lengths) == 4
    assert apply(less, back)[0] == garden
    none, _ = apply(garden, leave_out_said(garden, "all"))
    assert measure(none).firsts == ()
    with pytest.raises(GardenError, match="They are: A B, B C, C D, D A, A C"):
        leave_out_said(garden, "B D")


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_a_garden_begun_before_has_none_and_stays_as_it_was(name: str) -> None:
    garden = demo_garden(name)
    assert garden.survey.begun.lengths == ()
    assert ground_report(garden)["begun"] == {"rows": [], "to_do": [], "words": "", "left": "", "other_points": False}
    assert "began the garden" not in summary(measure(garden))


def drawn(garden: Garden, *ring: tuple[float, float]) -> Garden:
    return garden_from(plain(garden) | {"boundary": [list(p) for p in ring]})


def test_a_boundary_drawn_anew_is_told_before_its_first_lengths_count_for_other_corners() -> None:
    garden = begun(METRIC, SATURDAY)
    assert anew_words(garden, measure(garden)) == ()
    a, b, c, d = ((float(x), float(y)) for x, y in garden.boundary)
    turned = drawn(garden, c, d, a, b)  # the same ground, begun at another corner: opposite sides are nearly alike
    (told,) = anew_words(turned, measure(turned))
    assert told.startswith(
        "The boundary was drawn anew since the garden was begun: A, B, C and D are corners elsewhere now."
    )
    assert ground_report(turned)["begun"]["to_do"][0] == told
    one = drawn(garden, a, (b[0] + 1.5, b[1]), c, d)
    (told,) = anew_words(one, measure(one))
    assert "B is a corner elsewhere now" in told
    assert "between the stake of that name" in told


def test_a_boundary_drawn_from_the_stakes_or_by_lengths_that_count_for_nothing_tells_nothing() -> None:
    garden = begun(METRIC, SATURDAY)
    m = measure(garden)
    stakes = drawn(garden, *(m.places[letter] for letter in "abcd"))
    assert stakes.boundary != garden.boundary
    assert anew_words(stakes, measure(stakes)) == ()
    untaped = begun(METRIC)
    assert anew_words(drawn(untaped, (0, 0), (9, 0), (9, 9), (0, 9)), measure(untaped)) == ()
