"""Lengths as the document keeps them."""

from __future__ import annotations

import copy
import pickle

import pytest
from hypothesis import given, strategies as st
from pydantic import TypeAdapter, ValidationError

from quincunx.units.fields import Doc, Length, Point, YearMonth, field, length
from quincunx.units.style import Style

FEET = Style(system="feet", currency="USD")


class Bench(Doc):
    """A made-up thing with a length and a point."""

    at: Point = field("where", (0, 0))
    width_m: Length = length("width", ge=0.3, le=3.0)


def test_a_number_lies_on_the_millimetre_grid():
    assert Bench(width_m=Length(1.2004)).width_m == 1.2
    assert Bench.model_validate({"width_m": 2.4000000000000004}).model_dump_json() == '{"at":[0.0,0.0],"width_m":2.4}'


def test_a_typed_length_keeps_its_writing_and_its_exact_size():
    bench = Bench.model_validate({"width_m": "4' 6 1/2\""}, context={"style": FEET})
    assert bench.width_m == 1.3843
    assert bench.width_m.typed == "4' 6 1/2\""
    assert Bench.model_validate_json(bench.model_dump_json()).width_m.typed == bench.width_m.typed


def test_a_bare_typed_number_is_in_the_gardens_units():
    assert Bench.model_validate({"width_m": "4"}, context={"style": FEET}).width_m == pytest.approx(1.2192)
    assert Bench.model_validate({"width_m": "1,5"}).width_m == 1.5


def test_an_ambiguous_length_is_refused_with_both_readings():
    with pytest.raises(ValidationError, match=r"1\.234 m or 1234 m"):
        Bench.model_validate({"width_m": "1,234"})


@pytest.mark.parametrize("value", [None, True, float("nan"), 1e9, [1], {"m": 1}, {"m": "1", "typed": "1"}, 0.2, 3.01])
def test_what_is_no_length_in_bounds_is_refused(value):
    with pytest.raises(ValidationError):
        Bench.model_validate({"width_m": value})


@pytest.mark.parametrize("typed", ["2027-03", "March 2027", "mar 2027", "3/2027", " 2027-3 "])
def test_a_month_is_read_as_people_write_it_and_kept_in_one_way(typed):
    assert TypeAdapter(YearMonth).validate_python(typed) == "2027-03"


@pytest.mark.parametrize(("typed", "said"), [("Mar 27", "27 March"), ("blue", "not a month"), (5, "string")])
def test_what_is_no_month_is_refused(typed, said):
    with pytest.raises(ValidationError, match=said):
        TypeAdapter(YearMonth).validate_python(typed)


def test_a_document_is_frozen_and_knows_its_keys():
    bench = Bench(width_m=Length(1.2))
    with pytest.raises(ValidationError, match="frozen"):
        bench.width_m = Length(2.0)
    with pytest.raises(ValidationError, match="Extra inputs"):
        Bench.model_validate({"width_m": 1, "colour": "red"})
    assert bench.changed(width_m=2.0).width_m == 2.0
    with pytest.raises(ValidationError):
        bench.changed(width_m=9.0)


@given(st.floats(-1000, 1000), st.one_of(st.none(), st.just("as typed")))
def test_lengths_are_copied_whole(metres, typed):
    one = Length(metres, typed)
    for other in (copy.deepcopy(one), pickle.loads(pickle.dumps(one))):
        assert (other, other.typed) == (one, typed)
