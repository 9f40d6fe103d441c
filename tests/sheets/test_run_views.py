"""Runs from above and from the front: true to their lengths and heights."""

from itertools import pairwise

import pytest
from hypothesis import given, strategies as st
from shapely import LineString

from quincunx.shapes import AreaFigure, DimensionFigure, LineWork, PathFigure
from quincunx.sheets._run_views import from_above, from_the_front
from tests.features.standing import make, moment

SEEN = [
    ("raised-bed", {"made": m}) for m in ("timber", "metal", "stone", "brick")
] + [("fence", {"sort": s}) for s in ("boards", "pickets", "mesh", "hurdles", "wire")] + [
    ("wall", {}), ("edging", {}), ("trellis", {}), ("cold-frame", {"how": "made"}), ("compost-bay", {"how": "made"}),
]  # fmt: skip


def told(view):
    return {round(f.value_m, 3) for f in view.figures if isinstance(f, DimensionFigure)}


@pytest.mark.parametrize(("kind", "how"), SEEN)
def test_every_run_is_drawn_from_above_and_from_the_front(kind, how):
    works = make(kind, **how).stand(moment()).work
    above, front = from_above(works), from_the_front(works)
    assert above is not None
    assert front is not None
    runs = [w for w in works if isinstance(w, LineWork)]
    longest = max(
        LineString(pair).length
        for w in runs
        for c in [list(w.line.coords) + ([w.line.coords[0]] if w.closed else [])]
        for pair in pairwise(c)
    )
    assert any(abs(t - longest) < 0.26 for t in told(above))
    assert any(abs(t - w.height_m) < 1e-3 for t in told(front) for w in runs)
    for view in (above, front):
        west, south, east, north = view.bounds
        for f in view.figures:
            for x, y in f.rings[0] if isinstance(f, AreaFigure) else f.points if isinstance(f, PathFigure) else ():
                assert west <= x <= east
                assert south <= y <= north


@given(st.floats(0, 360), st.floats(1, 12), st.floats(0.3, 2.2))
def test_a_wall_is_as_long_and_as_high_whichever_way_it_runs(turn, long, high):
    from shapely.affinity import rotate

    line = rotate(LineString([(2, 3), (2 + long, 3)]), turn, origin=(0, 0))
    wall = [LineWork("w", line, high, 0.2, "brick")]
    front = from_the_front(wall)
    assert front is not None
    assert told(front) == {round(long, 3), round(high, 3)}
    faces = [f for f in front.figures if isinstance(f, AreaFigure)]
    xs = [x for f in faces for x, _ in f.rings[0]]
    assert max(xs) - min(xs) == pytest.approx(long)
    assert max(y for f in faces for _, y in f.rings[0]) == pytest.approx(high)


def test_boards_are_drawn_one_by_one_and_posts_stand_in_the_ground():
    works = make("fence", sort="boards", line=[[0, 0], [5, 0]], height=1.5).stand(moment()).work
    front = from_the_front(works)
    assert front is not None
    # Boards 125 wide lapping 25: one every 0.1 m, 50 on 5 m.
    boards = [f for f in front.figures if isinstance(f, AreaFigure) and f.weight == "fine"]
    assert len(boards) == 50
    below = [f for f in front.figures if isinstance(f, PathFigure) and f.role == "below"]
    assert len(below) == 4
    assert from_the_front([]) is None
    assert from_above([]) is None
