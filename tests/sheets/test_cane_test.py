"""The cane test on paper: a page for one thing, its strings in the person's writing, its caution, where to stand."""

from __future__ import annotations

import json
import math
import re

import pytest

from quincunx.demos import demo_garden
from quincunx.review import Review
from quincunx.sheets import pages_of, prepare
from quincunx.sheets._outdoors import base_of
from quincunx.sheets.cane_test import CARE, COVERS, MOST_PAGES
from quincunx.units import parse_length


def page_text(demo: str, about: str = "") -> list[str]:
    of = prepare(demo_garden(demo), judged=Review((), ()), about=about)
    return [p.title + "\n" + json.dumps(list(p.blocks), ensure_ascii=False) for p in pages_of(of, ["cane-test"])]


def test_a_hedge_asked_for_has_a_page_in_feet_and_inches() -> None:
    (page,) = page_text("kettle-hill", "drive-hedge")
    assert page.startswith("Drive hedge")
    assert "7'\N{NO-BREAK SPACE}0\\\"" in page or "7' 0" in page
    assert "Stand at" in page
    assert CARE in page
    assert COVERS in page


def test_the_page_says_what_to_carry_and_how_it_goes_quicker() -> None:
    """Eight canes of a straight hedge: 7 ft and a foot in the ground; the six between stand along the string."""
    page = page_text("kettle-hill", "drive-hedge")[0].replace("\N{NO-BREAK SPACE}", " ")
    assert "Carry: 8 canes of 8' 2 1/2" in page
    assert "set canes 1 and 8 by the tapes and stretch the string between them; the others stand along it, 7' 8" in page
    assert "underside" not in page  # nothing of a hedge is open below
    tree = page_text("kettle-hill", "apple-1")[0].replace("\N{NO-BREAK SPACE}", " ")
    assert "5 short pegs" in tree
    assert "set cane 1 by the tapes; the others stand 5' 10 3/4" in tree
    assert "underside" in tree


def test_a_seat_to_come_is_found_by_tapes_and_only_stakes_that_are_taped_are_named() -> None:
    page = page_text("kettle-hill", "drive-hedge")[0].replace("\N{NO-BREAK SPACE}", " ")
    found = re.search(r"not there yet\? (.+?) from (\w) and (.+?) from (\w), on the (left|right) of (\w) to (\w)", page)
    assert found is not None
    assert (found[2], found[4]) == (found[6], found[7])
    of = prepare(demo_garden("kettle-hill"), judged=Review((), ()))
    seat = next(s for s in of.timeline.frame.spots if s.name == "Seat in the round shelter")
    base = base_of(of)
    at = {name: base.at[i] for i, name in base.names.items()}
    for text, stake in ((found[1], found[2]), (found[3], found[4])):
        assert parse_length(text.replace(chr(92), ""), of.garden.style) == pytest.approx(
            math.dist(at[stake], seat.at), abs=0.005
        )
    named = re.search(r"Tape from: (.+?)\. ", page)
    assert named is not None
    rows = page[page.index('"string at"') :]
    assert all(f"from {n[0]}" in rows or f"from {n[0]}" in found[0] for n in named[1].split("; "))


def test_a_whole_set_holds_no_more_pages_than_a_weekend() -> None:
    assert 1 <= len(page_text("ropewalk")) <= MOST_PAGES


def test_what_is_too_high_for_a_cane_has_a_lower_string_nearer() -> None:
    page = next(p for p in page_text("ropewalk", "cobnut-1"))
    assert "Too high for a cane" in page
    assert "from Summer seat towards cane" in page


def test_a_thing_that_does_not_rise_says_what_is_needed() -> None:
    (page,) = page_text("ropewalk", "terrace")
    assert "Nothing in the plan rises" in page
