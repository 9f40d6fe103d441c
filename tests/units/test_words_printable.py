"""Names and texts that nobody meant: control characters, turned text, halves of letters."""

from __future__ import annotations

import json

import pytest
from hypothesis import given, strategies as st

from quincunx.units.words import MAY_HOLD, one_line, printable


@pytest.mark.parametrize(
    ("typed", "kept"),
    [
        ("Élodie’s 🌿 bed", "Élodie’s 🌿 bed"),
        ("חומת הצפון", "חומת הצפון"),
        ("می\u200cخواهم", "می\u200cخواهم"),  # the joiner belongs to the spelling
        ("👨\u200d👩\u200d👧", "👨\u200d👩\u200d👧"),
        ("two\nlines\tand  more ", "two lines and more"),
        ("\u202etxt.bed", "txt.bed"),
        ("a\x00b", "a b"),
        ("half \ud83d", "half"),
        ("   ", ""),
        (None, None),
    ],
)
def test_a_name_is_one_line_and_keeps_every_script(typed, kept):
    assert one_line(typed) == kept


@given(st.text(st.characters(codec=None)))
def test_what_is_left_can_be_printed_and_stays_as_it_is(text):
    left = printable(text)
    assert printable(left) == left
    left.encode("utf-8")
    assert not {c for c in left if ord(c) < 32} - set("\t\n\r")
    assert one_line(one_line(text)) == one_line(text)


@given(st.text(st.characters(codec=None)))
def test_json_that_holds_what_cannot_be_printed_is_told_at_a_glance(text):
    if printable(text) != text:
        assert MAY_HOLD.search(json.dumps({"name": text}))
        if not any("\ud800" <= c <= "\udfff" for c in text):
            assert MAY_HOLD.search(json.dumps({"name": text}, ensure_ascii=False))


def test_lists_and_objects_are_gone_through():
    assert printable({"a": ["x\x07", 3, None], "b": {"c": "y\ufffe"}}) == {"a": ["x", 3, None], "b": {"c": "y"}}
