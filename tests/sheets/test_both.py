"""The same view with something and without it: what is drawn where, when it is grown, the card, the page of the set."""

from __future__ import annotations

import io
import re
from copy import deepcopy
from dataclasses import replace
from datetime import date, datetime
from xml.etree import ElementTree as ET

import pytest
import shapely
from PIL import Image

from quincunx.features.held import Held
from quincunx.light.shadow_day import Shadow, shadows
from quincunx.light.sky import Sky
from quincunx.scene import Scene
from quincunx.shapes import AreaFigure, TextFigure
from quincunx.sheets import Set, SheetError
from quincunx.sheets._both import FULL, THIRTY, Both, both, subject_of
from quincunx.sheets._both_card import CARD_MM, LETTER, PIXELS_PER_MM, card, folded, missing, png
from quincunx.sheets._moments import TOLD, Moment, asked, read_day, read_hour
from quincunx.sheets._outlooks import photo_day
from quincunx.sight.outlook import Outlook
from tests.sheets.outdoors import SHED, demo, job, pages, plot, said, set_for

SCREEN = {"kind": "fence", "id": "screen", "name": "Screen <1> & gate", "line": [[6, 10], [14, 10]], "height": 1.8}
HEDGE = {"kind": "hedge", "id": "green", "name": "Green", "line": [[4, 12], [16, 12]], "plant": "carpinus-betulus"}
HERE = {"id": "here", "name": "Here", "at": [10, 5]}
HIGH = {"id": "window", "name": "Window", "at": [3, 1], "height": 4.5}
WALL = {
    "kind": "wall",
    "id": "back",
    "name": "Back wall",
    "line": [[1, 14], [19, 14]],
    "height": 3.0,
    "there_from": "start",
}


@pytest.fixture(scope="module")
def kept_open() -> Set:
    held = {
        **deepcopy(Held.example),
        "kind": "held",
        "id": "place",
        "name": "Place",
        "there_from": None,
        "outline": [[8, 8], [11, 8], [11, 11], [8, 11]],
    }
    for choice, at in zip(held["shortlist"], ({"line": [[8, 8], [11, 8]]}, {"at": [9.5, 9.5]}), strict=True):
        choice["feature"] |= at
    return set_for(plot(held, spots=[HERE], jobs=[job("place", id="place-job"), job(id="dig", start="2028-01")]))


@pytest.fixture(scope="module")
def screened() -> Set:
    return set_for(plot(SCREEN, WALL, SHED, spots=[HERE, HIGH], jobs=[job("screen")]))


def of_owner(look: Outlook, owner: str) -> list[AreaFigure]:
    return [f for f in look.figures if isinstance(f, AreaFigure) and f.owner == owner]


def test_a_fence_five_metres_off_stands_where_a_pencil_puts_it(screened: Set) -> None:
    """The picture plane is 1 m before the eye: over 5 m, 1.8 m seen from 1.6 m is (1.8 - 1.6) / 5 high, 8 m is 1.6 wide."""
    (one,) = both(screened, "work", ["here"])
    assert one.where == "from Here, looking north"
    (row,) = one.rows
    assert row.on == date(2027, 6, 30)
    xs, ys = zip(*(p for f in of_owner(row.within, "screen") for ring in f.rings for p in ring), strict=True)
    assert max(ys) == pytest.approx(0.04, abs=0.005)
    wide = one.place.camera.half[0]
    assert (min(xs), max(xs)) == (pytest.approx(-wide, abs=1e-6), pytest.approx(wide, abs=1e-6)), (
        "1.6 is wider than the view"
    )
    assert of_owner(row.without, "screen") == []


def test_what_is_put_there_hides_and_never_shows_more_of_the_rest(screened: Set) -> None:
    for one in both(screened, "work"):
        for row in one.rows:
            before, after = dict(row.without.shares), dict(row.within.shares)
            assert "screen" in after
            assert "screen" not in before
            assert all(share <= before.get(owner, 0.0) + 1e-3 for owner, share in after.items() if owner != "screen")
            assert after.get("back", 0.0) < before["back"]
            assert [f for f in row.without.figures if isinstance(f, TextFigure)] == [], (
                "nothing is named that is the same"
            )
            assert {f.owner for f in row.within.figures if isinstance(f, TextFigure)} <= {"screen"}


def test_one_stands_a_few_steps_off_on_free_ground_and_then_where_most_is_seen(screened: Set) -> None:
    found = list(both(screened, "work"))
    assert [one.place.id for one in found] == ["near", "here", "window"]
    assert re.fullmatch(r"from \d\.\d m (north|south) of it, looking (south|north)", found[0].where)
    assert [one.place.stake for one in found[1:]] == sorted((one.place.stake for one in found[1:]), reverse=True)
    assert found[2].place.camera.z_m == pytest.approx(4.5), "a window looks from its own height"


def test_one_can_stand_at_any_point_of_the_plan_but_not_in_what_is_shown(screened: Set) -> None:
    (one,) = both(screened, "work", ["10,5"])
    (here,) = both(screened, "work", ["here"])
    assert one.where == "from 5.0 m south of it, looking north"
    assert one.place.camera == here.place.camera
    assert one.rows == here.rows
    for point in ("10,500", "10,10"):
        with pytest.raises(SheetError, match="stand beside it"):
            list(both(screened, "screen" if point == "10,10" else "work", [point]))


def test_grown_is_when_nine_tenths_of_the_height_thirty_years_on_are_there() -> None:
    of = set_for(plot(HEDGE, spots=[HERE], jobs=[job("green")]))
    young, grown = next(both(of, "work", ["here"])).rows
    line = of.timeline
    hedge = line.feature("green")
    assert hedge is not None

    def high(year: int) -> float:
        return max(s.top.value_m for s in line.stood(hedge, photo_day(line, year)).solids)

    first, last = young.on.year, grown.on.year
    assert high(last) >= FULL * high(first + THIRTY) > high(last - 1)
    assert young.words == "June 2027, its first summer"
    assert grown.words == f"June {last}, grown: {last - first} years later"


def test_a_thing_alone_leaves_the_rest_of_its_job_and_takes_what_cannot_be_without_it() -> None:
    gate = {"kind": "gate", "id": "gate", "name": "Gate", "at": [10, 10], "width": 1.0}
    of = set_for(plot(SCREEN, HEDGE, gate, spots=[HERE], jobs=[job("screen", "green", "gate")]))
    _, whole = subject_of(of, "work")
    assert whole.ids == ("screen", "green", "gate")
    assert not whole.without.jobs
    _, alone = subject_of(of, "green")
    assert {f.id for f in alone.without.features} == {"screen", "gate"}
    assert alone.also == ()


def test_what_waits_for_a_job_is_named_as_missing() -> None:
    waits = job("den", id="later", start="2028-04", after=[{"job": "work"}])
    of = set_for(plot(SCREEN, SHED, spots=[HERE], jobs=[job("screen"), waits]))
    one = next(both(of, "work", ["here"]))
    assert one.subject.also == ("den",)
    assert missing(of, one) == "Without it there is no Den either."


def test_each_choice_for_a_place_held_open_is_drawn_from_the_same_eye(kept_open: Set) -> None:
    low, roof = both(kept_open, "place-job")
    assert (low.choice, roof.choice) == ("a low wall", "a roofed shelter")
    assert roof.name == "Place-job: a roofed shelter"
    assert low.place == roof.place
    assert low.rows[0].without.figures == roof.rows[0].without.figures
    assert dict(roof.rows[0].within.shares)["place"] > 2 * dict(low.rows[0].within.shares)["place"]
    assert {one.choice for one in both(kept_open, "place-job", choice="shelter")} == {"a roofed shelter"}
    with pytest.raises(SheetError, match=r"There is no choice 'glass' for Place-job\. There are: low-wall, shelter\."):
        list(both(kept_open, "place-job", choice="glass"))


def test_each_refusal_is_one_clear_sentence(screened: Set) -> None:
    held = {"kind": "held", "id": "place", "name": "Place", "outline": [[2, 2], [5, 2], [5, 5], [2, 5]]}
    lost = {**HEDGE, "id": "lost", "name": "Lost"}
    late = set_for(plot(SCREEN, spots=[HERE], jobs=[job("screen", start="2028-04")]))
    more = set_for(plot(held, lost, spots=[HERE], jobs=[job("place")]))
    for of, about, places, year, words in (
        (screened, "nobody", (), None, "There is no job and no thing 'nobody'"),
        (
            screened,
            "work",
            ("moon",),
            None,
            "There is no spot and no peg 'moon' to look from. There are: here, window, near; or give a point",
        ),
        (screened, "work", (), 1990, "Choose a year from 2027 to 2059; got 1990."),
        (late, "work", (), 2027, "Work is not there in June 2027 yet: the plan has it from May 2028 on."),
        (more, "work", (), None, "on its shortlist first"),
        (more, "lost", (), None, "comes with no job"),
    ):
        with pytest.raises(SheetError, match=re.escape(words)):
            list(both(of, about, places, when=Moment(year)))
    (undated,) = both(set_for(plot(SCREEN, spots=[HERE], jobs=[job("screen", start=None)])), "work", ["here"])
    assert undated.rows[0].on == date(2027, 6, 30), "a job without a month is drawn as if done at the plan's start"


def test_the_card_is_one_picture_with_its_words_and_its_drawings(screened: Set) -> None:
    one = next(both(screened, "screen", ["here"]))
    svg, high = card(screened, one)
    tree = ET.fromstring(svg)
    name = "{http://www.w3.org/2000/svg}"
    panels = [e for e in tree.iter(f"{name}svg") if e.get("data-panel")]
    assert len(panels) == 2 * len(one.rows)
    words = [e.text for e in tree.iter(f"{name}text")]
    assert "Screen <1> & gate" in words
    assert any(w and w.startswith("Plot, from Here, looking north; 30 June at 1") for w in words)
    assert words.count("Without it") == words.count("With it") == 1
    picture = Image.open(io.BytesIO(png(svg, high)))
    assert picture.width == round(CARD_MM * PIXELS_PER_MM)
    assert picture.height == pytest.approx(high * PIXELS_PER_MM, abs=1)
    assert len(picture.convert("RGB").getcolors(1 << 20) or ()) > 50, "something is drawn"


def test_long_words_fold_within_the_card() -> None:
    text = "A very long name of a hedge " * 8
    lines = folded(text, 11.0)
    assert " ".join(lines) == text.strip()
    assert max(map(len, lines)) <= (CARD_MM - 20) / (LETTER * 11.0)


def test_the_page_of_the_set_is_about_this_months_job_or_what_is_asked(screened: Set, kept_open: Set) -> None:
    (page,) = pages(screened, "with-and-without")
    text = said(page)
    assert page.blocks[0]["s"] == "Work"
    assert text.count("Without it: June 2027") == text.count("With it: June 2027") == 2
    assert text.count("From Here, looking north; 30 June at") == 1
    (choices,) = pages(replace(kept_open, about="place-job"), "with-and-without")
    assert "A low wall, from" in said(choices)
    assert "A roofed shelter, from" in said(choices)
    (why,) = pages(replace(kept_open, about="dig"), "with-and-without")
    assert "nothing of it is seen from anywhere in" in said(why)
    (needs,) = pages(set_for(plot(SCREEN)), "with-and-without")
    assert said(needs).startswith("With it and without\n\nThere is no job with a month")


def test_sun_and_shadow_are_of_the_hour_that_is_told_and_the_same_in_both(screened: Set) -> None:
    (one,) = both(screened, "work", ["here"], when=Moment(hour=9.0))
    assert one.when == "30 June at 9:00 by the sun", "the place isn't known, so that the clock isn't either"
    assert "fill-opacity" in card(screened, one)[0]
    assert "30 June at 9:00" in said(card_words(screened, one))
    (row,) = one.rows
    assert row.within.shades, "the screen casts a shadow"
    assert row.within.shades != row.without.shades
    (night,) = both(screened, "work", ["here"], when=Moment(hour=23.0))
    assert not night.lit
    assert not night.rows[0].within.shades
    assert "the sun is not up" in said(card_words(screened, night))
    (chosen,) = both(screened, "work", ["here"])
    assert chosen.when.split(" at ")[1][:2] in ("10", "17")


def test_the_day_is_the_one_asked_for_in_every_year_that_is_drawn() -> None:
    of = set_for(plot(HEDGE, spots=[HERE], jobs=[job("green")]))
    one = next(both(of, "work", ["here"], when=Moment(day=(9, 15), hour=17.5)))
    young, grown = one.rows
    assert (young.on, (grown.on.month, grown.on.day)) == (date(2027, 9, 15), (9, 15))
    assert young.words == "15 September 2027, in its first year"
    assert one.when == "15 September at 17:30 by the sun"
    early = next(both(of, "work", ["here"], when=Moment(day=(2, 29))))
    assert early.rows[0].on == date(2028, 2, 29), "in 2027 it isn't planted by then"
    assert all((r.on.month, r.on.day) in ((2, 28), (2, 29)) for r in early.rows)
    with pytest.raises(SheetError, match=re.escape("Work is not there on 1 February 2027 yet")):
        next(both(of, "work", ["here"], when=Moment(2027, (2, 1))))


def test_in_winter_an_hour_is_taken_at_which_the_sun_is_up() -> None:
    of = set_for(plot(SCREEN, WALL, spots=[HERE], jobs=[job("screen")]))
    for one in both(of, "work", when=Moment(day=(12, 21))):
        assert one.lit
        assert one.when.endswith(("at 10:00 by the sun", "at 12:00 by the sun"))


def test_moments_in_plain_words_are_of_the_same_season_in_the_south() -> None:
    north, south = (asked("autumn-evening", southern=s).day for s in (False, True))
    assert (north, south) == ((9, 15), (3, 15))
    assert TOLD[0].said(southern=True) == "a morning in November"
    with pytest.raises(SheetError, match="Or one of: spring-morning"):
        asked("moonlight", southern=False)
    assert [read_hour(t) for t in ("9", " 17:30 ", "00:00")] == [9.0, 17.5, 0.0]
    assert read_day("02-29") == (2, 29)
    for bad in ("24", "7.5", "noon", "9:60"):
        with pytest.raises(SheetError, match="is no hour"):
            read_hour(bad)
    for bad in ("02-30", "13-01", "15 May"):
        with pytest.raises(SheetError, match="is no day"):
            read_day(bad)


def test_shadows_are_reckoned_once_for_all_places(screened: Set, monkeypatch: pytest.MonkeyPatch) -> None:
    asked_for: list[str] = []

    def counted(scene: Scene, when: datetime, sky: Sky) -> tuple[Shadow, ...]:
        asked_for.append(scene.key)
        return shadows(scene, when, sky)

    monkeypatch.setattr("quincunx.sheets._both.shadows", counted)
    assert len(list(both(screened, "work", when=Moment(hour=10.0)))) == 3
    assert len(asked_for) == len(set(asked_for)) == 2, "once without it and once with it"


def card_words(of: Set, one: Both) -> list[str]:
    """Return the words of a card."""
    return [" ".join(ET.fromstring(card(of, one)[0]).itertext())]


@pytest.mark.parametrize(("name", "about"), [("ropewalk", "greenhouse-job"), ("kettle-hill", "octagon-job")])
def test_shade_is_drawn_among_all_that_stands_in_a_demonstration_garden(name: str, about: str) -> None:
    of = demo(name)
    one = next(both(of, about))
    for look in (look for row in one.rows for look in (row.without, row.within)):
        frame = shapely.box(*look.bounds)
        shade = [shapely.Polygon(s.rings[0], s.rings[1:]) for s in look.shades]
        assert shade
        assert all(p.is_valid for p in shade)
        assert sum(p.area for p in shade) == pytest.approx(shapely.union_all(shade).area, rel=1e-3), (
            "nothing is shaded twice"
        )
        assert frame.buffer(1e-6).covers(shapely.union_all(shade))
