"""The drawing for contractors: layers named by trade, the unit said, true sizes, read back by an independent library."""

from __future__ import annotations

import io
from typing import Any

import pytest
from ezdxf.filemanagement import read

from quincunx.garden import garden_from
from quincunx.review import Review
from quincunx.sheets import Set, prepare
from quincunx.sheets.trades_dxf import trade_of, trades, trades_dxf

PLOT = [[0, 0], [20, 0], [20, 12], [0, 12]]


def garden(units: str = "metric") -> Set:
    return prepare(
        garden_from(
            {
                "format": "quincunx/1",
                "name": "Ditch Cottage",
                "writing": {"units": units},
                "boundary": PLOT,
                "levels": {"heights": [{"at": [0, 0], "z_m": 0.4}, {"at": [20, 0], "z_m": 0.0}, {"at": [0, 12], "z_m": 0.4}]},
                "spots": [{"id": "door", "name": "Back door", "at": [2, 11]}],
                "features": [
                    {"kind": "house", "id": "house", "outline": [[0, 9], [6, 9], [6, 12], [0, 12]], "there_from": "start"},
                    {"kind": "fence", "id": "old-fence", "line": [[10, 0], [10, 4]], "there_from": "start"},
                    {"kind": "buried-line", "id": "pipe", "line": [[0, 1], [20, 1]], "carries": "water", "depth": 0.75,
                     "there_from": "start"},
                    {"kind": "paving", "id": "court", "outline": [[2, 4], [6, 4], [6, 7], [2, 7]],
                     "finishes": [{"id": "brick", "floor": "brick", "pattern": "running", "base": "sand"}]},
                    {"kind": "roofed-shelter", "id": "hut", "at": [14, 8], "closed_sides": []},
                    {"kind": "hedge", "id": "hedge", "line": [[0, 0], [6, 0]]},
                    {"kind": "edging", "id": "edge", "line": [[2, 4], [6, 4]]},
                ],
                "jobs": [
                    {"id": "lay", "name": "Lay the court", "does": ["court", "edge"], "takes_away": ["old-fence"], "start": "2028-05"},
                    {"id": "build", "name": "Hut", "does": ["hut"], "start": "2028-08"},
                    {"id": "plant", "name": "Hedge", "does": ["hedge"], "start": "2028-11"},
                ],
            }
        ),
        judged=Review((), ()),
    )  # fmt: skip


@pytest.fixture(scope="module")
def metric() -> Any:
    return read(io.StringIO(trades_dxf(garden())))


def on(doc: Any, layer: str, sort: str = "LWPOLYLINE") -> list[Any]:
    return [e for e in doc.modelspace() if e.dxf.layer == layer and e.dxftype() == sort]


def texts(doc: Any, layer: str) -> str:
    return " | ".join(e.dxf.text for e in on(doc, layer, "TEXT"))


def size(poly: Any) -> tuple[float, float]:
    xs, ys = [p[0] for p in poly], [p[1] for p in poly]
    return round(max(xs) - min(xs), 4), round(max(ys) - min(ys), 4)


def test_it_is_sound_and_says_its_unit(metric: Any) -> None:
    assert not metric.audit().errors
    assert metric.header["$INSUNITS"] == 6  # DXF reference, group code 70: 6 is metres
    assert "drawing unit: metre" in texts(metric, "NOTES")
    bar = next(p for p in on(metric, "NOTES") if size(p)[1] == 0.0)
    assert size(bar)[0] == 10.0
    assert "licensed person" in texts(metric, "NOTES")


def test_each_trade_has_its_layer_and_nothing_lies_elsewhere(metric: Any) -> None:
    layers = {e.dxf.layer for e in metric.modelspace()}
    assert layers <= set(trades()["layers"])
    for name in ("DEMOLITION", "EXCAVATION", "BASE", "PAVING", "EDGING", "FOUNDATIONS", "TIMBER", "ROOFING", "PLANTING", "SERVICES",
                 "LEVELS", "DIMENSIONS", "SETTING-OUT", "EXISTING-BUILDINGS", "BOUNDARY"):  # fmt: skip
        assert name in layers, name


def test_sizes_are_true(metric: Any) -> None:
    assert (4.0, 3.0) in [size(p) for p in on(metric, "PAVING")]
    assert (4.0, 3.0) in [size(p) for p in on(metric, "EXCAVATION")]
    pads = on(metric, "FOUNDATIONS")
    assert len(pads) == 4
    assert {size(p) for p in pads} == {(0.4, 0.4)}
    assert "dig 0." in texts(metric, "EXCAVATION")
    assert "Old fence" in texts(metric, "DEMOLITION") or "fence" in texts(metric, "DEMOLITION")
    assert "0.75 m down: locate before digging" in texts(metric, "SERVICES")
    assert "Back door" in texts(metric, "SETTING-OUT")


def test_dimensions_are_real_ones(metric: Any) -> None:
    measured = sorted(round(d.get_measurement(), 3) for d in on(metric, "DIMENSIONS", "DIMENSION"))
    assert measured.count(4.0) >= 2
    assert measured.count(3.0) >= 2


def test_feet_are_drawn_in_feet() -> None:
    doc = read(io.StringIO(trades_dxf(garden("feet"))))
    assert doc.header["$INSUNITS"] == 2  # feet
    wide, deep = next(size(p) for p in on(doc, "PAVING"))
    assert [wide * 0.3048, deep * 0.3048] == pytest.approx([4.0, 3.0], abs=1e-3)
    assert "drawing unit: foot" in texts(doc, "NOTES")


def test_one_job_alone() -> None:
    doc = read(io.StringIO(trades_dxf(garden(), "build")))
    layers = {e.dxf.layer for e in doc.modelspace()}
    assert "TIMBER" in layers
    assert "PAVING" not in layers


@pytest.mark.parametrize(
    ("table", "material", "layer"),
    [("lines", "raised bed timber", "TIMBER"), ("lines", "raised bed stone", "MASONRY"), ("lines", "drain french", "DRAINAGE"),
     ("lines", "brick", "MASONRY"), ("lines", "boards", "FENCING"), ("floors", "brick", "PAVING"), ("floors", "gravel", "SURFACING")],
)  # fmt: skip
def test_the_longest_beginning_decides(table: str, material: str, layer: str) -> None:
    assert trade_of(trades()[table], material) == layer
