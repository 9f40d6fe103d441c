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
from quincunx.units import Style, parse_length


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
    """Eight canes of a straight hedge: 7 ft and a foot in the ground; the six between stand along the string.

    By pencil: the hedge runs 54 ft along x = 140 ft, from 8 ft to 62 ft north; B is at (147' 7", 0), so cane 8 lies
    sqrt(7.58^2 + 8^2) = 11.02 ft from it; canes stand 54 / 7 = 7.714 ft apart; 3 ft thick is 1 1/2 ft to a side.
    """
    page = page_text("kettle-hill", "drive-hedge")[0].replace("\N{NO-BREAK SPACE}", " ")
    assert "Carry: 8 canes of 8' 2 1/2" in page
    assert re.search(r"Set canes 1 and 8 by the tapes: 8 must then be 11' 0 \S+ from B\. Stretch the string", page)
    between = re.findall(r'"on the string, 1 to 8", "(.+?) from 1"', page.replace(chr(92) + '"', "in"))
    assert [parse_length(t.replace("in", '"'), Style("feet")) / 0.3048 for t in between] == pytest.approx(
        [54 / 7 * k for k in range(1, 7)], abs=0.02
    )
    assert re.search(r"It is 3' 0\S+ thick: the string shows its middle, it reaches 1' 6\S+ to either side", page)
    assert re.search(r"Tie a second string to see it young: 3' 0\S+ in 2027, .+; 7' 0\S+ from 20\d\d\.", page)
    assert "Before you lower or move it: Drive hedge has closed and is 6' 0" in page
    assert "underside" not in page  # nothing of a hedge is open below
    tree = page_text("kettle-hill", "apple-1")[0].replace("\N{NO-BREAK SPACE}", " ")
    assert "5 short pegs" in tree
    assert "Set canes 1, 2 and 5 by the tapes" in tree
    assert tree.count('"round, from 2 to 5"') == 2
    assert "5' 10 3/4" in tree
    assert "thick" not in tree
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
    rows = page[page.index("Set canes 1") :]
    assert all(f"from {n[0]}" in rows or f"from {n[0]}" in found[0] for n in named[1].split("; "))


def test_a_whole_set_holds_no_more_pages_than_a_weekend() -> None:
    assert 1 <= len(page_text("ropewalk")) <= MOST_PAGES


def test_a_set_tries_one_thing_of_each_job_rather_than_the_tallest_alike() -> None:
    titles = [p.partition("\n")[0] for p in page_text("kettle-hill")]
    assert titles == ["Deer fence of the vegetable ground", "Apple 1", "Drive hedge"]


def test_what_is_too_high_for_a_cane_has_a_lower_string_nearer() -> None:
    page = next(p for p in page_text("ropewalk", "cobnut-1"))
    assert "Too high for a cane" in page
    assert "from Summer seat towards cane" in page


def test_a_thing_that_does_not_rise_says_what_is_needed() -> None:
    (page,) = page_text("ropewalk", "terrace")
    assert "Nothing in the plan rises" in page
