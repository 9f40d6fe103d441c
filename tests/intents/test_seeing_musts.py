"""The musts about eyes, judged in every year of a small garden whose hedge grows."""

from __future__ import annotations

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.intents import AnyIntent, Intent, Words
from quincunx.intents._seeing import percent
from quincunx.scene import Moment, Spot, Stood, Timeline
from quincunx.shapes import AreaFigure, Height, Leaf, Opening, PathFigure, Solid, State, Surface
from tests.walk.grounds import Thing, gate, still, timeline, wall

H, F, U, N = State.HOLDS, State.FAILS, State.UNKNOWN, State.NOT_DUE
ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
SPOTS = (Spot("window", "Upper window", (10, 1), 4.5), Spot("bench", "Bench", (10, 2), 1.2))
LEAFY = (0.4, 0.4, 0.5, 0.7, 0.95, 0.95, 0.95, 0.95, 0.9, 0.8, 0.6, 0.4)


def growing(moment: Moment) -> Stood:
    """Grow a hedge from spring 2027: 1.0 m high in its first summer, 2.8 m in its fourth."""
    high = Height(0.7 + 0.6 * moment.age_years)
    return Stood((Solid("hedge", "", box(0, 9, 20, 10), top=high, opacity=LEAFY, grown=True),))


def garden(*more: Thing, years: int = 5, grows: bool = True) -> Timeline:
    things = [
        *([Thing("hedge", growing, "2027-03")] if grows else []),
        Thing("terrace", still(Stood(surfaces=(Surface("terrace", "", box(6, 11, 14, 13), "stone"),)))),
        Thing("statue", still(Stood((wall("statue", 9.5, 16, 10.5, 16.4, 2.5),)))),
        *more,
    ]
    return timeline(box(0, 0, 20, 20), things, spots=SPOTS, years=years)


def must(kind: str, **fields: object) -> Intent:
    return ANY.validate_python({"id": "m", "kind": kind, **fields})


def verdicts(line: Timeline, intent: Intent):
    words = Words.of(line)
    return [intent.judge(line, year, words) for year in line.years]


def test_a_terrace_is_hidden_once_the_hedge_is_tall_enough_and_not_when_bare():
    leafy = verdicts(garden(), must("hidden-from", target="terrace", eye="window", bare=False))
    assert [v.state for v in leafy] == [F, F, H, H, H]
    assert leafy[0].measured == pytest.approx(1.0)
    assert leafy[0].margin == pytest.approx(-0.9)
    assert leafy[3].measured == pytest.approx(0.05)
    bare = verdicts(garden(), must("hidden-from", target="terrace", eye="window"))
    assert [v.state for v in bare] == [F] * 5
    assert bare[-1].measured == pytest.approx(0.6)
    assert "60 % of the terrace is seen from Upper window when the twigs are bare." in bare[-1].because


def test_a_must_that_fails_says_what_would_hide_it():
    first = verdicts(garden(), must("hidden-from", target="terrace", eye="window", bare=False))[0]
    # The line to the farthest head, 1.2 m high at y = 12.9, goes over the hedge's far side, y = 10, at 4.5 - 3.3 * 9 / 11.9 = 2.00 m.
    assert "The hedge would hide it all at 2.00 m, closed." in first.because
    alone = garden(grows=False, years=1)
    text = verdicts(alone, must("hidden-from", target="terrace", eye="window", from_year=2027))[0].because
    assert "A screen " in text
    assert " high, " in text


def test_the_evidence_is_the_view_and_what_hides():
    held = verdicts(garden(), must("hidden-from", target="terrace", eye="window", bare=False))[-1]
    lines = [f for f in held.evidence if isinstance(f, PathFigure)]
    assert len(lines) == 3
    assert all(f.points[0] == (10, 1) for f in lines)
    assert [f.owner for f in held.evidence if isinstance(f, AreaFigure)] == ["hedge"]


def test_a_hedge_closes_a_view_that_is_wanted():
    found = verdicts(garden(), must("sees", eye="bench", target="statue"))
    assert [v.state for v in found] == [H, F, F, F, F]
    assert found[0].margin == pytest.approx(0.12)
    assert found[1].margin == pytest.approx(-0.26)
    assert found[1].because.endswith("the rest is behind the hedge.")
    assert found[0].target == 0.5


def test_a_shut_gate_closes_a_view_and_an_open_one_gives_it_away():
    across = Thing("fence", still(Stood((wall("fence", -5, 5, 25, 5.1, 2.4),))))
    way = Thing("door", still(gate("door", (8, 5.05), (12, 5.05), leaf=Leaf(2.4))))
    line = garden(across, way, years=1)
    assert [v.state for v in verdicts(line, must("sees", eye="bench", target="statue"))] == [F]
    assert [v.state for v in verdicts(line, must("hidden-from", target="statue", eye="bench"))] == [F]
    blind = Thing("fence", still(Stood((wall("fence", -5, 5, 25, 5.1, 2.4),), openings=())))
    assert [v.state for v in verdicts(garden(blind, years=1), must("hidden-from", target="statue", eye="bench"))] == [H]
    assert isinstance(line.at(line.leaf_date(2027)).openings[0], Opening)


def test_winter_is_looked_at_where_the_must_says_so():
    tall = Thing("tall", still(Stood((Solid("tall", "", box(0, 4, 20, 5), top=Height(6), opacity=LEAFY, grown=True),))))
    line = garden(tall, years=1)
    summer = verdicts(line, must("sees", eye="window", target="statue", share=0.4, bare=True))[0]
    assert summer.state is F
    assert "in leaf" in summer.because


def test_what_does_not_stand_is_said():
    later = Thing(
        "pond", still(Stood(surfaces=(Surface("pond", "", box(6, 14, 9, 16), "water", water_depth_m=0.5),))), "2029-03"
    )
    found = verdicts(garden(later), must("sees", eye="bench", target="pond"))
    assert [v.state for v in found][:2] == [N, N]
    early = verdicts(garden(later), must("sees", eye="bench", target="pond", from_year=2027))
    assert early[0].state is U
    assert early[0].because == "The pond does not stand then."
    assert (
        verdicts(garden(), must("sees", eye="nowhere", target="statue"))[0].because
        == "The nowhere does not stand then."
    )


def test_sentences_are_plain():
    words = Words({"terrace": "terrace", "window": "Upper window", "bench": "bench", "pond": "pond"})
    assert must("hidden-from", target="terrace", eye="window").sentence(words) == (
        "The terrace is hidden from Upper window, in winter too."
    )
    assert must("hidden-from", target="terrace", eye="window", bare=False, share=0.3).sentence(words) == (
        "The terrace is hidden from Upper window but for 30 %."
    )
    assert must("sees", eye="bench", target="pond").sentence(words) == "The pond is seen from the bench."
    assert "(80 % of it at least)" in must("sees", eye="bench", target="pond", share=0.8).sentence(words)
    assert [percent(s) for s in (0.0, 0.004, 0.126, 0.999)] == ["none", "none", "13 %", "all"]


def test_a_thing_off_the_line_says_how_far_and_which_way():
    line = garden(years=1)
    on = verdicts(line, must("on-the-line", target="statue", start="bench", end="window", from_year=2027))[0]
    assert on.state is H
    assert on.because == "The statue stands on the line to the millimetre."
    aside = Thing("urn", still(Stood((wall("urn", 10.4, 6, 10.6, 6.2),))))
    off = verdicts(garden(aside, years=1), must("on-the-line", target="urn", start="bench", end="statue"))[0]
    assert off.state is F
    assert off.measured == pytest.approx(0.5)
    assert off.because == "The urn stands 0.50 m off the line: move it west."
    assert off.margin == pytest.approx(-0.45)
    little = Thing("urn", still(Stood((wall("urn", 9.934, 6, 10.134, 6.2),))))
    near = verdicts(garden(little, years=1), must("on-the-line", target="urn", start="bench", end="statue"))[0]
    assert near.because == "The urn stands 0.034 m off the line: move it west."
    same = verdicts(line, must("on-the-line", target="statue", start="bench", end="bench"))[0]
    assert same.state is U
    assert must("on-the-line", target="statue", start="bench", end="window").sentence(Words.of(line)) == (
        "The statue stands on the line from Bench to Upper window, to within 0.05 m."
    )


def test_a_room_is_enclosed_once_its_hedge_stands_above_the_eye():
    sides = [
        Thing(f"side{n}", still(Stood((wall(f"side{n}", *at, 2.4),))))
        for n, at in enumerate(((0, 10, 0.2, 20), (19.8, 10, 20, 20), (0, 19.8, 20, 20)))
    ]
    line = garden(*sides)
    found = verdicts(line, must("enclosed", place="terrace", share=0.95))
    assert [v.state for v in found] == [F, H, H, H, H]  # 1.0 m, then 1.603 m against an eye at 1.6 m
    assert "it is open most widely to the south." in found[0].because
    assert found[3].because.startswith("Something stands above the eye along all of its edge, ")
    assert must("enclosed", place="terrace").sentence(Words.of(line)) == "The terrace is enclosed, above 1.60 m."
    gone = verdicts(line, must("enclosed", place="nowhere"))[0]
    assert gone.because == "The nowhere does not stand then."


def test_of_what_is_not_seen_at_all_there_is_no_rest():
    across = Thing("fence", still(Stood((wall("fence", -5, 5, 25, 5.1, 2.4),))))
    because = verdicts(garden(across, years=1), must("sees", eye="bench", target="statue"))[0].because
    assert because == "None of the statue is seen; it is behind the fence and the hedge."
