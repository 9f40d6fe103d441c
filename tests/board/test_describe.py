"""Kinds, musts, walkers and plants as data: enough for forms and gestures that know no kind."""

from __future__ import annotations

import json
from datetime import date

import pytest
from shapely import Point as Point2

from quincunx.board.describe import classify, fields_json, kind_json
from quincunx.board.must_kinds import MONTHLY, must_kind_json
from quincunx.features import KINDS, kind_id
from quincunx.garden import LISTS, WHOLES, garden_from
from quincunx.intents import INTENTS, Words
from quincunx.intents.step_free import StepFree
from quincunx.scene import Moment
from quincunx.site.ground import Ground
from quincunx.units.dates import MONTHS
from quincunx.units.fields import Doc, Length, Point, Slug, YearMonth, field, length
from quincunx.walk.walkers import builtin
from quincunx.works import Job, Means
from quincunx.works.jobs import WORTH_SAID

TYPE_WORDS = (
    "length number integer text bool choice plant feature features month year_month point points list object other"
)
PICK_WORDS = "place room spot feature opening walker length money hours year choice number text bool plant"
TYPES = set(TYPE_WORDS.split())
PICKS = set(PICK_WORDS.split())
COMMON = {"name", "there_from", "there_until", "note"}


def test_what_nobody_makes_is_put_in_as_there_already():
    """What is drawn takes the month the sheet shows; a stream was there before, and no job is asked for."""
    given = {kind_id(kind): kind_json(kind)["place"]["since"] for kind in KINDS}
    assert {word for word, since in given.items() if since is None} == {"flood-ground", "stream"}
    # A line found in the ground is there in the year before the one shown too, when somebody digs: it asks to be there already.
    there = {kind_id(kind) for kind in KINDS if kind_json(kind)["place"]["there"]}
    assert there == {"access-cover", "buried-line", "house"}


@pytest.mark.parametrize("kind", KINDS, ids=kind_id)
def test_every_kind_can_be_put_in_by_pointing(kind):
    told = kind_json(kind)
    place, names = told["place"], {f["name"] for f in told["fields"]}
    assert told["placing"] in {"line", "outline", "point", "turned"}
    assert (place["points"] is None) != (place["at"] is None)
    assert {place[k] for k in ("points", "at", "turn", "width", "depth", "since")} - {None} <= names
    assert names >= COMMON
    assert (place["turn"] is None) == (place["turn_is"] is None)
    geometry = {"line": [[0, 0], [2, 0]], "outline": [[0, 0], [2, 0], [2, 2], [0, 2]]}.get(told["placing"], [1, 1])
    given = {"kind": told["kind"], "id": "one", place["points"] or place["at"]: geometry}
    given |= {f["name"]: told["example"][f["name"]] for f in told["fields"] if f["required"] and f["name"] not in given}
    assert kind.model_validate(given)


@pytest.mark.parametrize("kind", KINDS, ids=kind_id)
def test_every_field_of_a_kind_can_be_shown_in_a_form(kind):
    told = kind_json(kind)
    json.dumps(told, allow_nan=False)
    assert told["words"]
    assert told["about"].endswith(".")
    for f in told["fields"]:
        assert f["type"] in TYPES - {"other"}, f
        assert f["words"], f
        assert f["type"] != "choice" or f["choices"]
        if isinstance(f["default"], (int, float)) and f["type"] in ("length", "number", "integer"):
            assert f["min"] is None or f["default"] >= f["min"]
            assert f["max"] is None or f["default"] <= f["max"]


def test_the_kinds_of_gestures():
    told = {kind_id(k): kind_json(k)["place"] for k in KINDS}
    gate, hedge, shed, tree = told["gate"], told["hedge"], told["shed"], told["tree"]
    assert (gate["at"], gate["turn"], gate["turn_is"], gate["width"], gate["in_wall"]) == (
        "at",
        "along_deg",
        "along",
        "width",
        True,
    )
    assert {k for k, place in told.items() if place["holds"]} == {"fence", "hedge", "row", "trellis", "wall"}
    assert (hedge["points"], hedge["least"], hedge["closed"], hedge["in_wall"]) == ("line", 2, False, False)
    assert (shed["turn"], shed["turn_is"], shed["width"], shed["depth"], shed["in_wall"]) == (
        "facing_deg",
        "front",
        "width",
        "depth",
        False,
    )
    assert (tree["at"], tree["turn"]) == ("at", None)
    assert (told["steps"]["least"], told["steps"]["most"]) == (2, 2)
    assert (told["bed"]["least"], told["bed"]["closed"]) == (3, True)


def test_fields_that_name_plants_and_things_are_found():
    types = {kind_id(k): {f["name"]: f["type"] for f in kind_json(k)["fields"]} for k in KINDS}
    assert types["hedge"]["plant"] == types["tree"]["plant"] == "plant"
    assert types["climber"]["support"] == types["guard"]["target"] == "feature"
    assert types["drip-line"]["waters"] == types["tank"]["waters"] == "features"


class Sample(Doc):
    """Every type of field."""

    long: Length = length("Long", 1.0, ge=0.5, le=2.0)
    maybe: Length | None = length("Maybe", None, ge=0.5)
    where: Point = field("Where")
    line: tuple[Point, ...] = field("Line", (), min_length=2)
    since: YearMonth | None = field("Since", None)
    name: Slug = field("Name", "x")
    sure: bool = field("Sure", True)
    count: int = field("Count", 1, ge=1, le=3)


def test_the_types_of_fields():
    told = {f["name"]: f for f in fields_json(Sample, {"sure": True})}
    assert {n: f["type"] for n, f in told.items()} == {
        "long": "length",
        "maybe": "length",
        "where": "point",
        "line": "points",
        "since": "year_month",
        "name": "text",
        "sure": "bool",
        "count": "integer",
    }
    assert (told["long"]["min"], told["long"]["max"], told["long"]["default"], told["long"]["unit"]) == (
        0.5,
        2.0,
        1,
        "m",
    )
    assert (told["count"]["min"], told["count"]["max"]) == (1, 3)
    assert (told["where"]["required"], told["where"]["default"]) == (True, None)
    assert (told["maybe"]["optional"], told["long"]["optional"]) == (True, False)
    assert [n for n, f in told.items() if f["basic"]] == ["where", "sure"]


def test_a_list_tells_the_fields_of_its_items():
    told = next(
        f for f in kind_json(next(k for k in KINDS if kind_id(k) == "path"))["fields"] if f["name"] == "finishes"
    )
    assert told["type"] == "list"
    assert {"floor", "dig"} <= {f["name"] for f in told["fields"]}
    assert classify(dict[str, int])[0] == "object"
    assert classify(bytes)[0] == "other"


@pytest.mark.parametrize("kind", INTENTS, ids=lambda k: str(k.model_fields["kind"].default))
def test_every_must_is_a_sentence_with_blanks(kind):
    told = must_kind_json(kind)
    blanks = [p for p in told["sentence"] if isinstance(p, dict)]
    text = "".join(p for p in told["sentence"] if isinstance(p, str))
    assert blanks
    assert "zz" not in text
    assert "qQ" not in text
    assert text.endswith(".")
    names = {f["name"]: f for f in told["fields"]}
    assert {b["field"] for b in blanks} <= set(names)
    assert {b["pick"] for b in blanks} | {f["pick"] for f in told["fields"]} <= PICKS
    needed = {n for n, f in names.items() if f["required"]}
    assert needed <= {b["field"] for b in blanks}, "what must be given stands in the sentence"


@pytest.mark.parametrize("southern", [False, True])
@pytest.mark.parametrize("kind", INTENTS, ids=lambda k: str(k.model_fields["kind"].default))
def test_a_must_made_of_a_sentence_says_what_the_sentence_said(kind, southern):
    """Months and choices outside the blanks are filled in too, turned in the south: nothing is promised and not kept."""
    told = must_kind_json(kind, southern=southern)
    example = {k: v for k, v in kind.example.items() if k not in ("from_year", "name")}
    blanks = {p["field"] for p in told["sentence"] if isinstance(p, dict)}
    made = kind(**{k: v for k, v in example.items() if k in blanks or k == "id"}, **told["fills"])
    said = made.sentence(Words())
    text = " ".join(p for p in told["sentence"] if isinstance(p, str))
    promised = [w for w in (*MONTHS, "a dry year", "in flower", "a trail", "winter") if w in text]
    assert [w for w in (*MONTHS, "a dry year", "in flower", "a trail", "winter") if w in said] == promised


def test_months_are_those_of_the_half_of_the_world_that_is_asked_for(start):
    def shaded(**query):
        return next(k for k in start.get("/api/musts/kinds", **query) if k["kind"] == "shaded-between")

    assert "from June to August" in json.dumps(shaded()["sentence"])
    south = shaded(latitude="-37.2")
    assert "from December to February" in json.dumps(south["sentence"])
    assert south["fills"] == {"first": 12, "last": 2}
    monthly = {
        n for k in INTENTS for n, f in k.model_fields.items() if (f.title or f.description or "").find("onth") > 0
    }
    assert monthly == MONTHLY


def test_the_blanks_say_what_fills_them():
    told = {
        k["kind"]: [(p["field"], p["pick"]) for p in k["sentence"] if isinstance(p, dict)]
        for k in map(must_kind_json, INTENTS)
    }
    assert told["only-way-in"] == [("room", "room"), ("walker", "walker"), ("gate", "opening")]
    assert told["reaches"] == [("walker", "walker"), ("start", "place"), ("end", "place"), ("within", "length")]
    assert told["spend-no-more"] == [("sum", "money")]


def test_what_the_board_is_told_answers_without_a_garden(start):
    assert len(start.get("/api/kinds")) == len(KINDS)
    assert len(start.get("/api/musts/kinds")) == len(INTENTS)
    assert {"id": "person", "name": "a person"} in start.get("/api/walkers")
    assert start.get("/api/plants", q="carpinus betulus")["plants"][0]["id"] == "carpinus-betulus"
    assert len(start.get("/api/plants")["plants"]) > 20
    none = start.get("/api/plants", q="qqqq")
    assert none["plants"] == []
    assert "“qqqq”" in none["said"][0]
    bees = start.get("/api/plants", q="Bees")
    assert {"crataegus-monogyna", "lavandula-angustifolia"} <= {p["id"] for p in bees["plants"]}
    assert "common practice, no source" in bees["how"][0]


def test_a_gardens_own_walkers_and_plants_come_first(window):
    window.edit({"do": "put", "part": "walkers", "id": "goat", "value": {"id": "goat", "name": "a goat"}})
    window.edit(
        {
            "do": "put",
            "part": "plants",
            "id": "own-pear",
            "value": {"id": "own-pear", "name": "Aunt's pear", "height_m": 4, "spread_m": 3},
        }
    )
    assert window.get("/api/walkers")[0] == {"id": "goat", "name": "a goat"}
    found = window.get("/api/plants", q="aunt")
    assert [(p["id"], p["own"]) for p in found["plants"]] == [("own-pear", True)]


def test_a_kind_filled_in_from_what_is_told_is_a_garden():
    told = [kind_json(k) for k in KINDS if not kind_json(k)["example"].get("support")]
    features = [{**t["example"], "kind": t["kind"], "id": f"one-{t['kind']}", "target": None} for t in told]
    features = [{k: v for k, v in f.items() if v is not None} for f in features]
    assert len(garden_from({"format": "quincunx/1", "features": features}).features) == len(told)


def test_what_is_given_has_a_form_for_each_of_its_parts(start):
    """Every part of a garden has a form of its own here, or is drawn, measured, judged or journalled elsewhere."""
    parts = {p["part"]: p for p in start.get("/api/parts")}
    elsewhere = {"features", "intents", "jobs", "journal", "name", "boundary", "levels", "underlay"}
    assert set(parts) == set(LISTS + WHOLES) - elsewhere
    assert all(p["many"] == (name in LISTS) for name, p in parts.items())
    means = {f["name"]: f for f in parts["means"]["fields"]}
    assert (means["hours_by_month"]["type"], means["hours_by_month"]["min"], means["hours_by_month"]["max"]) == (
        "numbers",
        12,
        12,
    )
    assert (means["sum_a_year"]["type"], means["sum_a_year"]["unit"]) == ("integer", "money")
    assert all(f["basic"] for name in ("means", "rooms", "spots") for f in parts[name]["fields"])
    climate = next(f for f in parts["site"]["fields"] if f["name"] == "climate")
    assert {f["type"] for f in climate["fields"] if f["name"].startswith("t_m")} == {"numbers"}
    horizon = next(f for f in parts["site"]["fields"] if f["name"] == "horizon")
    assert [f["type"] for f in horizon["fields"]] == ["pairs"]
    tape = parts["survey"]["fields"][0]
    assert {"tape_class", "steel", "warmth"} <= {f["name"] for f in tape["fields"]}
    assert len(parts["survey"]["fields"]) == 2, "readings and stakes are put in where the ground is measured"


def test_an_own_walker_may_begin_as_one_of_the_list_and_says_so(start):
    parts = {p["part"]: p for p in start.get("/api/parts")}
    assert {name for name, p in parts.items() if p["like"]} == {"walkers"}
    assert [one["value"]["id"] for one in parts["walkers"]["like"]] == list(builtin())
    for one in parts["walkers"]["like"]:
        garden = garden_from({"format": "quincunx/1", "walkers": [one["value"]]})
        (made,) = garden.walkers
        assert made.model_copy(update={"known": ()}) == builtin()[made.id].model_copy(update={"known": ()})
        assert made.known[0].source == f"Begun with {made.name} of the list"


def test_how_much_a_thing_matters_is_put_in_words() -> None:
    job, means = ({f["name"]: f for f in fields_json(model)} for model in (Job, Means))
    assert dict(job["worth"]["choices"])["dearest"] == "what the garden is for"
    assert dict(means["ten_kilos"]["choices"]) == WORTH_SAID | {"none": "not by the kilogram"}


def test_months_are_chosen_by_their_names_wherever_a_must_asks_for_them():
    for told in map(must_kind_json, INTENTS):
        for f in told["fields"]:
            if f["name"] == "months":
                assert [words for _, words in f["choices"]] == list(MONTHS), told["kind"]


@pytest.mark.parametrize("kind", [k for k in KINDS if kind_json(k)["placing"] == "line"], ids=kind_id)
def test_a_line_can_come_back_to_its_start(kind):
    place = kind_json(kind)["place"]
    points, closes = place["points"], place["closes"]
    ring = [[0, 0], [5, 0], [5, 5], [0, 5]]
    if place["most"] is not None:
        assert place["most"] < len(ring)
        return
    made = kind.model_validate(kind.example | ({points: ring, closes: True} if closes else {points: [*ring, ring[0]]}))
    stood = made.stand(Moment(date(2030, 8, 31), 3.0, Ground.flat(), lambda _: None))
    assert len(stood.figures) > 0
    if closes:
        sides = [b.footprint for b in stood.solids]
        assert any(s.distance(Point2(0, 2.5)) < 0.2 for s in sides) or not sides


def test_what_cannot_be_printed_is_left_out_of_an_edit(window):
    thing = {"id": "odd", "kind": "seat", "at": [2, 2], "name": "Seat\nby\x00 the\u202e wall", "note": "a\x07b\nc"}
    window.edit({"do": "put", "part": "features", "id": "odd", "value": thing})
    kept = next(f for f in window.get("/api/garden")["garden"]["features"] if f["id"] == "odd")
    assert (kept["name"], kept["note"]) == ("Seat by the wall", "ab\nc")


def test_what_is_explained_of_a_field_is_said_in_every_way_of_writing_by_one_rule():
    from quincunx.units import Style, own_units

    gate = next(k for k in KINDS if kind_id(k) == "gate")
    told = {f["name"]: f for f in kind_json(gate)["fields"]}
    deep = told["post_in_ground"]
    assert deep["help"].startswith("0.75 m:")
    assert deep["help_in"]["metric,"].startswith("0,75 m:")
    assert deep["help_in"]["feet."].startswith("2' 6\":")  # 0.75 m is 29.5 in
    assert "metric." not in deep["help_in"]
    every = [f for k in KINDS for f in kind_json(k)["fields"]]
    assert sum(bool(f["help_in"]) for f in every) >= 4
    for f in every:
        for style in (Style(), Style("feet"), Style("feet", ","), Style(decimal_mark=",")):
            assert f["help_in"].get(style.system + style.decimal_mark, f["help"]) == own_units(f["help"], style)


def test_a_way_without_steps_is_offered_for_a_wheelchair_and_a_must_kept_without_a_name_stays_a_persons() -> None:
    told = must_kind_json(StepFree)
    assert told["begins"] == {"walker": "wheelchair"}
    assert next(f["default"] for f in told["fields"] if f["name"] == "walker") == "person"
    assert StepFree(id="old", start="a", end="b").walker == "person"
