"""What a person calls a thing finds it; where nothing is called so, near ones are named."""

from __future__ import annotations

import pytest

from quincunx.garden.called import CalledError, called

THERE = {"hedge-1": "Cobnut hedge", "arch": "Rose arch", "arch-2": "Rose arch", "walk": "The brick walk", "seat": ""}


@pytest.mark.parametrize(
    ("word", "id_"),
    [
        ("hedge-1", "hedge-1"), ("cobnut hedge", "hedge-1"), ("The Cobnut  hedge", "hedge-1"), ("brick walk", "walk"),
        ("hedge 1", "hedge-1"), ("arch", "arch"), ("Seat", "seat"),
    ],
)  # fmt: skip
def test_an_id_or_a_name_finds_it_whatever_its_capitals_and_article(word, id_):
    assert called(word, THERE) == id_


def test_a_name_of_two_things_is_refused_with_both_ids():
    with pytest.raises(CalledError, match=r"More than one thing is called 'rose arch'\. .*: arch, arch-2\."):
        called("rose arch", THERE)


@pytest.mark.parametrize("word", ["cobnutt hedge", "cobnut", "hedg 1"])
def test_near_ones_are_named(word):
    with pytest.raises(CalledError, match=r"There is no thing .* Near to it: Cobnut hedge \(hedge-1\)\."):
        called(word, THERE)


def test_where_none_is_near_all_are_named_or_what_is_said_instead():
    with pytest.raises(
        CalledError, match=r"There is no job 'zzz' in this garden\. There are: Cobnut hedge \(hedge-1\), "
    ):
        called("zzz", THERE, "job")
    with pytest.raises(CalledError, match=r"There are: none\."):
        called("zzz", {})
    with pytest.raises(CalledError, match=r"in this garden\. Look elsewhere\.$"):
        called("zzz", THERE, "thing", "Look elsewhere.")
