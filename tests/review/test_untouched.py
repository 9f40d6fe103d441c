"""What a thing moved leaves alone is kept without judging: it must be what judging anew would say."""

from __future__ import annotations

import json
from datetime import date
from functools import cache

import pytest
from hypothesis import example, given, settings, strategies as st
from shapely import Point

from quincunx.board.standing import Standing
from quincunx.board.tries import Try, stood_up
from quincunx.demos import demo_garden
from quincunx.features import Feature
from quincunx.garden import Garden, garden_from, plain
from quincunx.review.verdicts import Verdicts
from quincunx.scene.difference import difference
from quincunx.shapes import Verdict
from tests.board.garden import document

MORE = [
    {"kind": "cant-reach", "id": "roe-off-green", "walker": "roe", "end": "green", "gates": "one-left-open"},
    {"kind": "stays-in", "id": "dog-in", "walker": "dog", "place": "green"},
    {"kind": "near-to-hand", "id": "near", "start": "door", "ends": ["bench", "corner"], "within": 9},
    {"kind": "step-free", "id": "no-steps", "start": "door", "end": "bench"},
    {"kind": "way-passes-by", "id": "by-corner", "start": "door", "end": "bench", "by": "corner", "within": 2},
    {"kind": "reaches", "id": "barrow", "walker": "barrow", "start": "outside", "end": "corner"},
    {"kind": "not-eaten", "id": "hedge-kept", "walker": "roe", "plants": ["hedge"]},
    {"kind": "sees", "id": "bench-seen", "eye": "door", "target": "bench"},
    {"kind": "hidden-from", "id": "corner-hidden", "eye": "bench", "target": "corner"},
    {"kind": "on-the-line", "id": "in-line", "target": "gate", "start": "bench", "end": "door", "within": 1},
    {"kind": "sun-at-least", "id": "sun", "place": "corner", "hours": 4},
    {"kind": "sun-before", "id": "early-sun", "place": "bench"},
    {"kind": "shaded-between", "id": "shade", "place": "bench", "share": 20},
    {"kind": "keeps-its-sun", "id": "full-sun", "place": "corner"},
    {"kind": "at-least-wide", "id": "wide", "start": "door", "end": "bench", "width": 0.8},
    {"kind": "at-least-wide", "id": "wide-outside", "start": "door", "end": "corner", "width": 2},
    {"kind": "separate-rooms", "id": "rooms", "rooms": ["green"]},
    {"kind": "keeps-to-path", "id": "to-path", "start": "door", "end": "bench"},
    {"kind": "plants-fit", "id": "fit"},
    {"kind": "works-reached", "id": "works"},
    {"kind": "water-no-more", "id": "water"},
    {"kind": "enclosed", "id": "closed-in", "place": "green", "share": 0.5},
]
"""Musts of every kind that can tell without judging, and some that can't."""


@cache
def garden() -> Garden:
    made = document()
    made["spots"].append({"id": "corner", "name": "Far corner", "at": [10, 1]})
    made["site"]["climate"] = {"rain_mm": [50] * 12, "t_min_c": [4] * 12, "t_max_c": [14] * 12}
    made["intents"] += MORE
    return garden_from(made)


@cache
def base() -> tuple[Standing, Verdicts]:
    at, verdicts = Standing.of(garden(), {}, 0, "main"), Verdicts()
    for must, year in verdicts.waiting(at):
        verdicts.judge(must, year, at)
    return at, verdicts


def moved(at: Standing, changed: Feature) -> Standing:
    return stood_up(at, Try((changed,), date(2029, 8, 31), ""))


def cold(then: Standing) -> Standing:
    return Standing.of(garden_from(plain(then.garden)), {}, 0, "main")


def said(verdict: Verdict) -> tuple[object, ...]:
    """All of a verdict but its figures; what is measured to a tenth of a millimetre."""
    numbers = (verdict.measured, verdict.target, verdict.margin, *(verdict.range or ()))
    return (verdict.state, verdict.because, [None if n is None else round(n, 4) for n in numbers])


place = st.tuples(st.integers(5, 115), st.integers(5, 95)).map(lambda p: (p[0] / 10, p[1] / 10))
things = st.sampled_from(["gate", "hedge", "path", "seat", "wall"])


@settings(max_examples=12)
@example("gate", 0, (6.0, 3.3))
@example("hedge", 1, (9.0, 8.1))
@example("wall", 2, (5.9, 6.1))
@example("wall", 3, (0.5, 2.3))  # the bench is as near on two sides
@given(things, st.integers(0, 3), place)
def test_what_is_told_without_judging_equals_judging_anew(name, handle, to):
    at, verdicts = base()
    thing = next(f for f in garden().features if f.id == name)
    handles = thing.handles()
    then = moved(at, thing.changed(**thing.dragged(handles[handle % len(handles)].id, to)))
    anew = cold(then)
    for must in garden().intents:
        for year in then.timeline.years:
            known = verdicts.untouched(must, year, at, then)
            if known is not None:
                assert said(known.verdict) == said(must.judge(anew.timeline, year, anew.words)), (must.id, year)


def test_most_is_told_without_judging_when_a_thing_moves_out_of_the_way():
    at, verdicts = base()
    hedge = next(f for f in garden().features if f.id == "hedge")
    then = moved(at, hedge.changed(line=((0.5, 8.2), (3.0, 8.2))))
    anew = {m.id for m in garden().intents if verdicts.untouched(m, 2029, at, then) is None}
    assert anew <= {"closed-in", "fit", "hedge-kept", "hours", "sun", "water"}


PARTED = {
    "green-by-gate": ("hedge", ((0.5, 8.2), (8.0, 8.6))),
    "rooms": ("hedge", ((0.5, 8.2), (8.0, 8.6))),
    "wide": ("hedge", ((0.5, 9.2), (6.0, 9.6))),
    "fit": ("gate", (6.0, 3.6)),
    "water": ("gate", (6.0, 3.6)),
    "to-path": ("hedge", ((0.5, 8.2), (6.0, 9.6))),
}


@pytest.mark.parametrize("name", PARTED)
def test_what_is_parted_or_wide_elsewhere_is_told_without_judging(name):
    at, verdicts = base()
    thing, to = PARTED[name]
    feature = next(f for f in garden().features if f.id == thing)
    then = moved(at, feature.changed(**({"line": to} if thing == "hedge" else {"at": to})))
    must = next(m for m in garden().intents if m.id == name)
    known = verdicts.untouched(must, 2029, at, then)
    assert known is not None
    assert not known.fits(then.timeline, then.words.names), "it goes by a scene that has changed"
    anew = cold(then)
    assert said(known.verdict) == said(must.judge(anew.timeline, 2029, anew.words))


def test_the_gate_itself_is_judged_anew():
    at, verdicts = base()
    gate = next(f for f in garden().features if f.id == "gate")
    then = moved(at, gate.changed(at=(6.0, 5.0)))
    for name in ("green-by-gate", "rooms", "wide"):
        assert verdicts.untouched(next(m for m in garden().intents if m.id == name), 2029, at, then) is None


def test_only_the_part_of_a_wall_that_differs_counts_as_near():
    at, _ = base()
    gate = next(f for f in garden().features if f.id == "gate")
    on = at.timeline.leaf_date(2029)
    found = difference(at.timeline.at(on), moved(at, gate.changed(at=(6.0, 3.4))).timeline.at(on))
    assert found.apart(Point(0.5, 6.0), 3.0)
    assert found.apart(Point(6.0, 0.5), 0.5)
    assert not found.apart(Point(6.0, 3.4), 0.1)


def test_what_is_built_at_another_time_is_judged_anew():
    at, verdicts = base()
    must = next(m for m in garden().intents if m.id == "bench-seen")
    seat = next(f for f in garden().features if f.id == "seat")
    assert verdicts.untouched(must, 2029, at, moved(at, seat.changed(there_from="2035-01"))) is None
    other = json.loads(json.dumps(plain(garden())))
    other["jobs"][0]["start"] = "2028-11"
    later = Standing.of(garden_from(other), {}, 0, "main")
    assert not later.timeline.is_changed_from(at.timeline)


def test_a_long_drag_never_pushes_out_what_is_known_of_the_garden_as_it_is():
    at, verdicts = base()
    hedge = next(f for f in garden().features if f.id == "hedge")
    must = next(m for m in garden().intents if m.id == "closed-in")
    for k in range(12):
        then = moved(at, hedge.changed(line=((0.5, 8.0), (8.0 - k / 10, 8.0))))
        verdicts.judge(must, 2029, then)
        assert verdicts.find(must, 2029, then) is not None
    assert verdicts.find(must, 2029, at) is not None


def test_the_rest_of_two_scenes_lies_within_both_and_serves_for_many_places():
    at, _ = base()
    gate = next(f for f in garden().features if f.id == "gate")
    on = at.timeline.leaf_date(2029)
    near, far = (
        difference(at.timeline.at(on), moved(at, gate.changed(at=(6.0, y))).timeline.at(on)) for y in (3.2, 3.4)
    )
    assert near.owners == {"gate", "wall"}
    assert near.rest is far.rest
    whole = {id(s) for s in near.was.solids} & {id(s) for s in near.now.solids}
    left = [s for s in near.rest.solids if id(s) not in whole]
    assert left
    for scene in (near.was, near.now):
        standing = [s.footprint for s in scene.solids if s.owner == "wall"]
        assert all(any(p.covers(s.footprint) for p in standing) for s in left)
    assert difference(near.was, near.was).owners == frozenset()


@pytest.mark.slow
@pytest.mark.parametrize(("name", "handle"), [("west-hedge", "line.1"), ("front-gate", "at"), ("nuttery-gate", "at")])
def test_on_a_whole_garden_too(name, handle):
    at, verdicts = Standing.of(demo_garden("ropewalk"), {}, 0, "main"), Verdicts()
    for must, year in verdicts.waiting(at):
        verdicts.judge(must, year, at)
    thing = next(f for f in at.garden.features if f.id == name)
    x, y = next(h.at for h in thing.handles() if h.id == handle)
    kept = 0
    for dx, dy in ((0.03, 0.1), (0.3, 0.9), (-1.2, 0.4)):
        then = moved(at, thing.changed(**thing.dragged(handle, (x + dx, y + dy))))
        anew = cold(then)
        for must in at.garden.intents:
            for year in then.timeline.years:
                known = verdicts.untouched(must, year, at, then)
                if known is not None and not known.fits(then.timeline, then.words.names):
                    kept += 1
                    assert said(known.verdict) == said(must.judge(anew.timeline, year, anew.words)), (must.id, year)
    assert kept > 20


def test_a_thing_that_a_later_job_makes_is_not_taken_as_unchanged_because_it_does_not_stand_yet():
    """When its job begins nothing of it stands: the scenes are the same, but where the load goes is not."""
    demo = demo_garden("ropewalk")
    at, verdicts = Standing.of(demo, {}, 0, "main"), Verdicts()
    must = next(m for m in demo.intents if m.kind == "works-reached")
    known = verdicts.judge(must, 2028, at)
    bed = next(f for f in demo.features if f.id == "kitchen-bed-1")
    then = moved(at, bed.changed(**bed.dragged("outline.1", (12.223, 26.783))))
    assert known.fits(then.timeline, then.words.names), "what stands on the days looked at is the same"
    assert verdicts.unchanged(must, 2028, at, then) is None
    kept = verdicts.untouched(must, 2028, at, then)
    judged = verdicts.judge(must, 2028, then)
    assert kept is None
    assert judged.verdict.evidence != known.verdict.evidence


def test_a_tank_minds_what_grows_in_the_beds_it_waters():
    at, verdicts = Standing.of(demo_garden("kettle-hill"), {}, 0, "main"), Verdicts()
    must = next(m for m in at.garden.intents if m.id == "tank-lasts")
    known = verdicts.judge(must, 2031, at)
    named = {f.id: f for f in at.garden.features}
    row = named["tomatoes"]
    (x, y) = next(h.at for h in row.handles() if h.id == "line.0")
    shorter = moved(at, row.changed(**row.dragged("line.0", (x + 0.5, y + 0.5))))
    assert verdicts.untouched(must, 2031, at, shorter) is None
    assert verdicts.judge(must, 2031, shorter).verdict != known.verdict
    kept = [
        f.id
        for f in at.garden.features
        if verdicts.untouched(must, 2031, at, moved(at, f.changed(**f.moved(0.2, 0.2, 0.0, (0.0, 0.0)))))
    ]
    assert "tomatoes" not in kept
    assert len(kept) > len(named) / 2
