"""Steps, guards, water, footings and permits by the code of the garden's country, and lent ones named as such."""

from __future__ import annotations

import pytest
from shapely import LineString

from quincunx.build.screening import Loads, screen
from quincunx.build.weather import bearing_of
from quincunx.shapes import DropWork, FlightWork, LineWork, RampWork, WaterWork
from quincunx.site.codes import held
from quincunx.site.country import EUROPE
from tests.build.test_wind_and_safe_places import shelter, told


def loads(country: str | None) -> Loads:
    region = "us" if country == "US" else "europe" if country in EUROPE else "other"
    return Loads(region, 0.6, "made up", 24.0, bearing=bearing_of("sand", country=country), country=country)


def guarded(country: str | None, drop_m: float, high_m: float, gap_m: float):
    return told(DropWork("d", "a deck", drop_m, high_m, gap_m), loads(country), "drop of")


@pytest.mark.parametrize(
    ("country", "drop_m", "high_m", "gap_m", "answer"),
    [
        # Germany: from 1 m on, 0.9 m up to 12 m (building codes of the states, section 38); 12 cm (DIN 18065).
        ("DE", 0.9, 0.0, 0.0, "within"), ("DE", 1.2, 0.9, 0.11, "within"), ("DE", 1.2, 0.9, 0.13, "beyond"),
        # Canada: from 600 mm on 900 mm, above 1.8 m 1,070 mm, 100 mm (NBC 9.8.8).
        ("CA", 0.7, 0.9, 0.09, "within"), ("CA", 2.0, 0.9, 0.09, "beyond"), ("CA", 2.0, 1.07, 0.09, "within"),
        # Australia: from 1 m on, 1 m, 125 mm (NCC).
        ("AU", 1.2, 1.0, 0.12, "within"), ("AU", 1.2, 1.0, 0.126, "beyond"), ("AU", 1.2, 0.95, 0.1, "beyond"),
        # Norway: from half a metre on (TEK17 12-11).
        ("NO", 0.6, 0.0, 0.0, "beyond"), ("NO", 0.4, 0.0, 0.0, "within"),
        # A country the table lacks keeps the figures it had: 600 mm, 1,100 mm, 100 mm (England).
        ("BR", 0.7, 0.0, 0.0, "beyond"), ("BR", 0.7, 1.1, 0.09, "within"), ("BR", 0.7, 1.0, 0.09, "beyond"),
    ],
)  # fmt: skip
def test_guards(country: str, drop_m: float, high_m: float, gap_m: float, answer: str) -> None:
    assert guarded(country, drop_m, high_m, gap_m).answer == answer


@pytest.mark.parametrize(
    ("country", "rise", "going", "answer"),
    [
        # Germany: 20 cm, 23 cm, 59 to 65 cm (DIN 18065); England: 22, 22, 55 to 70 (Approved Document K Table 1.1).
        ("DE", 0.17, 0.29, "within"), ("DE", 0.21, 0.23, "beyond"), ("DE", 0.15, 0.28, "beyond"), ("GB", 0.15, 0.28, "within"),
        # New Zealand: 190 and 280 mm (D1/AS1 Table 6); Japan: 23 and 15 cm (Order 23).
        ("NZ", 0.19, 0.28, "within"), ("NZ", 0.19, 0.27, "beyond"), ("JP", 0.22, 0.16, "within"), ("JP", 0.24, 0.3, "beyond"),
        # Italy's rule gives no riser by itself (62 to 64 cm); a long tread is a step on a slope anywhere.
        ("IT", 0.17, 0.29, "within"), ("IT", 0.2, 0.2, "beyond"), ("DE", 0.12, 0.6, "within"), ("IT", 0.12, 0.6, "within"),
        # High risers are no steps on a slope, whether or not the code has a riser of its own.
        ("IT", 0.3, 0.25, "beyond"), ("IT", 0.4, 0.3, "beyond"), ("PL", 0.3, 0.25, "beyond"), ("IT", 0.2, 0.6, "beyond"),
    ],
)  # fmt: skip
def test_steps(country: str, rise: float, going: float, answer: str) -> None:
    found = told(FlightWork("s", 3, rise, going, 1.0), loads(country), "steps of")
    assert found.answer == answer
    assert "for a house's stair" in found.because or "a house's stair" in found.because
    assert found.source == held(country, "steps").cited()


@pytest.mark.parametrize(
    ("country", "count", "asked"),
    [("US", 3, False), ("US", 4, True), ("DE", 3, True), ("AU", 5, False), ("AU", 7, True), ("GB", 3, False), ("GB", 4, True), ("BR", 4, True)],
)  # fmt: skip
def test_handrails(country: str, count: int, asked: bool) -> None:
    """By number of risers (IRC: 4; NBC: more than 3) or by climb (NCC: 1 m; Approved Document K: 600 mm); risers of 16 cm."""
    found = [
        s for s in screen([FlightWork("s", count, 0.16, 0.31, 1.0)], loads(country)) if s.what.startswith("handrail")
    ]
    assert bool(found) == asked


@pytest.mark.parametrize(
    ("country", "deep", "answer"),
    [("AU", 0.35, "beyond"), ("AU", 0.25, "unknown"), ("NZ", 0.35, "unknown"), ("NZ", 0.45, "beyond"), ("US", 0.6, "unknown"), ("DE", 0.7, "beyond")],
)  # fmt: skip
def test_water_is_never_called_safe_and_the_depth_is_the_countrys(country: str, deep: float, answer: str) -> None:
    """NZ: 400 mm (Building (Pools) Amendment Act 2016); AU: 300 mm (from memory); US: 24 in (CPSC 362)."""
    found = told(WaterWork("p", deep), loads(country), "water")
    assert found.answer == answer
    assert ("the United States" in found.source) == (country == "DE")


@pytest.mark.parametrize(
    ("country", "kpa"), [("US", 95.76), ("CA", 50.0), ("GB", 100.0), ("JP", 50.0), ("IN", 100.0), ("DE", 95.76)]
)
def test_what_sand_bears(country: str, kpa: float) -> None:
    """IRC Table R401.4.1; NBC Table 9.4.4.1 (loose sand); BS 8004 and Order 93 from memory; IS 1904 second-hand."""
    found = bearing_of("sand", country=country)
    assert found.kpa == pytest.approx(kpa, abs=0.01)
    assert ("no code of Germany" in found.source) == (country == "DE")
    assert ("psf" in found.words) == (country == "US")


def test_pieces_name_whose_formula_they_are_held_against() -> None:
    assert told(shelter(), loads("DE"), "post").source.startswith("EN 1995-1-1:2004")
    assert "our table" not in told(shelter(), loads("DE"), "post").source
    for what in ("post", "uplift", "sliding"):
        found = told(shelter(), loads("AU"), what)
        assert "EN 199" in found.source
        assert "figures of Europe; no code of Australia for" in found.source
        assert "our table" not in told(shelter(), loads("US"), what).source


@pytest.mark.parametrize(
    ("country", "high", "answer"),
    [("NZ", 2.4, "within"), ("NZ", 2.6, "beyond"), ("GB", 2.1, "beyond"), ("US", 2.1, "within"), ("AU", 1.9, "unknown"), (None, 1.9, "unknown")],
)  # fmt: skip
def test_fences_and_permits(country: str | None, high: float, answer: str) -> None:
    """NZ: 2.5 m (Schedule 1); England: 2 m (Class A of Part 2); US: 7 ft (IRC R105.2); Australia's states differ."""
    fence = LineWork("f", LineString([(0, 0), (4, 0)]), high, 0.02, "timber fence")
    assert told(fence, loads(country), "fence").answer == answer


@pytest.mark.parametrize(
    ("country", "high", "told_of"),
    [("GB", 1.0, False), ("GB", 1.1, True), ("IE", 1.2, False), ("IE", 1.21, True), ("US", 1.2, False), ("US", 1.25, True), ("AU", 1.2, False)],
)  # fmt: skip
def test_from_what_height_fences_are_spoken_of(country: str, high: float, told_of: bool) -> None:
    """England: beside a road 1 m, Ireland: in front 1.2 m (second-hand); some towns of the US 4 ft (IRC R105.2)."""
    fence = LineWork("f", LineString([(0, 0), (4, 0)]), high, 0.02, "timber fence")
    assert any(s.what.startswith("fence") for s in screen([fence], loads(country))) == told_of


@pytest.mark.parametrize(
    ("country", "high", "answer"),
    [("NZ", 1.4, "within"), ("NZ", 1.6, "beyond"), ("FR", 1.4, "beyond"), ("FR", 0.6, "unknown")],
)
def test_walls_that_hold_back_earth(country: str, high: float, answer: str) -> None:
    """NZ: 1.5 m of ground without a surcharge (Schedule 1); elsewhere the US line for an engineer stands, named as that."""
    found = told(LineWork("w", LineString([(0, 0), (4, 0)]), high, 0.2, "retaining brick"), loads(country), "wall")
    assert found.answer == answer
    assert ("of the United States" in found.source) == (country == "FR" and answer == "beyond")


@pytest.mark.parametrize(
    ("country", "high", "said"), [("NZ", 1.4, True), ("NZ", 0.8, False), ("JP", 1.9, True), ("US", 0.8, False)]
)
def test_a_high_wall_that_needs_no_permit_is_for_an_engineer_all_the_same(
    country: str, high: float, said: bool
) -> None:
    """IRC R404.4: over 4 ft from the bottom of the footing; that NZ and Japan ask for no permit says nothing of strength."""
    wall = LineWork("w", LineString([(0, 0), (4, 0)]), high, 0.2, "retaining brick")
    found = told(wall, loads(country), "wall")
    assert found.answer == "within"
    assert ("have an engineer design it" in found.because) == said


@pytest.mark.parametrize(
    ("country", "rise", "run", "wide", "answer", "said"),
    [
        # Approved Document M volume 1 diagram 2.1: 1 in 12 for 2 m, 1 in 15 for 5 m, 1 in 20 as long as one likes.
        ("GB", 0.16, 2.0, 1.0, "within", "with a level landing at foot and head"),
        ("GB", 0.40, 5.0, 1.0, "unknown", "no longer than 2.00 m (6.6 ft)"),
        ("GB", 0.50, 5.0, 1.0, "unknown", "steeper than 1 in 12"),
        ("GB", 0.20, 5.0, 0.8, "within", "not steeper than 1 in 20"),
        # DIN 18040-1 4.3.8: 6 in 100, landings every 6 m, 1.20 m wide.
        ("DE", 0.40, 5.0, 1.2, "unknown", "steeper than 1 in 16.7"),
        ("DE", 0.30, 5.5, 1.0, "unknown", "120 cm (47.2 in) is the least"),
        # AS 1428.1: 1 in 14, landings every 9 m; 2010 ADA 405.2 and 405.6: 1 in 12, 30 in of rise.
        ("AU", 0.30, 4.2, 1.0, "within", "up to 1 in 14"),
        ("US", 0.76, 9.14, 1.0, "within", "up to 1 in 12"),
        ("US", 0.83, 10.0, 1.0, "unknown", "without a level landing"),
        # The rise is what ends a run: at 1 in 16 it is 40 ft (12.19 m) long.
        ("US", 0.70, 11.2, 1.0, "within", "up to 1 in 12"),
        ("US", 0.80, 12.8, 1.0, "unknown", "no longer than 12.19 m (40.0 ft)"),
        (None, 0.80, 8.0, 1.0, "unknown", "steeper than 1 in 12"),
    ],
)
def test_a_ramp_is_held_against_the_slopes_landings_and_width_of_its_country(
    country: str | None, rise: float, run: float, wide: float, answer: str, said: str
) -> None:
    (found,) = screen([RampWork("r", rise, run, wide)], Loads("us" if country == "US" else "other", country=country))
    assert found.answer == answer
    assert said in found.because
    assert ("of the United States" in found.source) == (country is None)
