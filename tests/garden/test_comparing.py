"""Weighing things up and keeping them: every way differs only in what it says, hired hours are paid, upkeep becomes jobs."""

from functools import cache

import pytest

from quincunx.demos import demo_garden
from quincunx.features import Feature, kinds
from quincunx.features._alternatives import alternatives, choices
from quincunx.garden import Garden, timeline
from quincunx.garden.comparing import Weighed, weighed, worth_weighing
from quincunx.garden.edits import apply
from quincunx.garden.upkeep import AHEAD_YEARS, due, kept, take, yearly


@cache
def garden(name: str) -> Garden:
    return demo_garden(name)


@cache
def ways(name: str, thing: str) -> tuple[Weighed, ...]:
    return weighed(garden(name), timeline(garden(name)), thing)


def thing(name: str, id_: str) -> Feature:
    return next(f for f in garden(name).features if f.id == id_)


@pytest.mark.parametrize("kind", [k for k in kinds().values() if k.weighed], ids=lambda k: k.words)
def test_every_choice_of_every_kind_can_be_weighed(kind):
    feature = kind.model_validate({"kind": kind.model_fields["kind"].default, **kind.example})
    found = list(alternatives(feature))
    assert found[0][2] is feature
    others = sum(len(choices(kind, n)) - 1 for n in kind.weighed)
    assert len(found) == 1 + others
    for _, words, other in found[1:]:
        assert words
        assert sum(getattr(other, n) != getattr(feature, n) for n in kind.model_fields) == 1


def test_the_summer_seat_made_bought_and_hired():
    found = {w.id: w for w in ways("ropewalk", "seat-shelter")}
    made, kit, hired = (found[f"roof/{n}"] for n in ("as-drawn", "how-kit", "how-hired"))
    # Bought: the maker's own price and weight, one line; no life of ours for it.
    assert kit.reckoned.sum == 189000
    assert kit.reckoned.kg == 235
    assert kit.lasting.life == (12, 12)
    assert kit.a_year is None  # nobody says what keeps it
    # Hired: the same stuff, and its hours at the price of a hired hour; none of one's own.
    assert hired.reckoned.hours == 0
    assert hired.reckoned.hired_hours == pytest.approx(made.reckoned.hours)
    paid = next(b for b in hired.reckoned.bill if b.item == "hired-hour")
    assert hired.reckoned.sum == made.reckoned.sum + (paid.sum or 0)
    assert paid.sum == 3400 * 44  # 43 h 27, whole hours
    # Slats and a solid roof differ in more than money: the roof weighs more to carry and keeps the seat dry.
    slats = found["slats/as-drawn"]
    assert slats.reckoned.sum < made.reckoned.sum
    assert slats.reckoned.kg < made.reckoned.kg
    assert slats.lasting.life == made.lasting.life


def test_money_a_year_is_by_hand():
    made = next(w for w in ways("ropewalk", "seat-shelter") if w.id == "roof/as-drawn")
    assert made.lasting.life == (10, 20)
    assert made.a_year == round(made.reckoned.sum / 15) + made.upkeep_sum


def test_materials_of_a_bed_are_weighed():
    found = {w.id: w for w in ways("ropewalk", "kitchen-bed-1")}
    assert set(found) == {"as-drawn", "made-metal", "made-stone", "made-brick"}
    assert found["made-stone"].reckoned.kg > found["as-drawn"].reckoned.kg
    assert (found["made-stone"].lasting.middle or 0) > (found["as-drawn"].lasting.middle or 99)
    assert found["made-metal"].reckoned.unpriced  # no price is invented


def test_a_thing_that_is_not_there_or_has_no_other_way():
    with pytest.raises(KeyError):
        weighed(garden("ropewalk"), timeline(garden("ropewalk")), "no-such-thing")
    assert not worth_weighing(thing("ropewalk", "cottage"))


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_upkeep_falls_due_after_building_and_not_for_what_stands_for_a_time(name):
    g = garden(name)
    through = timeline(g)
    built: dict[str, int] = {}
    for k in kept(g, through)[0]:
        built[k.feature.called] = min(k.built, built.get(k.feature.called, 9999))
    found = due(g, through)
    assert found
    for d in found:
        assert all(built[n] < d.year <= through.years[0] + AHEAD_YEARS for n in d.names)
        assert d.in_plan == (d.year <= through.years[-1])
    assert not any("Guard" in n for d in found for n in d.names)
    assert len({d.id for d in found}) == len(found)


def test_a_finish_is_kept_only_until_the_next_is_laid_over_it():
    g = garden("kettle-hill")
    through = timeline(g)
    walk = [k for k in kept(g, through)[0] if k.feature.id == "front-walk"]
    assert len(walk) == 2
    chips = [d.year for d in due(g, through) if "woodchip" in d.words and "Front walk" in d.names]
    assert chips
    assert max(chips) < walk[1].built


def test_upkeep_taken_over_is_jobs_that_wait_and_cost():
    g = garden("ropewalk")
    through = timeline(g)
    found = due(g, through)
    after, back = apply(g, take(list(found)))
    new = [j for j in after.jobs if j.id.startswith("upkeep-")]
    assert len(new) == sum(d.in_plan for d in found) > 3
    stain = next(j for j in new if "stain" in j.id and "Kitchen bed 1" in j.note)
    making = next(j for j in g.jobs if "kitchen-bed-1" in j.does)
    assert stain.start is not None
    assert making.start is not None
    assert int(stain.start[:4]) == int(making.start[:4]) + 4
    assert any(a.job == making.id and a.wait_months >= 36 for a in stain.after)
    assert stain.cost > 0
    assert stain.hours > 0
    # A second look finds them in the plan, and offers nothing twice.
    again = due(after, timeline(after))
    assert all(d.taken for d in again if d.in_plan)
    assert take(list(again)).ops == ()
    assert apply(after, back)[0] == g


def test_what_is_done_every_year_is_told_apart():
    g = garden("ropewalk")
    assert all(hours >= 0 for _, hours in yearly(g, timeline(g)))
    assert not any("every-year" in d.id for d in due(g, timeline(g)))
