"""The question of sun over the sheet: hours, shadows, a seat, roofs, and what comes first on a new machine."""

from __future__ import annotations

import base64
from datetime import date, datetime, timedelta

import numpy as np
import pytest
import shapely

from quincunx.board import sun
from quincunx.board.asking import given_of
from quincunx.board.standing import Standing
from quincunx.kernels import Kernel
from quincunx.light import daily_light, shadows, sky_view, sun_hours
from quincunx.sheets.sunlight import (
    buildings,
    cloud_words,
    fair_hours,
    hours_over,
    lit_now,
    rough_hours,
    seat_tiles,
    sky_over,
)
from tests.board.garden import small

ASK = {"name": "sun", "year": 2029, "month": 6}


@pytest.fixture(scope="module")
def at() -> Standing:
    return Standing.of(small(), {})


@pytest.fixture(autouse=True)
def _warm() -> None:
    sun.ready()


def cells(field: dict) -> np.ndarray:
    """The amounts of a field as the page reads them."""
    raw = np.frombuffer(base64.b64decode(field["cells"]), np.uint8).reshape(field["rows"], field["columns"])
    values = field["low"] + (field["high"] - field["low"]) * raw / 250.0
    return np.where(raw == 255, np.nan, values)


def test_hours_are_those_of_the_engine_and_rough_ones_come_first(window, at):
    rough = window.get("/api/question", **ASK)
    assert "15th" in rough["rough"]
    fine = window.get("/api/question", fine=1, **ASK)
    assert fine["rough"] == ""
    told = cells(fine["field"])
    scene = at.timeline.at(date(2029, 6, 30))
    grid = sun_hours(scene, 6, days="all", sky=sky_over(at.timeline)).clear[0]
    known = np.isfinite(told)
    assert np.abs(told - grid)[known].max() <= (fine["field"]["high"] - fine["field"]["low"]) / 250 + 1e-4
    assert known.sum() > 0.9 * 12 * 10 * 16
    assert window.get("/api/question", **ASK)["rough"] == "", "what was worked out is kept"
    assert [row["shade"] for row in fine["legend"]] == [6, 5, 3, 2, 0]
    assert any("one degree" in line for line in fine["how"])


def test_rough_hours_without_kernels_are_near_the_fine_ones(at):
    scene, sky = at.timeline.at(date(2029, 6, 30)), sky_over(at.timeline)
    coarse, fine = rough_hours(scene, sky, 6), hours_over(scene, sky, 6, days="mid", cell_m=1.0)
    both = np.isfinite(coarse.values) & np.isfinite(fine.values)
    assert np.abs(coarse.values - fine.values)[both].mean() < 0.35  # a sun an hour instead of six
    assert np.abs(coarse.values - fine.values)[both].max() < 3.0


def test_on_a_new_machine_the_coarse_picture_says_why(at, monkeypatch):
    monkeypatch.setattr(sun, "_compiled", lambda: False)
    monkeypatch.setattr(Kernel, "has_come", lambda _: False)
    scene = at.timeline.at(date(2029, 6, 30))
    told = sun.rough(at, scene, given_of(at, sun.inputs(at), {"look": "hours"}))
    assert told is not None
    assert "prepares its sun reckoning once" in told.rough
    assert told.field is not None
    assert told.field.cell_m == 1.0


def test_shadows_at_an_hour_are_the_outlines_of_the_shadow_engine(at):
    scene, sky = at.timeline.at(date(2029, 6, 30)), sky_over(at.timeline)
    when = datetime(2029, 6, 15, tzinfo=sky.clock()) + timedelta(hours=15)
    lit = lit_now(scene, sky, when)
    dark = shapely.union_all([s.shape for s in shadows(scene, when, sky) if s.share > 0.99])
    x, y = np.meshgrid(*lit.middles())
    known = np.isfinite(lit.values)
    edge = shapely.dwithin(shapely.points(x, y), dark.boundary, 0.15)
    inside = shapely.contains_xy(dark, x, y)
    assert (lit.values[known & ~edge & inside] < 1).all()
    open_ground = known & ~edge & ~inside & ~shapely.dwithin(shapely.points(x, y), scene.boundary.boundary, 0.5)
    assert (lit.values[open_ground] > 1).mean() > 0.97  # porous things are not in the outlines compared


def test_the_hour_is_turned_and_the_night_is_a_sentence(window):
    noon = window.get("/api/question", look="shadows", hour="13", **ASK)
    assert noon["field"]["unit"] == "% of the sun"
    assert "13:00 on 15 June 2029" in noon["words"]
    assert any(f["t"] == "path" and f["arrow"] for f in noon["figures"])
    dial = next(
        i for q in window.get("/api/questions") if q["name"] == "sun" for i in q["inputs"] if i["takes"] == "hour"
    )
    assert 3 <= dial["least"] <= 5
    assert 20 <= dial["most"] <= 22
    early = window.get("/api/question", look="shadows", hour=str(dial["least"]), name="sun", year=2029, month=12)
    assert "not up" in early["words"]
    assert "lies outside" in window.get("/api/question", 422, look="shadows", hour="2", **ASK)["error"]


def test_a_seat_has_its_picture_its_hours_and_a_parasol(window):
    told = window.get("/api/question", look="sitting", seat="bench", **ASK)
    tiles, bars = told["below"]
    assert (tiles["t"], bars["t"]) == ("tiles", "bars")
    assert len(tiles["cells"]) == len(tiles["rows"]) == len(tiles["read"]) == 12
    assert all(len(row) == len(tiles["columns"]) for row in tiles["cells"])
    assert tiles["cells"][5][12 - 4] is not None
    assert tiles["cells"][11][5 - 4] is None, "in December the sun is not up at five"
    assert "between 12:00 and 16:00" in told["words"]
    assert any(k["words"].startswith("A parasol") for k in told["leads"])
    assert any(
        k["words"].startswith("A small tree, once grown (its crown 4.00 m across, 4.00 m up), stood here,")
        for k in told["leads"]
    )
    assert [row[0] for row in bars["rows"]] == list(tiles["rows"])
    touched = window.get("/api/question", look="sitting", seat="9,8", **ASK)
    assert touched["words"].startswith("The place touched")


def test_six_roofs_lie_side_by_side(window):
    first = window.get("/api/question", look="roof", seat="bench", **ASK)
    assert first["rough"]
    told = window.get("/api/question", look="roof", seat="bench", fine=1, **ASK)
    (table,) = told["below"]
    assert [row[0] for row in table["rows"]] == [
        "no roof", "slats", "a climber over slats", "a solid roof", "solid, back closed", "solid, back and west closed",
    ]  # fmt: skip
    assert all(len(row) == len(table["head"]) for row in table["rows"])
    assert any("Slats:" in line and "apart" in line for line in told["how"])
    shade = {row[0]: row[1] for row in table["rows"]}
    assert f"slats keep off {shade['slats']} of the sun, a solid roof {shade['a solid roof']};" in told["words"]
    assert any("not checked here" in line for line in told["how"])
    assert any(f["t"] == "path" and f["dash"] for f in told["figures"])


def test_the_way_a_seat_looks_is_taken_from_what_stands_there(at):
    given = given_of(at, sun.inputs(at), {"seat": "bench"})
    assert sun.facing_of(at, given.place("seat")) == 90.0
    away = given_of(at, sun.inputs(at), {"seat": "9,8"})
    assert sun.facing_of(at, away.place("seat")) == 180.0


def test_no_sun_is_told_on_a_house_and_a_seats_hours_are_read_out(at):
    from quincunx.light import shade_at

    scene = at.timeline.at(date(2029, 6, 30))
    assert all(shape.area > 0.5 for shape in buildings(scene))
    _, rows, _, read = seat_tiles(shade_at(scene, (9, 8), sky=sky_over(at.timeline)))
    assert len(rows) == len(read) == 12
    assert read[5].startswith("June: sun from ")


def test_places_without_night_have_a_whole_dial():
    from quincunx.light import Sky

    assert fair_hours(Sky(78.0)) == (0.0, 24.0)
    low, high = fair_hours(Sky(0.0))
    assert (low, high) == (5.0, 19.0)  # rises at six by the sun; the sun runs up to 16 minutes before the mean hour


def overcast() -> Standing:
    place = {"name": "Somewhere", "latitude_deg": 52.0, "longitude_deg": 0.0}
    return Standing.of(small(site={"place": place, "climate": {"sunshine_share": [0.25] * 5 + [0.4] + [0.3] * 6}}), {})


def test_hours_with_the_cloud_here_are_asked_only_where_it_is_written(at):
    def looks(where: Standing) -> list[str]:
        return [o.id for o in sun.inputs(where)[0].options]

    assert sun.CLOUDY not in looks(at)
    grey = overcast()
    assert sun.CLOUDY in looks(grey)
    scene = grey.timeline.at(date(2029, 6, 30))
    clear, cloudy = (
        sun.answer(grey, scene, given_of(grey, sun.inputs(grey), {"look": look})) for look in ("hours", sun.CLOUDY)
    )
    assert "clear day" in clear.words
    assert "average day, cloud and all" in cloudy.words
    assert clear.field is not None
    assert cloudy.field is not None
    assert cloudy.field.values == pytest.approx(0.4 * clear.field.values, nan_ok=True)
    assert "40 % of the daylight" in " ".join(cloudy.how)
    assert cloud_words(sky_over(grey.timeline), 6) == "with its cloud 40 % of these hours on an average day"
    assert cloud_words(sky_over(at.timeline), 6) == ""


def test_light_for_plants_and_open_sky_are_the_engines(at):
    scene, sky = at.timeline.at(date(2029, 6, 30)), sky_over(at.timeline)
    light, seen = (
        sun.answer(at, scene, given_of(at, sun.inputs(at), {"look": look})).field for look in ("light", "sky")
    )
    assert light is not None
    assert seen is not None
    told = daily_light(scene, 6, sky=sky)
    known = np.isfinite(light.values)
    assert light.values[known] == pytest.approx(told.mol[0][known])
    assert seen.values[known] == pytest.approx(100 * sky_view(scene, 6, sky=sky).seen[0][known], abs=1e-3)
    # Behind the wall and under the hedge there is less than in the open.
    assert np.nanmax(light.values) <= told.open_mol[0] * 1.01
    assert np.nanmin(seen.values) < 70 < np.nanmax(seen.values)


def test_light_says_what_it_waits_for_on_a_new_machine(at, monkeypatch):
    monkeypatch.setattr(sun, "_compiled", lambda: False)
    monkeypatch.setattr(Kernel, "has_come", lambda _: False)
    scene = at.timeline.at(date(2029, 6, 30))
    for look in ("light", "sky"):
        told = sun.rough(at, scene, given_of(at, sun.inputs(at), {"look": look}))
        assert told is not None
        assert "once" in told.rough
