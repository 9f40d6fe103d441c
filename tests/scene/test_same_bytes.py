"""The same garden gives the same bytes: in another order, in another process."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import date
from pathlib import Path

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.plants.catalogue import find_plant
from quincunx.scene import Moment, Scene, assemble
from quincunx.shapes import canonical, content_key
from tests.scene.gardens import BOUNDARY, GROUND, everything, thing, timeline

DAY = date(2030, 8, 31)
ROOT = Path(__file__).parents[2]
CHILD = (
    "import sys; sys.path.insert(0, sys.argv[1]);"
    "from datetime import date; from tests.scene.gardens import BOUNDARY, GROUND, everything, timeline;"
    "scene = timeline(everything()).at(date(2030, 8, 31)); print(scene.key)"
)


def scene_bytes(scene: Scene) -> bytes:
    """All that stands and all that is drawn, written out."""
    return canonical([scene.solids, scene.surfaces, scene.openings, scene.figures, scene.work, scene.plants, scene.key])


def test_two_processes_give_the_same_key():
    keys = {timeline(everything()).at(DAY).key}
    for seed in ("1", "2"):
        env = {**os.environ, "PYTHONHASHSEED": seed, "PYTHONPATH": str(ROOT / "src")}
        done = subprocess.run(
            [sys.executable, "-c", CHILD, str(ROOT)], capture_output=True, text=True, check=True, env=env, cwd=ROOT
        )
        keys.add(done.stdout.strip())
    assert len(keys) == 1


@settings(max_examples=6)
@given(st.randoms(use_true_random=False))
def test_the_order_of_features_does_not_matter(random):
    features = everything()
    want = scene_bytes(timeline(features).at(DAY))
    random.shuffle(features)
    assert scene_bytes(timeline(features).at(DAY)) == want


@settings(max_examples=6)
@given(st.randoms(use_true_random=False))
def test_the_order_in_which_things_are_put_up_does_not_matter(random):
    now = Moment(DAY, 3.0, GROUND, find_plant)
    stood = [feature.stand(now) for feature in everything()]
    blank = Scene(DAY, BOUNDARY, GROUND)
    want = assemble(blank, stood)
    random.shuffle(stood)
    got = assemble(blank, stood)
    assert got.key == want.key
    assert (got.solids, got.surfaces, got.openings, got.unmet) == (
        want.solids,
        want.surfaces,
        want.openings,
        want.unmet,
    )


@pytest.mark.parametrize(
    "fields", [{"height": 1.9}, {"thickness": 0.2}, {"line": [[0, 0], [6, 0.001]]}, {"id": "another"}, {"closed": True}]
)
def test_what_differs_has_another_key(fields):
    line = [[0, 0], [6, 0], [6, 3]] if fields.get("closed") else [[0, 0], [6, 0]]
    base = {"id": "w", "line": line, "there_from": "start"}
    one, two = (timeline([thing("wall", **f)]).at(DAY).key for f in (base, {**base, **fields}))
    assert one != two


def test_a_name_or_note_changes_nothing_that_stands():
    one, two = (timeline([thing("wall", there_from="start", note=n)]).at(DAY).key for n in ("", "lime mortar"))
    assert one == two


def test_every_kind_stands_together():
    scene = timeline(everything()).at(DAY)
    names = [s.name for s in scene.solids] + [s.name for s in scene.surfaces]
    assert len(set(names)) == len(names)


def test_bytes_tell_apart_what_looks_alike():
    alike = [0, 0.0, False, None, "", (), "0", b"0", {"a": 1}, {"a": "1"}, [["a", 1]], date(2030, 1, 1), "2030-01-01"]
    seen = [content_key([item]) for item in alike]
    # A mapping is written as its sorted pairs, so the list of pairs is the one look-alike.
    assert len(set(seen)) == len(seen) - 1
    assert content_key(-0.0) == content_key(0.0)
    assert content_key({"b", "a"}) == content_key({"a", "b"})


def test_what_has_no_bytes_is_refused():
    with pytest.raises(TypeError, match="object"):
        canonical(object())
