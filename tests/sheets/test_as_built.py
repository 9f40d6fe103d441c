"""As built: what was taped again is held against the plan; made-up truths are found, and the plan moved to them."""

from __future__ import annotations

import math
import re
from typing import Any

import pytest

from quincunx.garden import apply
from quincunx.sheets import Set
from quincunx.sheets._as_built import Built, apart_words, as_built, built_edit, built_words, moves_words, taped
from quincunx.sheets._outdoors import Planned, planned, planned_whole
from quincunx.survey.words import as_planned
from quincunx.units import Style
from quincunx.units.fields import Length
from quincunx.works import Entry
from tests.sheets.outdoors import SHED, demo, job, pages, plot, set_for, texts

CORNERS = {"A": (0.0, 0.0), "B": (20.0, 0.0), "C": (20.0, 15.0), "D": (0.0, 15.0)}


def plan_of(journal: list[dict[str, Any]] | None = None, **shed: Any) -> tuple[Set, Planned]:
    of = set_for(plot({**SHED, **shed}, jobs=[job("den")], journal=journal or []))
    return of, planned(of, of.garden.jobs[0])


def entry(n: int, a: str, b: str, length: float) -> dict[str, Any]:
    return {
        "id": f"m{n}", "day": "2027-04-10", "what": "measured", "about": "work", "points": [a, b], "length": round(length, 3),
    }  # fmt: skip


def moved(at: tuple[float, float], dx: float, dy: float, turn_deg: float) -> tuple[float, float]:
    """A point of the den turned clockwise about its middle (6, 5), then shifted."""
    t = math.radians(turn_deg)
    x, y = at[0] - 6, at[1] - 5
    return 6 + x * math.cos(t) + y * math.sin(t) + dx, 5 + y * math.cos(t) - x * math.sin(t) + dy


def built_at(dx: float, dy: float, turn_deg: float, **shed: Any) -> tuple[Set, Built]:
    """The den built elsewhere, all its corners taped again from three stakes and across."""
    _, plan = plan_of(**shed)
    truth = {i: moved(m.at, dx, dy, turn_deg) for i, m in plan.marks.items()}
    rows, n = [], 0
    ids = list(truth)
    for i in ids:
        for c, at in CORNERS.items():
            n += 1
            rows.append(entry(n, c, i, math.dist(at, truth[i])))
    for a, b in ((0, 2), (1, 3)):
        n += 1
        rows.append(entry(n, ids[a], ids[b], math.dist(truth[ids[a]], truth[ids[b]])))
    of, plan = plan_of(rows, **shed)
    found = as_built(of, plan)
    assert found is not None
    for i in ids:
        assert math.dist(found.places[i], truth[i]) < 0.002
    return of, found


def test_nothing_taped_again_is_nothing_to_say() -> None:
    of, plan = plan_of()
    assert as_built(of, plan) is None


def test_what_came_out_as_planned_moves_nothing() -> None:
    of, found = built_at(0.0, 0.0, 0.0)
    assert found.out == ()
    assert found.moved == ()
    assert "the plan can stay as it is" in " ".join(built_words(of, found))
    assert moves_words(of, found) == []


@pytest.mark.parametrize(("dx", "dy", "turn"), [(0.12, -0.07, 0.0), (0.0, 0.3, 2.0), (-0.25, 0.1, -1.5)])
def test_a_thing_built_elsewhere_is_found_and_drawn_there(dx: float, dy: float, turn: float) -> None:
    of, found = built_at(dx, dy, turn)
    assert len(found.out) == 4
    (feature,) = found.moved
    assert found.remains_m < 0.003
    after, inverse = apply(of.garden, built_edit(of, found))
    assert [f.id for f in after.features if f != next(o for o in of.garden.features if o.id == f.id)] == [feature.id]
    assert apply(after, inverse)[0] == of.garden
    now, plan = set_for(after), planned(set_for(after), after.jobs[0])
    for m in plan.marks.values():
        assert min(math.dist(m.at, p) for p in found.places.values()) < 0.004
    again = as_built(now, plan)
    assert again is not None
    assert again.moved == ()  # drawn as it was built, nothing of it is offered to be moved once more
    said = " ".join(built_words(now, again))
    assert "one more" not in said
    assert said.startswith("The plan is drawn as it was built")
    words = moves_words(of, found)
    assert words[0].startswith("Moves: Den. It then lies within")
    assert words[1] == "Everything else stays where it is drawn."


def test_one_diagonal_35_mm_long_is_told_and_the_likeliest_corners_named() -> None:
    _, plan = plan_of()
    ids = {plan.numbers[i]: i for i in plan.marks}
    d = plan.found.diagonals[0]
    of, plan = plan_of([entry(1, d.start, d.end, d.exact_m + 0.035)])
    found = as_built(of, plan)
    assert found is not None
    assert found.doubtful == ()
    (length,) = found.lengths
    assert length.off_m == pytest.approx(0.035, abs=0.001)
    assert length.state == "outside"
    said = built_words(of, found)
    assert re.search(r"is 35 mm too long: more than the 20 mm allowed", said[0]), said
    # Nothing says which end is off, so both share it: together they account for nearly all of it.
    assert sum(s.off_m for s in found.shifts) == pytest.approx(0.035, rel=0.25)
    assert ids
    assert "one more to each of points" in said[-1]


def test_a_tape_far_out_between_two_posts_moves_neither() -> None:
    """One tape across says nothing against two ties and their check: it is named, and nothing is offered to be moved."""
    _, plan = plan_of()
    d = plan.found.diagonals[0]
    for off in (10.0, 3.0, -1.0):
        of, plan = plan_of([entry(1, d.start, d.end, d.exact_m + off)])
        found = as_built(of, plan)
        assert found is not None
        assert len(found.doubtful) == 1
        assert found.moved == ()
        assert "Tape those once more" in built_words(of, found)[-1]


def test_what_makes_no_shape_moves_nothing() -> None:
    _, plan = plan_of()
    mixed = dict(
        zip(plan.marks, [m.at for m in [*plan.marks.values()][::-1]], strict=True)
    )  # two pairs of posts taken for each other
    rows = [
        entry(n, c, i, math.dist(CORNERS[c], (mixed[i][0] + 0.5 * (n % 3), mixed[i][1])))
        for n, (i, c) in enumerate((i, c) for i in mixed for c in "ABCD")
    ]
    of, plan = plan_of(rows)
    found = as_built(of, plan)
    assert found is not None
    assert found.moved == () or found.remains_m <= 0.25


def test_one_post_off_is_drawn_as_near_as_the_shape_allows_and_no_more_is_asked() -> None:
    """A den stays square: with one corner 9 cm out, the plan comes as near as it can, and then says so."""
    _, plan = plan_of()
    far = next(iter(plan.marks))
    truth = {i: (m.at[0] + 0.09 * (i == far), m.at[1]) for i, m in plan.marks.items()}
    rows = [
        entry(n, c, i, math.dist(CORNERS[c], truth[i]))
        for n, (i, c) in enumerate((i, c) for i in truth for c in "ABCD")
    ]
    of, plan = plan_of(rows)
    found = as_built(of, plan)
    assert found is not None
    assert found.moved
    after, _ = apply(of.garden, built_edit(of, found))
    of, plan = set_for(after), planned(set_for(after), after.jobs[0])
    found = as_built(of, plan)
    assert found is not None
    assert found.moved == ()
    assert found.out
    said = built_words(of, found)
    assert said[0].startswith("The plan is drawn as it was built, as near as its shape allows")
    assert "once more" not in " ".join(said)
    more = entry(99, "A", far, math.dist(CORNERS["A"], truth[far]))  # taped again since: it is looked at anew
    later = as_built(set_for(after.model_copy(update={"journal": (*after.journal, Entry(**more))})), plan)
    assert later is not None
    assert not later.drawn


def test_a_misread_tape_is_named_and_moves_nothing() -> None:
    _, plan = plan_of()
    d = plan.found.diagonals[0]
    ends = [plan.marks[d.start].at, plan.marks[d.end].at]
    rows = [entry(n, c, p, math.dist(CORNERS[c], at)) for n, (c, p, at) in enumerate(
        [(c, p, at) for c in "ABCD" for p, at in zip((d.start, d.end), ends, strict=True)]
    )]  # fmt: skip
    of, plan = plan_of([*rows, entry(99, d.start, d.end, d.exact_m + 1.0)])
    found = as_built(of, plan)
    assert found is not None
    assert len(found.doubtful) == 1
    assert found.moved == ()
    assert "Tape those once more" in built_words(of, found)[-1]


def test_the_last_of_two_tapes_of_one_length_counts() -> None:
    _, plan = plan_of()
    d = plan.found.diagonals[0]
    first = {**entry(1, d.start, d.end, d.exact_m + 0.5), "day": "2027-04-01"}
    of, plan = plan_of([first, entry(2, d.end, d.start, d.exact_m)])
    found = as_built(of, plan)
    assert found is not None
    assert [round(x.off_m, 3) for x in found.lengths] == [pytest.approx(0.0, abs=0.001)]


def test_lengths_of_points_that_are_gone_are_left_alone() -> None:
    of, plan = plan_of([entry(1, "old-1", "old-2", 4.0)])
    assert as_built(of, plan) is None


def test_the_page_says_what_was_staked_found_off_and_allowed() -> None:
    """A diagonal 35 mm long: of lengths, that one alone is off; the page says so and what to do."""
    _, plan = plan_of()
    ids = list(plan.marks)
    rows = [
        entry(1, ids[0], ids[2], math.dist(plan.marks[ids[0]].at, plan.marks[ids[2]].at) + 0.035),
        entry(2, ids[1], ids[3], math.dist(plan.marks[ids[1]].at, plan.marks[ids[3]].at)),
    ]
    of, _ = plan_of(rows)
    (page,) = pages(of, "as-built")
    table = page.blocks[1]
    assert [row[3] for row in table["rows"]] == ["35 mm long", "nothing"]
    assert [row[5]["s"] for row in table["rows"]] == ["NO", "yes"]
    assert table["head"] == ["between", "staked", "found", "off by", "allowed", "within"]
    assert any("too long" in t for t in texts(page))
    assert page.note == "1 length off by more than allowed"
    assert {row[4]["s"] for row in page.blocks[3]["rows"]} <= {"as far as taped", "tape it once more", "yes"}


def test_the_page_says_what_would_move() -> None:
    of, _ = built_at(0.12, -0.07, 0.0)
    said = " ".join(texts(pages(of, "as-built")))
    assert "4 points off by more than allowed" in said
    assert "Moves: Den" in said
    assert "No must names what moves" in said


def test_without_anything_taped_again_it_says_what_it_needs() -> None:
    assert "Nothing was taped again" in texts(pages(plan_of()[0], "as-built"))[-1]


def test_what_a_tape_in_eighths_cannot_tell_is_as_planned() -> None:
    """Half of an eighth of an inch is 1.6 mm (1 in = 25.4 mm exactly)."""
    feet, metric = Style("feet"), Style("metric")
    assert [as_planned(m, feet) for m in (0.0015, 0.0017)] == [True, False]
    assert [as_planned(m, metric) for m in (0.0004, 0.0006)] == [True, False]


def test_a_point_of_a_later_part_is_held_against_the_plan_too() -> None:
    base = demo("kettle-hill")
    beds = next(j for j in base.garden.jobs if j.id == "veg-beds")
    plan = planned_whole(base, beds)
    assert len(plan.counts) > 1
    last = plan.found.points[-1]
    tapes = [*last.ties, *((last.check,) if last.check else ())]
    rows = [
        Entry(
            id=f"t{n}", day="2028-08-01", what="measured", about=beds.id, points=(t.stake, last.id),
            length=Length(round(t.exact_m + 0.002, 3)),
        )
        for n, t in enumerate(tapes)
    ]  # fmt: skip
    of = set_for(base.garden.changed(journal=(*base.garden.journal, *rows)))
    found = as_built(of, planned_whole(of, beds))
    assert found is not None
    assert [s.point for s in found.shifts] == [last.id]
    (page,) = pages(of, "as-built")
    assert f"point {plan.numbers[last.id]}" in texts(page)


def by(n: int, who: str, a: str, b: str, length: float) -> dict[str, Any]:
    return {**entry(n, a, b, length), "by": who, "phone": f"{who.lower()}1"}


def test_two_phones_that_agree_both_count_and_one_that_tapes_again_counts_once() -> None:
    _, plan = plan_of()
    d = plan.found.diagonals[0]
    rows = [
        by(1, "Ada", d.start, d.end, d.exact_m + 0.5),
        by(2, "Ben", d.end, d.start, d.exact_m + 0.003),
        by(3, "Ada", d.start, d.end, d.exact_m + 0.001),  # taped again: the better one of the same phone
    ]
    of, plan = plan_of(rows)
    ((_, found),) = taped(plan, of.garden.journal).items()
    assert [(e.by, e.id) for e in found] == [("Ben", "m2"), ("Ada", "m3")]
    built = as_built(of, plan)
    assert built is not None
    assert len(built.lengths) == 2
    assert built.doubtful == ()
    assert apart_words(plan, of.garden.journal, of.garden.style) == []


def test_two_phones_that_differ_are_told_and_nothing_is_moved_to_either() -> None:
    _, plan = plan_of()
    d = plan.found.diagonals[0]
    rows = [by(1, "Ada", d.start, d.end, d.exact_m), by(2, "Ben", d.start, d.end, d.exact_m + 0.3)]
    for journal in (rows, rows[::-1]):
        of, plan = plan_of(journal)
        built = as_built(of, plan)
        assert built is not None
        (words,) = built.doubtful
        assert "(Ada)" in words
        assert "(Ben)" in words
        assert "30 cm apart" in words
        assert built.moved == ()
        assert apart_words(plan, of.garden.journal, of.garden.style) == [words]
        assert "Tape those once more" in built_words(of, built)[-1]
