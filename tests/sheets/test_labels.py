"""Words on a plan: none cut at the edge, none said twice in one place, none on another."""

from __future__ import annotations

from hypothesis import given, strategies as st

from quincunx.shapes import TextFigure
from quincunx.sheets.labels import NEAR_MM, box_of, spread_labels
from quincunx.sheets.svg import Look

LOOK = Look(200.0)
BOUNDS = (0.0, 0.0, 30.0, 40.0)


def words(*found: object) -> list[TextFigure]:
    return [f for f in found if isinstance(f, TextFigure)]


def test_a_word_at_the_edge_is_drawn_inside() -> None:
    (label,) = words(*spread_labels([TextFigure((0.3, 20.0), "Field track", "datum", "a", "small")], LOOK, BOUNDS))
    assert box_of(label, LOOK)[0] >= 0.0
    assert label.at[1] == 20.0


def test_a_word_outside_the_drawing_stays_outside() -> None:
    away = TextFigure((-5.0, 20.0), "Meadow", "datum", "a", "small")
    assert spread_labels([away], LOOK, BOUNDS) == [away]


@given(st.floats(0, 30), st.floats(0, 40), st.text("abc", min_size=1, max_size=12))
def test_no_letter_is_cut_wherever_the_word_stands(x: float, y: float, text: str) -> None:
    (label,) = words(*spread_labels([TextFigure((x, y), text, "datum", "a", "normal")], LOOK, BOUNDS))
    west, south, east, north = box_of(label, LOOK)
    assert west >= -1e-9
    assert south >= -1e-9
    assert east <= 30 + 1e-9
    assert north <= 40 + 1e-9


def test_a_room_and_its_floor_share_one_name_and_two_taps_keep_theirs() -> None:
    room = TextFigure((10.0, 10.0), "Terrace", "room", "r", "normal")
    floor = TextFigure((10.5, 9.0), "Terrace", "way", "f", "small")
    far = TextFigure((10.0, 10.0 + LOOK.metres(NEAR_MM["normal"]) + 1.0), "Terrace", "way", "g", "small")
    assert spread_labels([floor, room, far], LOOK) == [room, far]
    taps = [
        TextFigure((x, 30.0), "Tap", "datum", f"t{x}", "small") for x in (5.0, 6.0, 7.0 + LOOK.metres(NEAR_MM["small"]))
    ]
    assert spread_labels(taps, LOOK) == [taps[0], taps[2]]
