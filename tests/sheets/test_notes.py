"""Notes and photos on paper; dimension lines of one's own on the plan, in SVG and in DXF on a layer of their own."""

from __future__ import annotations

import io
from dataclasses import replace

import pytest
from ezdxf.filemanagement import read

from quincunx.sheets import Set, pages_of, pdf
from quincunx.sheets.dxf import dxf
from tests.sheets.outdoors import SHED, pages, plot, set_for, texts

PNG = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c49444154789c63f8cfc0000003010100c9fe92ef"
    "0000000049454e44ae426082"
)
"""One red pixel."""


@pytest.fixture(scope="module")
def noted() -> Set:
    garden = plot(
        {**SHED, "there_from": "start"},
        pins=[
            {"id": "wet", "name": "Wet in March", "at": [4, 4], "text": "Water stands here.", "pictures": ["photo-a"]}
        ],
        dimensions=[
            {
                "id": "one",
                "start": {"at": [4.5, 5], "on": "den", "by": "corner.0"},
                "end": {"at": [0, 0], "by": "boundary.0"},
            }
        ],
        journal=[{"id": "seen", "day": "2027-05-02", "what": "note", "about": "den", "text": "The door sticks"}],
    )
    return replace(set_for(garden), pictures=lambda name: ("image/png", PNG) if name == "photo-a" else None)


def test_the_list_has_the_numbers_of_the_plan(noted):
    (page,) = pages(noted, "notes")
    said = texts(page)
    assert "1  Wet in March" in said
    assert "Water stands here." in said
    assert "4.00 m east and 4.00 m north of the datum" in said
    assert "2 May 2027, the Den: The door sticks" in said or "2 May 2027, Den: The door sticks" in said
    plan = next(iter(pages_of(noted, ["plan"]))).blocks[0]["svg"]
    assert ">1</text>" in plan
    assert "#7a1f5c" in plan, "the dimension line is drawn in its own ink"


def test_a_photo_is_printed(noted):
    assert pdf(noted, ["notes"]).startswith(b"%PDF")
    assert len(pdf(noted, ["notes"])) > len(pdf(replace(noted, pictures=None), ["notes"]))


def test_without_notes_there_is_no_page():
    assert "No note is pinned" in texts(pages(set_for(plot(SHED)), "notes")[0])[-1]


def test_dimension_lines_have_their_own_layer(noted):
    drawing = read(io.StringIO(dxf(noted.own_marks(), noted.garden.style)))
    lines = [e for e in drawing.modelspace() if e.dxf.layer == "OWN-DIMENSIONS"]
    corner = noted.garden.features[0].holds()["corner.0"]
    long = max(e.dxf.start.distance(e.dxf.end) for e in lines if e.dxftype() == "LINE")
    assert long == pytest.approx((corner[0] ** 2 + corner[1] ** 2) ** 0.5)
    assert any(e.dxf.layer == "PINNED-NOTES" for e in drawing.modelspace())
