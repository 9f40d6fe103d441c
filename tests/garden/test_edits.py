"""Edits: ids for what is put in."""

from __future__ import annotations

from quincunx.garden import free_id


def test_an_id_that_is_taken_gets_a_number_and_stays_an_id():
    assert free_id("raise-hedge", ()) == "raise-hedge"
    assert free_id("raise-hedge", {"raise-hedge"}) == "raise-hedge-2"
    assert free_id("raise-hedge", {"raise-hedge", "raise-hedge-2"}) == "raise-hedge-3"
    long = "a" * 55 + "-b"
    assert free_id(long, {"a" * 55}) == "a" * 55 + "-2"
