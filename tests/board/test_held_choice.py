"""What a held place becomes, chosen from its shortlist; lists of plain choices."""

from __future__ import annotations

from typing import Annotated, Literal

import pytest
from pydantic import Field

from quincunx.board.describe import classify, fields_json, kind_json
from quincunx.features import KINDS, kind_id
from quincunx.units.dates import MONTHS
from quincunx.units.fields import Doc, Month, Slug, YearMonth, field
from tests.board.windows import change, put

HELD = next(k for k in KINDS if kind_id(k) == "held")


def told(kind: str) -> dict[str, dict]:
    model = next(k for k in KINDS if kind_id(k) == kind)
    return {f["name"]: f for f in kind_json(model)["fields"]}


class Shelf(Doc):
    """A document that keeps a list and what is taken from it, and lists of choices of every type."""

    jars: tuple[str, ...] = field("Jars", ())
    taken: Slug | None = field("Taken", None, from_list="jars")
    months: tuple[Month, ...] = field("Months", ())
    colours: tuple[Literal["red", "sky-blue"], ...] = field("Colours", ())
    wide: tuple[Annotated[int, Field(ge=1, le=99)], ...] = field("Any of many", ())
    loose: tuple[int, ...] = field("Any whole number", ())
    since: YearMonth | None = field("Since", None)


def test_choices_are_read_off_the_types_alone():
    fields = {f["name"]: f for f in fields_json(Shelf)}
    assert fields["taken"]["from"] == "jars"
    assert [n for n, f in fields.items() if f["from"]] == ["taken"]
    assert fields["months"]["choices"] == [[str(n), MONTHS[n - 1]] for n in range(1, 13)]
    assert fields["colours"]["choices"] == [["red", "red"], ["sky-blue", "sky blue"]]
    assert [n for n, f in fields.items() if f["choices"]] == ["months", "colours"]
    assert classify(tuple[Annotated[int, Field(ge=2, le=4)], ...])[1] == [["2", "2"], ["3", "3"], ["4", "4"]]
    assert classify(tuple[int, int])[1] is None


def test_the_kinds_tell_what_can_be_chosen():
    assert told("held")["chosen"]["from"] == "shortlist"
    assert [c for c, _ in told("arbour")["closed_sides"]["choices"]] == ["1", "2", "3", "4"]
    assert told("meadow")["cut_months"]["choices"][7] == ["8", "August"]
    for kind in KINDS:
        fields = kind_json(kind)["fields"]
        names = {f["name"] for f in fields if f["type"] == "list"}
        assert {f["from"] for f in fields} - {None} <= names


@pytest.mark.parametrize("chosen", [c["id"] for c in HELD.example["shortlist"]])
def test_choosing_is_one_edit_of_the_held_place_alone(window, chosen):
    window.edit(put("features", {**HELD.example, "kind": "held"}))
    before = window.get("/api/garden")["garden"]["features"]
    window.edit(change("features", HELD.example["id"], chosen=chosen))
    after = window.get("/api/garden")["garden"]["features"]
    changed = [(a, b) for a, b in zip(before, after, strict=True) if a != b]
    assert [b for _, b in changed] == [{**changed[0][0], "chosen": chosen}]
    assert changed[0][0]["id"] == HELD.example["id"]
    window.post("/api/undo", {})
    assert window.get("/api/garden")["garden"]["features"] == before


def test_a_choice_can_be_put_away_again(window):
    window.edit(put("features", {**HELD.example, "kind": "held", "chosen": "shelter"}))
    window.edit(change("features", HELD.example["id"], chosen=None))
    held = next(f for f in window.get("/api/garden")["garden"]["features"] if f["id"] == HELD.example["id"])
    assert "chosen" not in held
