"""The musts about rain, judged in every year of a garden in which a shelter and a tank come later."""

from __future__ import annotations

from dataclasses import replace

import pytest
from pydantic import TypeAdapter
from shapely import box

from quincunx.intents import AnyIntent, Intent, Words
from quincunx.intents._raining import chances, months_words, side_words
from quincunx.scene import Spot, Stood, Timeline
from quincunx.shapes import AreaFigure, State, Verdict
from quincunx.site.climate import Climate
from quincunx.units import Style
from tests.walk.grounds import Thing, still, timeline, wall
from tests.water.gardens import roof, side

H, F, U, N = State.HOLDS, State.FAILS, State.UNKNOWN, State.NOT_DUE
ANY: TypeAdapter[Intent] = TypeAdapter(AnyIntent)
RAIN = (60.0, 40, 40, 45, 50, 50, 50, 60, 55, 65, 65, 60)
CLIMATE = Climate(rain_mm=RAIN, wind_m_s=(4.0,) * 12, wind_from_deg=(225.0,) * 12)
SPOTS = (Spot("seat", "Seat", (10, 10), 1.2),)
SIDES = (side(8, 8, 8.03, 12), side(8, 8, 12, 8.03))


def garden(*, climate: Climate = CLIMATE, north_deg: float = 0.0) -> Timeline:
    things = [
        Thing("shelter", still(Stood((roof(box(8, 8, 12, 12), sheds_to="butt"),))), "2028-03"),
        Thing("sides", still(Stood(SIDES)), "2030-03"),
        Thing("butt", still(Stood((wall("butt", 13, 13, 13.6, 13.6, 1.2),))), "2029-03"),
    ]
    line = timeline(box(0, 0, 20, 20), things, spots=SPOTS, years=4)
    line.frame = replace(line.frame, climate=climate, north_offset_deg=north_deg)
    return line


def must(kind: str, **fields: object) -> Intent:
    return ANY.validate_python({"id": "m", "kind": kind, **fields})


def verdicts(line: Timeline, intent: Intent) -> list[Verdict]:
    words = Words.of(line)
    return [intent.judge(line, year, words) for year in line.years]


def test_a_seat_is_drier_with_a_roof_and_driest_with_sides():
    found = verdicts(garden(), must("dry-in-rain", place="seat", share=0.9))
    measured = [v.measured or 0.0 for v in found]
    assert measured[0] == 0.0
    assert found[0].because == "There is no roof over Seat."
    assert 0.4 < measured[1] == measured[2] < measured[3]
    assert "under the shelter; what wets it comes mostly from the south-west." in found[1].because
    assert found[1].margin == pytest.approx(measured[1] - 0.9)
    assert any(isinstance(f, AreaFigure) and f.owner == "shelter" for f in found[1].evidence)


def test_the_calm_months_are_the_dry_ones():
    gusty = CLIMATE.changed(wind_m_s=(8.0,) * 3 + (2.0,) * 6 + (8.0,) * 3)
    summer = verdicts(garden(climate=gusty), must("dry-in-rain", place="seat", months=[5, 6, 7, 8]))[1]
    winter = verdicts(garden(climate=gusty), must("dry-in-rain", place="seat", months=[12, 1, 2]))[1]
    assert (summer.measured or 0) > (winter.measured or 0) + 0.2
    assert (summer.state, winter.state) == (H, F)


def test_the_wind_is_turned_to_the_plan():
    # Up on the plan 180 degrees off true north: wind from the south-west comes from the plan's upper right.
    turned = verdicts(garden(north_deg=-180.0), must("dry-in-rain", place="seat", share=0.9))[1]
    assert "from the north-east" in turned.because


def test_without_rain_or_wind_it_cannot_be_told():
    bare = garden(climate=Climate())
    dry = verdicts(bare, must("dry-in-rain", place="seat"))[0]
    assert dry.state is U
    assert "on the board: Given, The place, Climate" in dry.because
    assert verdicts(bare, must("roof-fills", tank="butt", from_year=2027))[0].state is U
    assert verdicts(garden(), must("dry-in-rain", place="nowhere"))[0].because == "The nowhere does not stand then."


def test_a_roof_fills_its_tank_once_both_stand():
    found = verdicts(garden(), must("roof-fills", tank="butt", litres=2000, months=[5, 6, 7, 8]))
    assert [v.state for v in found] == [N, N, H, H]
    # 16 m2 in plan, 50 + 50 + 50 + 60 mm, 0.85 caught.
    assert found[2].measured == pytest.approx(16 * 210 * 0.85)
    assert found[2].because == "2,856 l run off the shelter: 16.0 m² in plan, 210 mm of rain, 0.85 of it caught."
    assert Words(style=Style(system="feet")).rain(210.0) == "8.3 in"  # 210 / 25.4
    more = verdicts(garden(), must("roof-fills", tank="butt", litres=9000))[3]
    assert more.state is F
    assert more.margin == pytest.approx(16 * sum(RAIN) * 0.85 - 9000)
    none = verdicts(garden(), must("roof-fills", tank="seat"))[0]
    assert none.because.startswith("No roof drains to Seat.")


def test_sentences_are_plain():
    words = Words({"seat": "Summer seat", "butt": "butt"})
    feet = Words({"butt": "butt"}, Style(system="feet"))
    assert must("dry-in-rain", place="seat").sentence(words) == "Summer seat is dry in ordinary rain."
    told = must("dry-in-rain", place="seat", share=0.6, months=[4, 5, 6]).sentence(words)
    assert told == "Summer seat is dry in ordinary rain in 6 chances in 10, April to June."
    assert must("roof-fills", tank="butt").sentence(words) == "The butt gets 1,000 l from the roofs, a year."
    assert must("roof-fills", tank="butt", months=[7]).sentence(feet) == "The butt gets 264 gal from the roofs, July."
    assert [chances(s) for s in (0.0, 0.06, 0.52, 1.0)] == [
        "0 chances in 10",
        "1 chance in 10",
        "5 chances in 10",
        "10 chances in 10",
    ]
    assert [side_words(d) for d in (0.0, 230.0, 359.0, None)] == [
        "from the north", "from the south-west", "from the north", "from all round",
    ]  # fmt: skip
    assert [months_words(m) for m in ((), (5, 6, 7), (1, 12), tuple(range(1, 13)))] == [
        "", "May to July", "December to January", "",
    ]  # fmt: skip
