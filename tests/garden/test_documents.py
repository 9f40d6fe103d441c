"""Documents, valid and broken: read the same after one normalising pass, or named in plain sentences."""

from __future__ import annotations

import json
from typing import Any

import pytest
from hypothesis import HealthCheck, given, settings, strategies as st

from quincunx.demos import DEMOS, demo_garden, demo_text
from quincunx.garden import Garden, GardenError, garden_from, garden_text, read_garden, timeline
from tests.garden.documents import broken, valid

HEALTH = [HealthCheck.too_slow, HealthCheck.data_too_large, HealthCheck.filter_too_much]
JARGON = (
    "Traceback",
    "pydantic",
    "Input should",
    "validator",
    "NoneType",
    "<class",
    "__",
    "KeyError",
    "tuple",
    "literal_error",
)


def _plain(error: GardenError) -> None:
    assert error.faults
    for fault in error.faults:
        assert fault.sentence.rstrip().endswith((".", "?")), fault
        assert not any(word in fault.sentence for word in JARGON), fault
        assert len(fault.sentence) < 400, fault


def try_one(data: Any) -> Garden | None:
    """Return the garden if it reads; else check that every fault is one plain sentence and return None."""
    try:
        garden = garden_from(data)
    except GardenError as error:
        _plain(error)
        return None
    text = garden_text(garden)
    assert garden_text(read_garden(text)) == text
    return garden


@settings(max_examples=120, suppress_health_check=HEALTH)
@given(valid())
def test_a_valid_document_reads_and_stands(data: dict[str, Any]) -> None:
    garden = try_one(data)
    assert garden is not None
    through = timeline(garden)
    for day in (through.leaf_date(through.years[0]), through.bare_date(through.years[-1])):
        assert through.at(day).key


@settings(max_examples=150, suppress_health_check=HEALTH)
@given(broken())
def test_a_broken_document_is_named_in_sentences(data: dict[str, Any]) -> None:
    named_or_standing(data)


@pytest.mark.slow
@settings(max_examples=1500, suppress_health_check=HEALTH)
@given(broken())
def test_very_many_broken_documents_are_named_in_sentences(data: dict[str, Any]) -> None:
    named_or_standing(data)


def named_or_standing(data: dict[str, Any]) -> None:
    """What is broken is named in sentences; what reads all the same stands."""
    garden = try_one(json.loads(json.dumps(data)))
    if garden is not None:
        through = timeline(garden)
        assert through.at(through.leaf_date(garden.means.first_year)).key


@settings(max_examples=60)
@given(st.binary(max_size=80) | st.text(max_size=80).map(lambda t: t.encode("utf-8", "surrogatepass")))
def test_any_bytes_are_refused_in_one_sentence(data: bytes) -> None:
    with pytest.raises(GardenError) as caught:
        read_garden(data)
    assert str(caught.value).endswith((".", "?"))


@pytest.mark.parametrize("demo", [d.id for d in DEMOS])
def test_the_demonstrations_are_in_normal_form(demo: str) -> None:
    assert garden_text(demo_garden(demo)) == demo_text(demo)


def small(**more: Any) -> dict[str, Any]:
    return {"format": "quincunx/1", "name": "Small", **more}


GATE = {"kind": "gate", "id": "gate", "at": [1, 1]}
WALL = {"kind": "wall", "id": "wall", "line": [[0, 0], [4, 0]]}


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ([], "this is a list"),
        ({}, 'begins with "format": "quincunx/1"'),
        ({"format": "quincunx/2"}, "written as quincunx/2; this program reads up to quincunx/1"),
        ({"format": "other"}, "this program reads"),
        (small(boundary=[[0, 0], [4, 4], [4, 0], [0, 4]]), "crosses itself near 2, 2"),
        (small(boundary=[[0, 0], [4, 4]]), "2 corners; at least 3"),
        (small(features=[{"kind": "moat", "id": "moat"}]), "There is no kind 'moat'"),
        (small(features=[WALL, WALL]), "'wall' is used 2 times in features"),
        (small(features=[WALL], spots=[{"id": "wall", "at": [0, 0]}]), "more than one of rooms, spots and features"),
        (small(jobs=[{"id": "a", "name": "A", "does": ["nothing"]}]), "No feature or finish is called 'nothing'"),
        (small(features=[{**WALL, "height": "1,234"}]), "could be"),
        (small(features=[{**WALL, "height": "3 furlongs"}]), "furlongs"),
        (small(features=[{**WALL, "height": "9 m"}]), "at most 6.00 m"),
        (small(features=[{**WALL, "hight": 2}]), "Nothing here is called that"),
        (
            small(features=[{"kind": "hedge", "id": "h", "line": [[0, 0], [1, 0]], "plant": "no-such"}]),
            "No plant is called 'no-such'",
        ),
        (
            small(intents=[{"kind": "reaches", "id": "m", "start": "a", "end": "b"}]),
            "Nothing in the garden is called 'a'",
        ),
        (
            small(
                jobs=[
                    {"id": "a", "name": "A", "after": [{"job": "b"}]},
                    {"id": "b", "name": "B", "after": [{"job": "a"}]},
                ]
            ),
            "wait for each other in a circle",
        ),
        (small(features=[WALL], jobs=[{"id": i, "name": i, "does": ["wall"]} for i in ("a", "b")]), "made by two jobs"),
    ],
)
def test_each_fault_has_its_sentence(data: Any, words: str) -> None:
    with pytest.raises(GardenError) as caught:
        garden_from(data)
    assert any(words in str(f) for f in caught.value.faults), [str(f) for f in caught.value.faults]


def test_what_can_be_a_word_or_a_month_is_named_once() -> None:
    with pytest.raises(GardenError) as caught:
        garden_from(small(features=[{**WALL, "there_from": "blue"}]))
    (fault,) = caught.value.faults
    assert "such as 2027-03 or March 2027" in fault.sentence
    assert fault.sentence.endswith("It may also be 'start'.")


def test_paths_name_ids_not_numbers() -> None:
    with pytest.raises(GardenError) as caught:
        garden_from(small(features=[WALL, {**GATE, "width": -1}]))
    assert caught.value.faults[0].path == "features → gate → width"


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('{"format": "quincunx/1",', "cut short"),
        ('{"format": "quincunx/1", "name": "a", "name": "b"}', "'name' is given twice"),
        ('{"format": "quincunx/1", "boundary": [[NaN, 0]]}', "NaN is not a number"),
        (b"\xff\xfe", "not UTF-8"),
        ("[" * 100_000, "nested too deeply"),
        (b" " * (33 * 1024 * 1024), "at most 34 MB"),
    ],
)
def test_text_that_is_no_garden(text: str | bytes, words: str) -> None:
    with pytest.raises(GardenError, match=words.replace("(", r"\(")):
        read_garden(text)


def test_typed_lengths_are_kept_as_typed() -> None:
    data = small(
        writing={"units": "feet"}, features=[{**WALL, "height": "5' 6 1/2\"", "line": [[0, 0], ["12' 6\"", 0]]}]
    )
    garden = garden_from(data)
    text = garden_text(garden)
    assert '{"m": 1.6891, "typed": "5\' 6 1/2\\""}' in text
    again = read_garden(text.replace('"units": "feet"', '"units": "metric"'))
    assert float(again.features[0].height) == pytest.approx(1.6891)  # type: ignore[attr-defined]
