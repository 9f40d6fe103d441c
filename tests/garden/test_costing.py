"""Jobs worked out from what they make; price lists in and out; taking the sums is one edit that can be undone."""

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.garden import apply, garden_from, timeline
from quincunx.garden.costing import costed, pace_of, take_edit
from quincunx.garden.price_list import COLUMNS, PriceListError, prices_edit, read_price_list, write_price_list
from quincunx.units import Style

BED = {"kind": "raised-bed", "id": "bed", "outline": [[0, 0], [2.4, 0], [2.4, 1.2], [0, 1.2]], "height": 0.3}
COURT = {
    "kind": "paving", "id": "court", "outline": [[5, 0], [9, 0], [9, 3], [5, 3]],
    "finishes": [{"id": "first", "floor": "gravel"}, {"id": "later", "floor": "brick", "pattern": "stack", "unit_long": 0.2, "unit_wide": 0.1}],
}  # fmt: skip
PRICES = [
    {"id": "timber-50x150", "words": "board", "unit": "m", "sum": 500, "stock_m": 2.4, "also_m": [3.6]},
    {"id": "compost", "words": "compost", "unit": "m3", "sum": 5000},
]


def garden(**more):
    jobs = [
        {
            "id": "beds",
            "name": "Build the bed",
            "does": ["bed"],
            "costs": [{"words": "Boards", "sum": 9000}, {"words": "Help", "sum": 3000, "hired": True}],
            "hours": 5,
        },
        {"id": "gravel", "name": "Gravel the court", "does": ["court"]},
        {"id": "brick", "name": "Lay the court in brick", "does": ["court/later"]},
    ]  # fmt: skip
    return garden_from({"format": "quincunx/1", "features": [BED, COURT], "jobs": jobs, "prices": PRICES, **more})


def by_job(g):
    return {c.job.id: c for c in costed(g, timeline(g))}


def test_a_job_comes_to_what_it_makes():
    found = by_job(garden())["beds"]
    boards = [b for b in found.reckoned.bill if b.item == "timber-50x150"]
    assert sum(b.sum for b in boards) > 0
    assert "topsoil" in found.reckoned.unpriced
    assert found.typed_sum == 12000
    assert found.taken_sum is None


def test_a_later_finish_neither_digs_nor_brings_what_lies_there():
    found = by_job(garden())
    first, later = found["gravel"].reckoned.taken, found["brick"].reckoned.taken
    assert first.dug_m3 > 0
    assert later.dug_m3 == 0
    assert {x.item for x in later.lines} == {"paving-brick-200x100", "sand"}
    # The first digs for both: gravel 5 cm on 10 cm of stone, and stone up to the depth that brick will need.
    assert first.dug_m3 == pytest.approx(12 * 0.19)
    stone = next(x for x in first.lines if x.item == "crushed-stone")
    assert stone.net == pytest.approx(12 * 0.14)


def test_what_is_taken_stands_in_the_plan_and_hired_help_stays():
    g = garden()
    found = by_job(g)["beds"]
    then, undo = apply(g, take_edit(found))
    job = next(j for j in then.jobs if j.id == "beds")
    assert [c.words for c in job.costs if not c.worked_out] == ["Help"]
    assert job.cost == 3000 + found.reckoned.sum
    assert job.hours_worked_out
    assert job.hours == pytest.approx(found.reckoned.hours, abs=0.05)
    again = by_job(then)["beds"]
    assert again.taken_sum == found.reckoned.sum
    assert apply(then, undo)[0] == g


def test_what_makes_no_work_is_bought_whole_and_named() -> None:
    gate = {"kind": "gate", "id": "side", "at": [3, 8], "hung_on": "wall"}
    jobs = [{"id": "hang", "name": "Hang the gate", "does": ["side"], "costs": [{"words": "Gate", "sum": 15000}]}]
    g = garden(features=[BED, COURT, gate], jobs=jobs)
    (found,) = costed(g, timeline(g))
    assert [(b.item, b.words, b.sum) for b in found.reckoned.bill] == [("gate", "gate", None)]
    then, _ = apply(g, take_edit(found))
    # Nothing typed is lost for what has no price.
    assert [(c.words, c.sum) for c in then.jobs[0].costs] == [("Typed, for what has no price yet: gate", 15000)]
    priced = garden(
        features=[BED, COURT, gate], jobs=jobs, prices=[{"id": "gate", "words": "Gate", "unit": "each", "sum": 14000}]
    )
    (found,) = costed(priced, timeline(priced))
    assert found.reckoned.sum == 14000


def test_the_pace_comes_from_the_journal():
    g = garden()
    assert pace_of(g, timeline(g)).jobs == 0
    norm_h = by_job(g)["beds"].reckoned.hours
    entries = [
        {"id": "e1", "day": "2027-05-01", "what": "done", "about": "beds", "hours": round(3 * norm_h, 2)},
        {"id": "e2", "day": "2027-05-02", "what": "hours", "about": "gravel", "hours": 50},
    ]
    slow = garden(journal=entries)
    pace = pace_of(slow, timeline(slow))
    assert pace.jobs == 1  # the gravel is not done yet
    assert 1 < pace.factor < 3
    assert by_job(slow)["brick"].reckoned.hours == pytest.approx(by_job(g)["brick"].reckoned.hours * pace.factor)


def test_a_place_held_open_is_reckoned_at_its_dearest():
    held = {
        "kind": "held", "id": "place", "outline": [[0, 5], [4, 5], [4, 9], [0, 9]], "greatest_height": 3,
        "shortlist": [
            {"id": "slats", "words": "slats", "feature": {"kind": "arbour", "at": [2, 7], "width": 2.4}},
            {"id": "roof", "words": "a roof", "feature": {"kind": "roofed-shelter", "at": [2, 7]}},
        ],
    }  # fmt: skip
    g = garden(features=[BED, COURT, held], jobs=[{"id": "shelter", "name": "Shelter", "does": ["place"]}])
    (found,) = costed(g, timeline(g))
    assert [o.id for o in found.options] == ["slats", "roof"]
    assert found.reckoned.hours == pytest.approx(max(o.reckoned.hours for o in found.options))


LIST = """item;words;unit;price;length;holds;supplier;seen;found;currency
timber-50x150;Board;m;5,20;2,4 m;;yard;2027-02-01;;EUR
concrete;Mix 25 kg;bag;6,40;;0,012;merchant;;;
card;Card;m2;;;;;;yes;
gravel;Gravel;t;;;;;;;
"""


def test_a_list_is_read_as_the_person_writes():
    found = read_price_list(LIST, Style("metric", ",", "EUR"))
    assert [(p.id, p.sum, p.holds, p.stock_m, p.found) for p in found] == [
        ("timber-50x150", 520, None, pytest.approx(2.4), False),
        ("concrete", 640, 0.012, None, False),
        ("card", 0, None, None, True),
    ]
    assert found[0].seen == "2027-02-01"


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "0 lines"),
        ("what;how much\nx;1\n", "no column item"),
        ("item,unit,price\n", "no line with a price"),
        ("item,unit,price,currency\nsand,m3,4,USD\n", "Line 2: the price is in USD"),
        ("item,unit,price\nsand,m3,cheap\n", "Line 2 (sand)"),
        ("item,unit,price\n!!,m3,4\n", "Line 2"),
        ("item,unit,price,holds\nsand,m3,4,-2\n", "Line 2"),
    ],
)
def test_a_bad_list_is_refused_in_a_sentence(text, says):
    with pytest.raises(PriceListError, match=says.replace("(", r"\(").replace(")", r"\)")):
        read_price_list(text, Style("metric", ".", "EUR"))


def test_a_whole_list_goes_out_and_comes_back_the_same() -> None:
    prices = [
        {**PRICES[0], "demo": True},
        {"id": "old-posts", "item": "timber-100x100", "words": "Old posts", "unit": "m", "sum": 0, "found": True, "at_hand": 3, "stock_m": 2.2},
        {"id": "tin", "words": "Tin", "unit": "each", "sum": 1800, "stock_m": 2.0, "wide_m": 0.9, "low": 1500, "high": 2000, "holds": 1.8},
        {"id": "delivery", "words": "Delivery", "unit": "load", "sum": 4500, "supplier": "merchant", "free_from": 50000, "seen": "2026-11-02"},
    ]  # fmt: skip
    g = garden(prices=prices)
    edit = prices_edit(g, read_price_list(write_price_list([], g), g.style))
    back = {(p.item or p.id): p.model_copy(update={"id": "", "item": None}) for p in apply(g, edit)[0].prices}
    assert back == {(p.item or p.id): p.model_copy(update={"id": "", "item": None}) for p in g.prices}
    assert back["timber-50x150"].also_m == (3.6,)
    assert back["timber-50x150"].demo
    dearer = read_price_list(write_price_list([], g).replace("5.00", "5.50"), g.style)
    changed = apply(g, prices_edit(g, dearer))[0].prices
    assert [p.demo for p in changed if p.sum == 550] == [False]  # what the person changed is invented no more


def test_a_board_longer_than_any_is_named_and_has_no_price() -> None:
    short = [{"id": "timber-50x150", "words": "board", "unit": "m", "sum": 500, "stock_m": 1.5}]
    found = by_job(garden(prices=[*short, PRICES[1]]))["beds"].reckoned
    (long,) = {b.words for b in found.bill if b.how == "longer than any board in the price list"}
    assert long in found.unpriced
    (sawn,) = (c for c in found.cuts if c.item == "timber-50x150")
    # Two sides of 2.40 m in each of two courses can't be sawn from boards of 1.50 m; the ends of 1.10 m can.
    assert {round(p.length_m, 2) for p in sawn.misfits} == {2.4}
    lies = sum(b.net for b in found.bill if b.item == "timber-50x150")
    assert lies == pytest.approx(sum(p.length_m * p.count for p in sawn.pieces))


def test_a_list_goes_out_and_comes_back():
    g = garden()
    text = write_price_list([("gravel", "gravel", "m3", "merchant"), ("compost", "compost", "m3", "")], g)
    assert text.splitlines()[0].split(",") == list(COLUMNS)
    assert text.count("\ncompost,") == 1
    assert "\ngravel,gravel,m3,," in text
    back = read_price_list(text, g.style)
    assert {(p.item, p.sum) for p in back} == {("timber-50x150", 500), ("compost", 5000)}
    then, undo = apply(g, prices_edit(g, back))
    assert {p.item or p.id for p in then.prices} == {"timber-50x150", "compost"}
    assert apply(then, undo)[0] == g


@settings(max_examples=40, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text):
    refused = ""
    try:
        read_price_list("item,unit,price\n" + text, Style("metric", ".", "EUR"))
    except PriceListError as error:
        refused = str(error)
    assert refused == "" or len(refused) > 20
