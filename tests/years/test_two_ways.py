"""Two ways to go on, side by side: what each moves and gives up."""

from __future__ import annotations

from typing import Any

from quincunx.garden import Garden
from quincunx.years.checker import check
from quincunx.years.real import Again, again
from quincunx.years.two_ways import GIVE_LITTLE, GIVE_PAYS, moved_otherwise, nothing_to_gain, two_ways
from tests.years.test_real import BED, entry, plan

DEAR = {
    "id": "seat",
    "name": "Seat",
    "costs": [{"words": "Oak", "sum": 30000}],
    "worth": "dearest",
    "hours": 5,
    "start": "2029-03",
}
SOME = {
    "id": "arch",
    "name": "Arch",
    "costs": [{"words": "Iron", "sum": 30000}],
    "worth": "some",
    "hours": 5,
    "start": "2028-03",
}
DONE = (entry("done", "bed", "2027-03-20", sum=10000, hours=5),)


def both(garden: Garden, little: float = GIVE_LITTLE) -> tuple[Again, Again]:
    return tuple(again(garden, "2027-06", give=give, seconds=30) for give in (little, GIVE_PAYS))  # type: ignore[return-value]


def garden(**more: Any) -> Garden:
    return plan(BED, SOME, DEAR, journal=DONE, **({"sum_a_year": 30000, "opening": 0} | more))


def test_where_moving_more_pays_both_ways_are_told_with_what_each_gives_up() -> None:
    little, pays = both(garden(), little=0.5)
    assert little.found.starts is not None
    assert pays.found.starts is not None
    assert check(pays.today.problem, pays.found.starts).sound
    assert pays.found.worth > little.found.worth
    ways = two_ways(little, pays)
    assert ways is not None
    one, two = ways
    assert one.name == "Move as little as is worth it"
    assert one.words.startswith("Nothing moves. Nothing waits longer than planned. It gives up ")
    share = 100 * (pays.found.worth - little.found.worth) / pays.found.worth
    assert f"{share:.1f} in 100 of the use that is still to come" in one.words
    assert "2 jobs change." in two.words
    assert "Arch waits longest, " in two.words
    assert {m.project for m in moved_otherwise(little, pays)} == {"arch", "seat"}


def test_where_moving_more_brings_nothing_that_is_said() -> None:
    little, pays = both(plan(BED, DEAR | {"start": "2027-06"}, journal=DONE))
    assert two_ways(little, pays) is None
    assert nothing_to_gain(little) == "Moving more than that would bring no more use."
    assert moved_otherwise(little, little) == ()


def test_without_a_plan_there_are_no_two_ways() -> None:
    musts = (DEAR | {"must": True}, SOME | {"must": True})
    little, pays = both(plan(BED, *musts, journal=DONE, sum_a_year=15000, opening=10000))
    assert little.found.starts is None
    assert two_ways(little, pays) is None
    assert nothing_to_gain(little) == ""
