"""Screening: three answers only, never a guess, and worse with more snow, longer spans and thinner pieces."""

import pytest
from hypothesis import given, strategies as st
from shapely import LineString

from quincunx.build import Ground, take_off
from quincunx.build.screening import DEFERS, SCOPE, WORDS, Loads, screen
from quincunx.build.weather import PSF, bearing_of
from quincunx.shapes import FrameWork, KitWork, LineWork, Member, Roof
from quincunx.site.codes import held

SNOWY = Loads("us", 40 * PSF, "ASCE 7-16", 51.4, Ground(1.2), bearing_of("sandy loam"))
MILD = Loads("europe", 0.6, "EN 1991-1-3:2003", None, Ground(0.45), bearing_of("clay loam"))


def shelter(span=2.0, deep=0.14, post=0.14, pad=0.5, high=2.2):
    rafter = Member(
        "rafter", (0, 0, 2.4), (0, span, 2.9), (0.038, deep), "timber", carries="roof", strip_m=0.6, span_m=span
    )
    posts = [Member("post", (x, y, 0), (x, y, high), (post, post), "timber", "post") for x in (0, 3) for y in (0, span)]
    return FrameWork(
        "hut",
        (rafter, *posts),
        ((0, 0), (3, 0), (0, span), (3, span)),
        roof=Roof(3 * span + 2, 25, 0.25, 0, 0, 2.4, 3.2, 2),
        pad_m=pad,
    )


def answers(work, loads):
    return {s.what.split()[0]: s for s in screen([work], loads)}


@pytest.mark.parametrize("loads", [SNOWY, MILD], ids=["us", "europe"])
def test_a_small_sturdy_shelter_is_within(loads):
    found = answers(shelter(span=1.2), loads)
    assert found["rafter"].answer == "within"
    assert 0 < found["rafter"].used < 1
    assert found["post"].answer == "within"
    assert found["pads"].answer == "within"
    assert found["depth"].answer == "within"
    assert found["bracing"].answer == "unknown"


@pytest.mark.parametrize("loads", [SNOWY, MILD], ids=["us", "europe"])
def test_a_long_thin_rafter_is_beyond(loads):
    found = answers(shelter(span=4.5, deep=0.07), loads)
    assert found["rafter"].answer == "beyond"
    assert "have it designed" in found["rafter"].words


@pytest.mark.parametrize("region", ["us", "europe", "other"])
def test_without_a_snow_load_nobody_can_tell(region):
    found = answers(shelter(), Loads(region))
    assert {found[k].answer for k in ("rafter", "post", "pads", "depth", "uplift")} == {"unknown"}
    assert all(s.used is None for s in found.values())


@given(st.floats(0.8, 4.0), st.floats(0.06, 0.24), st.floats(0.2, 4.0), st.sampled_from(["us", "europe"]))
def test_more_snow_longer_or_thinner_never_gets_better(span, deep, snow, region):
    def use(span, deep, snow):
        loads = Loads(region, snow, "made up", None, Ground(0.5), bearing_of("sand"))
        return answers(shelter(span, deep), loads)["rafter"].used

    base = use(span, deep, snow)
    assert use(span * 1.1, deep, snow) >= base - 1e-9
    assert use(span, deep, snow * 1.2) >= base - 1e-9
    assert use(span, deep * 0.9, snow) >= base - 1e-9


def test_uplift_counts_the_pads_and_is_not_told_without_a_wind():
    light, heavy = (answers(shelter(pad=p), SNOWY)["uplift"] for p in (0.2, 0.9))
    assert light.used > heavy.used
    assert heavy.answer == "within"
    assert answers(shelter(), MILD)["uplift"].answer == "unknown"


def test_a_slender_post_is_beyond_by_its_slenderness():
    found = answers(shelter(post=0.075, high=2.6), SNOWY)["post"]
    assert found.answer == "beyond"
    assert "slender" in found.because


def test_peat_and_unknown_soil_bear_nothing_that_can_be_told():
    for texture in ("peat", None):
        loads = Loads("us", 1.0, "x", None, Ground(0.5), bearing_of(texture))
        assert answers(shelter(), loads)["pads"].answer == "unknown"


@pytest.mark.parametrize(("high", "answer"), [(0.6, "within"), (0.9, "within"), (1.0, "beyond"), (1.6, "beyond")])
def test_walls_that_hold_back_earth(high, answer):
    # IRC R105.2: 4 ft from the bottom of the footing, taken 0.3 m below the ground.
    found = answers(LineWork("w", LineString([(0, 0), (5, 0)]), high, 0.3, "retaining stone"), SNOWY)["wall"]
    assert found.answer == answer


@pytest.mark.parametrize(("high", "count", "answer"), [(1.0, 0, ""), (1.8, 1, "within"), (2.4, 1, "beyond")])
def test_fences_that_ask_for_a_permit(high, count, answer):
    found = screen([LineWork("f", LineString([(0, 0), (5, 0)]), high, 0.04, "boards")], SNOWY)
    assert len(found) == count
    assert all(s.answer == answer for s in found)


def test_a_kit_that_states_nothing_cannot_be_told():
    assert {s.answer for s in screen([KitWork("k")], SNOWY)} == {"unknown"}
    stated = {s.what: s.answer for s in screen([KitWork("k", snow_limit_kpa=0.75, wind_limit_m_s=60.0)], SNOWY)}
    assert stated == {"snow on the kit": "beyond", "wind on the kit": "within"}


def test_the_gravest_come_first_and_every_answer_has_its_words_and_source():
    found = screen([shelter(span=4.5, deep=0.07)], SNOWY)
    order = [list(WORDS).index("beyond") if s.answer == "beyond" else 2 if s.answer == "unknown" else 3 for s in found]
    assert order == sorted(order)
    assert all(s.words in WORDS.values() and s.because for s in found)
    assert "not a design" in SCOPE
    assert "licensed person" in DEFERS
    assert any("ASCE 7-16" in s.source for s in found)


def test_outside_the_us_no_permit_line_of_the_us_is_named() -> None:
    """The model code where it is in use, elsewhere the local office; what holds back much earth is beyond both ways."""
    fence = LineWork("fence", LineString([(0, 0), (4, 0)]), 2.4, 0.02, "timber fence")
    (there,) = screen([fence], Loads("us"))
    (here,) = screen([fence], Loads("other"))
    assert (there.answer, there.source) == ("beyond", "IRC R105.2")
    assert (here.answer, here.used, here.source) == ("unknown", None, "your local code")
    assert "ask your local office before you build" in here.because
    wall = LineWork("wall", LineString([(0, 0), (4, 0)]), 1.5, 0.2, "retaining wall")
    high = answers(wall, Loads("europe"))["wall"]
    assert (high.answer, high.source) == ("beyond", "IRC R404.4 of the United States; your local code decides")


@pytest.mark.parametrize(
    ("country", "frost", "deep", "said"),
    [
        ("GB", 0.45, 0.45, "to the frost depth written down"),
        ("GB", None, 0.6, "nobody has written down how deep the ground freezes"),
        ("US", 1.219, 1.219, "to the frost depth written down"),
        ("DE", 0.5, 0.8, "the least that codes ask for"),
    ],
)
def test_the_strip_under_a_wall_goes_as_deep_as_its_country_and_the_frost_ask(
    country: str, frost: float | None, deep: float, said: str
) -> None:
    """NHBC 4.3.3: 450 mm at least, and IRC R403.1.4: below the frost line (how each row is known: data/codes.csv)."""
    ground = Ground(frost, held(country, "footing").figures["least_m"])
    wall = LineWork("w", LineString([(0, 0), (5, 0)]), 1.0, 0.2, "brick")
    found = take_off(wall, ground)
    assert found.dug_m3 == pytest.approx(5.0 * 0.5 * deep)
    (note,) = (n for n in found.notes if n.startswith("foundation"))
    assert said in note
    assert "of wall between it and the ground are not counted" in note
    told = answers(wall, Loads("other", ground=ground, country=country))["depth"]
    assert told.answer == ("unknown" if frost is None else "within")
    assert "frost" in told.source
