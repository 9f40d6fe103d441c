"""Dimension lines that follow what they hold on to, and notes pinned to places."""

from __future__ import annotations

import pytest

from quincunx.garden import apply, change, garden_from, plain
from quincunx.garden.marks import DimensionLine, Hold
from quincunx.garden.marks_drawn import dimension_figures, held_at, hold_on, pin_figures
from quincunx.shapes import DimensionFigure, TextFigure
from quincunx.units.fields import Length, Point

FEATURES = [
    {"kind": "bed", "id": "bed", "outline": [[0, 0], [4, 0], [4, 2], [0, 2]], "there_from": "start"},
    {"kind": "wall", "id": "wall", "line": [[0, 6], [8, 6]], "thickness": 0.4, "there_from": "start"},
]


def at(x: float, y: float) -> Point:
    return (Length(x), Length(y))


def garden(**more):
    base = {"format": "quincunx/1", "boundary": [[-5, -5], [10, -5], [10, 10], [-5, 10]], "features": FEATURES}
    return garden_from({**base, "spots": [{"id": "door", "at": [3, 3]}], **more})


def test_an_end_holds_on_to_what_is_there():
    g = garden()
    assert hold_on(g, (4.0, 2.0)).on == "bed"
    assert hold_on(g, (0.0, 5.8)).on == "wall", "a face of the wall, not its middle line"
    assert (hold_on(g, (-5.0, 10.0)).on, hold_on(g, (-5.0, 10.0)).by) == (None, "boundary.3")
    assert hold_on(g, (3.0, 3.0)).on == "door"
    loose = hold_on(g, (1.234, 1.234))
    assert (loose.on, loose.by) == (None, "")
    assert held_at(g, loose) == (1.234, 1.234)


def test_a_dimension_line_follows():
    g = garden()
    line = DimensionLine(id="one", start=hold_on(g, (4.0, 2.0)), end=hold_on(g, (8.0, 5.8)))
    g = garden(dimensions=[plain(line)])
    assert measured(g).value_m == pytest.approx((4.0**2 + 3.8**2) ** 0.5)
    g, _ = apply(g, change("features", "bed", {"outline": [[0, 0], [4, 0], [4, 1], [0, 1]]}))
    assert measured(g).value_m == pytest.approx((4.0**2 + 4.8**2) ** 0.5)
    g, _ = apply(g, change("features", "wall", {"thickness": 0.2}))
    assert measured(g).end == pytest.approx((8.0, 5.9))
    assert measured(g).role == "measure"


def measured(g):
    (found,) = (f for f in dimension_figures(g) if isinstance(f, DimensionFigure))
    return found


def test_when_what_it_held_on_to_is_gone_it_stays_where_it_was():
    line = DimensionLine(id="one", start=Hold(at=at(1, 1), on="gone", by="corner.1"), end=Hold(at=at(1, 3)))
    assert measured(garden(dimensions=[plain(line)])).value_m == pytest.approx(2.0)
    both = DimensionLine(id="two", start=Hold(at=at(1, 1)), end=Hold(at=at(1, 1)))
    assert dimension_figures(garden(dimensions=[plain(both)])) == ()


def test_pins_have_a_word_on_the_screen_and_a_number_on_paper():
    g = garden(pins=[{"id": "a", "name": "Wet in March", "at": [1, 1]}, {"id": "b", "at": [2, 2], "text": "A spring"}])
    assert [f.text for f in pin_figures(g) if isinstance(f, TextFigure)] == ["Wet in March", "note 2"]
    assert [f.text for f in pin_figures(g, numbered=True) if isinstance(f, TextFigure)] == ["1", "2"]
    assert {f.role for f in pin_figures(g)} == {"pin"}
