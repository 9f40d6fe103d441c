"""The same-spot book and the stills on paper: photos by year beside the plan's views, blank frames, tags, captions."""

from __future__ import annotations

import base64

import pytest

from quincunx.garden import garden_from
from quincunx.garden.seen import looked_at
from quincunx.garden.through_time import timeline
from quincunx.review import Review
from quincunx.sheets import pages_of, prepare, same_spot, stake_tags, stills
from tests.board.garden import document

# The smallest PNG there is: one pixel (made by hand after W3C, PNG Specification, 3rd ed. 2025, 5).
DOT = base64.b64decode(
    "iVBORw0KGgoAAAANSUhEUgAAAAEAAAABCAYAAAAfFcSJAAAADUlEQVR42mNk+M9QDwADhgGAWjR9awAAAABJRU5ErkJggg=="
)
PEG = {
    "id": "peg", "name": "By the bench", "at": [3, 2], "look_at": [6, 3],
    "photos": [{"picture": "photo-a", "day": "2028-06-12"}, {"picture": "photo-b", "day": "2028-07-01"}],
}  # fmt: skip
STILL = {
    "id": "still-1", "picture": "photo-a", "words": "From Bench, looking east; 30 June 2029, 15:00 (year 3 of the plan).",
    "on": "2029-06-30", "hour": 15, "at": [2, 2], "bearing_deg": 90,
}  # fmt: skip


class Album:
    """Two pictures, kept."""

    def __init__(self) -> None:
        self.asked: list[str] = []

    def picture(self, name: str) -> tuple[str, bytes] | None:
        self.asked.append(name)
        return ("image/png", DOT) if name in ("photo-a", "photo-b") else None


def of_(album=None, **parts):
    garden = garden_from(document(**parts))
    return prepare(garden, judged=Review((), ()), pictures=album.picture if album else None)


def texts(page):
    out = []
    stack = list(page.blocks)
    while stack:
        block = stack.pop(0)
        out += [block["s"]] if "s" in block else []
        for group in block.get("cells", ()):
            stack += group
    return out


def test_each_year_has_the_plans_view_and_a_frame_for_its_photo():
    (page,) = same_spot.pages(of_(pegs=[PEG]))
    said = texts(page)
    assert said[0] == "Stand on the peg, the camera 1.50 m above the ground, and look at Green gate."
    assert [s for s in said if s.startswith("the plan, ")] == [f"the plan, 30 June {y}" for y in (2027, 2028, 2029)]
    assert sum(s.startswith("photo of ") for s in said) == 3


def test_photos_lie_beside_the_year_they_were_taken_in_the_last_of_each():
    album = Album()
    (page,) = same_spot.pages(of_(album, pegs=[PEG]))
    said = texts(page)
    assert "photo, 1 July 2028" in said
    assert [s[:13] for s in said if s.startswith("photo of ")] == ["photo of 2027", "photo of 2029"]
    assert album.asked == ["photo-b"]


def test_a_lost_picture_leaves_its_frame():
    lost = PEG | {"photos": [{"picture": "gone", "day": "2028-06-12"}]}
    (page,) = same_spot.pages(of_(Album(), pegs=[lost]))
    assert sum(s.startswith("photo of ") for s in texts(page)) == 3


def test_the_views_change_with_the_years():
    (page,) = same_spot.pages(of_(pegs=[PEG | {"at": [3, 7], "look_at": [6, 9]}]))
    drawings = [block["cells"][1][0]["svg"] for block in page.blocks if block["t"] == "row"]
    assert len(set(drawings)) == len(drawings) == 3


def test_without_pegs_it_says_what_it_needs():
    (page,) = pages_of(of_(), ["same-spot"])
    assert "No peg is set yet" in texts(page)[0]


@pytest.mark.parametrize(
    ("goal", "found"), [([2, 2], "bench"), ([6, 3.2], "gate"), ([0.5, 4], "wall"), ([11.5, 9.5], None)]
)
def test_what_is_looked_at_has_its_name(goal, found):
    garden = garden_from(document(pegs=[PEG | {"look_at": goal}]))
    through = timeline(garden)
    assert looked_at(garden.pegs[0], through.at(through.leaf_date(2027))) == found


def test_a_peg_looks_along_its_bearing():
    garden = garden_from(document(pegs=[PEG | {"look_at": [3, -5]}]))
    assert garden.pegs[0].bearing_deg == 180


def test_a_tag_says_how_the_next_photo_is_taken():
    tags = [t for page in stake_tags.pages(of_(pegs=[PEG])) for b in page.blocks for t in b["items"]]
    (tag,) = [t for t in tags if t["name"] == "By the bench"]
    assert tag["what"].startswith("Stand on the peg")
    assert tag["lines"][-1] == "A photo each June."


def test_a_still_is_printed_over_its_words_and_a_lost_one_is_left_out():
    (page,) = stills.pages(of_(Album(), stills=[STILL, STILL | {"id": "still-2", "picture": "gone"}]))
    assert STILL["words"] in texts(page)
    assert sum(b["t"] == "drawing" for b in page.blocks) == 1
    assert "data:image/jpeg;base64," in page.blocks[0]["svg"]
    assert list(stills.pages(of_(stills=[STILL]))) == []
