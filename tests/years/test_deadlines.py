"""By when what grows must be planted: held to judging the must with the planting moved to that year and the next."""

from __future__ import annotations

import pytest

from quincunx.demos import demo_garden
from quincunx.garden import Garden, timeline
from quincunx.review.read import words_for
from quincunx.shapes import State
from quincunx.years.deadlines import deadlines, told


def garden(hedge_from="2028-03", tree_from="2027-03", journal=()):
    return Garden.model_validate(
        {
            "format": "quincunx/1", "name": "Nuttery", "boundary": [[0, 0], [30, 0], [30, 30], [0, 30]],
            "site": {"place": {"latitude_deg": 52.1, "longitude_deg": 0.5}}, "means": {"first_year": 2027, "years": 8},
            "features": [
                {"kind": "hedge", "id": "screen", "name": "Screen", "line": [[2, 10], [14, 10]], "there_from": hedge_from},
                {"kind": "tree", "id": "nut", "name": "Cobnut", "plant": "corylus-avellana", "at": [8, 20], "there_from": tree_from,
                 "variety": "Early red"},
                {"kind": "tree", "id": "partner", "name": "Old nut", "plant": "corylus-avellana", "at": [12, 20],
                 "variety": "Long green", "there_from": "start", "age_at_start": 12},
            ],
            "intents": [
                {"kind": "plants-hide", "id": "hidden", "by": 2033, "feature": "screen", "high": 1.4},
                {"kind": "bears", "id": "nuts", "by": 2032, "plantings": ["nut"]},
            ],
            "journal": journal,
        }
    )  # fmt: skip


def found(one, *things):
    through = timeline(one)
    return {d.thing: d for d in deadlines(one, through, things, words_for(one, through))}


def state(one, must, year):
    through = timeline(one)
    return next(m for m in one.intents if m.id == must).judge(through, year, words_for(one, through)).state


def test_planted_in_its_latest_year_it_holds_and_a_year_later_it_fails():
    one = garden()
    each = found(one, "screen", "nut")
    assert set(each) == {"screen", "nut"}
    for thing, must, by, month, key in (
        ("screen", "hidden", 2033, "03", "hedge_from"),
        ("nut", "nuts", 2032, "03", "tree_from"),
    ):
        latest = each[thing].latest
        assert state(garden(**{key: f"{latest}-{month}"}), must, by) is State.HOLDS
        assert state(garden(**{key: f"{latest + 1}-{month}"}), must, by) is State.FAILS


def test_it_is_said_what_has_to_be_planted_in_the_first_year():
    one = garden()
    spare = found(one, "screen")["screen"].spare
    assert spare >= 1
    through = timeline(one)
    said = told(one, through, ["screen"], words_for(one, through))
    assert "at the latest; as planned (February 2028) there" in said[0]
    assert said[-1].startswith("So nothing of it must be planted in 2027")
    hurry = Garden.model_validate(
        {**one.model_dump(mode="json"), "intents": [{"kind": "bears", "id": "nuts", "by": 2027 + 2032 - found(one, "nut")["nut"].latest,
                                                      "plantings": ["nut"]}]}
    )  # fmt: skip
    through = timeline(hurry)
    assert (
        told(hurry, through, ["nut"], words_for(hurry, through))[-1]
        == "So Cobnut must be planted in 2027, the first year."
    )


def test_what_no_planting_in_the_plan_can_keep_is_not_asked_of_its_first_year():
    one = garden()
    year = 2027 + 2032 - found(one, "nut")["nut"].latest - 2
    lost = Garden.model_validate(
        {**one.model_dump(mode="json"), "intents": [{"kind": "bears", "id": "nuts", "by": year, "plantings": ["nut"]}]}
    )
    through = timeline(lost)
    said = told(lost, through, ["nut"], words_for(lost, through))
    assert len(said) == 1
    assert said[0].endswith("planted in 2025, before the plan begins: set the must to a later year, or take it out.")


def test_browsed_it_comes_too_late_and_what_would_still_do_is_said():
    late = garden(hedge_from="2030-03")
    assert found(late, "screen")["screen"].spare < 0
    through = timeline(late)
    said = told(late, through, ["screen"], words_for(late, through))[0]
    assert "too late" in said
    assert "In time even so: Larger plants" in said or "It would have to be planted in" in said
    bitten = [{"id": f"b{y}", "day": f"{y}-05-01", "what": "browsed", "about": "screen"} for y in (2029, 2030, 2031)]
    assert found(garden(journal=bitten), "screen")["screen"].spare < found(garden(), "screen")["screen"].spare


def test_what_is_there_or_named_by_no_must_with_a_year_has_no_deadline():
    one = demo_garden("ropewalk")
    assert found(one, "west-hedge", "raspberries") == {}
    assert found(garden(hedge_from="start"), "screen") == {}


@pytest.mark.parametrize(
    ("demo", "things"), [("ropewalk", ("nuttery-east-hedge", "cobnut-1")), ("kettle-hill", ("apple-1",))]
)
def test_the_demonstrations_are_in_time(demo, things):
    assert all(d.spare >= 0 for d in found(demo_garden(demo), *things).values())
