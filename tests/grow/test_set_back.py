"""What happened to a planting, what it comes to, and what is done about it: common practice, no source, by hand here."""

from __future__ import annotations

from datetime import date

from hypothesis import given, strategies as st

from quincunx.grow.aftercare import after_chores, aftercare, missing
from quincunx.grow.care import care, hours_by_month
from quincunx.grow.set_back import set_backs
from quincunx.plants.setbacks import TAKES_YEARS
from tests.grow.gardens import feature, line, note

ROW = feature("hedge", "row", line=[[0, 0], [6, 0]], plant="crataegus-monogyna", spacing=0.3)
BUSH = feature("shrub", "bush", at=[20, 20], plant="corylus-avellana")


def test_the_list_of_what_is_done_is_sound():
    assert len({c.id for c in after_chores()}) == len(after_chores())
    for chore in after_chores():
        assert chore.what in (*TAKES_YEARS, "lost")
        assert set(chore.wait) <= set(range(1, 13))
        assert 0 < chore.in_row < chore.minutes


def test_a_browsed_row_closes_later_and_is_cut_back_at_once_and_fed_in_march():
    told = line(ROW, journal=[note("2028-05-10", "browsed", "row")])
    (one,) = set_backs(told)
    assert one.years.triple == TAKES_YEARS["browsed"]
    assert one.early == ()
    assert one.closes is not None
    was, now = one.closes
    assert was.not_before is not None
    assert now.not_before is not None
    assert now.not_before >= was.not_before + 1  # half a year at least, and a summer begins in a year
    assert [(a.id, divmod(a.month, 12)) for a in aftercare(told)] == [
        ("cut-bitten", (2028, 4)),
        ("feed-bitten", (2029, 2)),
    ]
    plants = 20  # 6 m at 0.3 m
    cut = next(c for c in care(told, 2028) if c.id == "cut-bitten")
    assert (cut.month, cut.owners) == (5, ("row",))
    assert cut.hours == plants * 1 / 60  # a minute for each of a row
    more = hours_by_month(care(told, 2028))[4] - hours_by_month(care(line(ROW), 2028))[4]
    assert abs(more - cut.hours) < 1e-9


def test_a_browsed_nut_bears_later_and_gives_less():
    (one,) = set_backs(
        line(
            BUSH,
            feature("shrub", "other", at=[24, 20], plant="corylus-avellana"),
            journal=[note("2029-05-10", "browsed", "bush")],
        )
    )
    assert one.bears is not None
    was, now = one.bears
    assert was.usually is not None
    assert now.usually == was.usually + 1
    assert one.lower_m > 0
    assert all(kg > 0 for kg in one.kilograms.values())
    assert min(one.kilograms) >= 2029


def test_what_is_written_down_before_it_was_planted_changes_nothing_and_is_told():
    told = line(ROW, journal=[note("2026-05-10", "browsed", "row")])
    (one,) = set_backs(told)
    assert one.happened == ()
    assert len(one.early) == 1
    assert one.years.triple == (0.0, 0.0, 0.0)
    assert aftercare(told) == ()


def test_what_is_lost_is_planted_again_in_its_season_until_it_has_been():
    lost = note("2028-06-10", "lost", "bush")
    told = line(BUSH, journal=[lost])
    assert set_backs(told)[0].gone
    assert [(a.id, divmod(a.month, 12)) for a in aftercare(told)] == [("plant-again", (2028, 10))]
    again = line(BUSH, journal=[lost, note("2028-11-20", "replanted", "bush")])
    assert missing(again, "bush") is None
    assert aftercare(again) == ()
    assert not set_backs(again)[0].gone


@given(st.lists(st.tuples(st.sampled_from(["lost", "replanted"]), st.integers(1, 9)), max_size=6))
def test_plants_of_a_row_that_are_missing_are_counted(steps):
    journal = [note(f"2028-0{k + 1}-10", what, "row", many) for k, (what, many) in enumerate(steps)]
    short = 0
    for what, many in steps:
        short = short + many if what == "lost" else max(short - many, 0)
    found = missing(line(ROW, journal=journal), "row")
    assert (0 if found is None else found[1]) == short


def test_once_all_of_it_was_planted_again_nothing_lost_before_is_missing():
    some, whole = note("2028-05-10", "lost", "row", amount=3), note("2029-03-10", "replanted", "row")
    assert missing(line(ROW, journal=[some, whole]), "row") is None
    assert missing(line(ROW, journal=[some, note("2028-09-10", "lost", "row"), whole]), "row") is None
    later = note("2029-06-10", "lost", "row", amount=2)
    assert missing(line(ROW, journal=[some, whole, later]), "row") == (date(2029, 6, 10), 2)


def test_where_nothing_happened_nothing_is_told():
    assert set_backs(line(ROW, BUSH)) == ()
    assert aftercare(line(ROW, BUSH)) == ()
    assert missing(line(ROW), "row") is None


def test_no_more_are_planted_again_than_were_there():
    def again(*journal):
        (one,) = (a for a in aftercare(line(ROW, journal=list(journal))) if "plant again" in a.words)
        return one.words

    assert "the 20 that were lost" in again(note("2028-05-10", "lost", "row", amount=500))
    two = note("2028-05-10", "lost", "row", amount=15), note("2029-05-10", "lost", "row", amount=4)
    assert "the 19 that were lost" in again(*two)


def test_where_a_part_was_made_good_the_rest_waits_from_then_and_never_for_a_month_gone_by():
    lost, some = note("2028-05-10", "lost", "row", amount=9), note("2029-03-10", "replanted", "row", amount=4)
    told = line(ROW, journal=[lost, some])
    assert missing(told, "row") == (date(2029, 3, 10), 5)
    (one,) = aftercare(told)
    assert one.month >= 12 * 2029 + 2, "not in the autumn of 2028, which is over"
    bush = line(BUSH, journal=[note("2028-06-10", "lost", "bush")])
    assert [a.month for a in aftercare(bush)] == [12 * 2028 + 10]
    assert [a.month for a in aftercare(bush, 12 * 2029 + 5)] == [12 * 2029 + 10]
    assert [a.month for a in aftercare(bush, 12 * 2027)] == [12 * 2028 + 10]
    assert [y for y in bush.years if again_in(bush, y)] == [2028]
    assert [y for y in bush.years if again_in(bush, y, 12 * 2029 + 5)] == [2029]


def again_in(told, year, now=None):
    """Return whether the care of a year has what was lost planted again."""
    return any(c.id == "plant-again" for c in care(told, year, now))
