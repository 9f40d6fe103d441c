"""Notes and photos on paper; dimension lines of one's own on the plan, in SVG and in DXF on a layer of their own."""

from __future__ import annotations

import base64
import io
import re
from dataclasses import replace

import pytest
from ezdxf.filemanagement import read

from quincunx.sheets import Set, pages_of, pdf
from quincunx.sheets.dxf import dxf
from tests.photos import OWNER, a_picture
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


def test_a_photo_of_two_places_is_printed_once(noted):
    pins = [
        {"id": "wet", "name": "Wet", "at": [4, 4], "pictures": ["photo-a"]},
        {"id": "dry", "name": "Dry", "at": [5, 5], "pictures": ["photo-a"]},
    ]
    of = replace(set_for(plot(SHED, pins=pins)), pictures=noted.pictures)
    (page,) = pages(of, "notes")
    assert str(page.blocks).count("data:image") == 1
    assert "Its photo stands at number 1." in texts(page)


def test_what_can_not_be_read_is_not_printed(noted):
    of = replace(noted, pictures=lambda name: ("image/jpeg", b"somebody's name") if name == "photo-a" else None)
    (page,) = pages(of, "notes")
    assert "data:image" not in str(page.blocks)
    assert "A photo could not be read, and is not printed." in texts(page)


def test_a_printed_photo_holds_the_picture_alone(noted):
    told = a_picture((300, 200), told=True)
    of = replace(noted, pictures=lambda name: ("image/jpeg", told) if name == "photo-a" else None)
    found = re.search(r"base64,([^\"]+)", str(pages(of, "notes")[0].blocks))
    assert found is not None
    assert OWNER.encode() in told
    assert OWNER.encode() not in base64.b64decode(found[1])


def test_without_notes_there_is_no_page():
    assert "No note is pinned" in texts(pages(set_for(plot(SHED)), "notes")[0])[-1]


def test_dimension_lines_have_their_own_layer(noted):
    drawing = read(io.StringIO(dxf(noted.own_marks(), noted.garden.style)))
    lines = [e for e in drawing.modelspace() if e.dxf.layer == "OWN-DIMENSIONS"]
    corner = noted.garden.features[0].holds()["corner.0"]
    long = max(e.dxf.start.distance(e.dxf.end) for e in lines if e.dxftype() == "LINE")
    assert long == pytest.approx((corner[0] ** 2 + corner[1] ** 2) ** 0.5)
    assert any(e.dxf.layer == "PINNED-NOTES" for e in drawing.modelspace())
