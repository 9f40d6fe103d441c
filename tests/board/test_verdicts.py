"""Kept verdicts: judged once, judged anew when what they go by changes, never otherwise."""

from __future__ import annotations

from typing import Any

import pytest

from quincunx.board.kept import StoodCache
from quincunx.board.standing import Standing
from quincunx.garden import Garden, garden_from, plain
from quincunx.intents import INTENTS
from quincunx.review import judge
from quincunx.review.latest import Latest
from quincunx.review.verdicts import LEDGER, PLANTS, SCENES, WORKS, Verdicts
from tests.board.garden import document, small


def standing(garden: Garden, revision: int = 0) -> Standing:
    return Standing.of(garden, StoodCache(), revision, "main")


def judge_all(kept: Verdicts, at: Standing) -> None:
    for must, year in kept.waiting(at):
        kept.judge(must, year, at)


def changed(part: str, thing: str | None, **fields: Any) -> Garden:
    data = document()
    target = data[part] if thing is None else next(x for x in data[part] if x["id"] == thing)
    target.update(fields)
    return garden_from(data)


def left_after(garden: Garden) -> set[tuple[str, int]]:
    """What is to be judged once the small garden was judged and became ``garden``."""
    kept = Verdicts()
    judge_all(kept, standing(small()))
    return {(m.id, y) for m, y in kept.waiting(standing(garden, 1))}


WALKED = {"green-by-gate", "door-to-bench", "roe-off-bench"}


def test_nothing_is_judged_twice():
    kept, at = Verdicts(), standing(small())
    assert len(kept.waiting(at)) == 5 * 3
    judge_all(kept, at)
    assert kept.waiting(at) == []
    assert kept.waiting(standing(small(), 9)) == [], "the same garden at another revision"


def test_a_kept_verdict_is_the_one_judging_gives():
    kept, at = Verdicts(), standing(small())
    judge_all(kept, at)
    for must, want in zip(small().intents, judge(small()), strict=True):
        assert tuple(kept.judge(must, y, at).verdict for y in at.timeline.years) == want.verdicts


@pytest.mark.parametrize(
    ("garden", "want"),
    [
        (changed("means", None, sum_a_year=60000), {"money", "hours"}),
        (changed("features", "seat", note="paint it"), set()),
        (changed("features", "gate", width=1.1), WALKED),
        (
            changed("features", "gate", name="Garden gate"),
            WALKED,
        ),
        (changed("intents", "money", sum=1), {"money"}),
        (changed("jobs", "lay-path", costs=[{"words": "gravel", "sum": 1}]), {"money", "hours"}),
        (changed("writing", None, decimal_mark=","), {m["id"] for m in document()["intents"]}),
    ],
)
def test_only_what_an_edit_touches_is_judged_anew(garden, want):
    assert {name for name, _ in left_after(garden)} == want


def test_a_verdict_says_what_things_are_called_now_and_nothing_else_is_judged_for_a_name():
    kept, at = Verdicts(), standing(small())
    judge_all(kept, at)
    renamed = standing(changed("features", "gate", name="Garden gate"), 1)
    waiting = {m.id for m, _ in kept.waiting(renamed)}
    for must, want in zip(renamed.garden.intents, judge(renamed.garden), strict=True):
        assert tuple(kept.judge(must, y, renamed).verdict for y in renamed.timeline.years) == want.verdicts
        said = any("Garden gate" in v.because for v in want.verdicts)
        assert must.id in waiting or not said
    added = changed("features", "gate", name="Garden gate")
    more = added.features[0].changed(id="far-post", name="Far post")
    beside = standing(added.model_copy(update={"features": (*added.features, more), "jobs": added.jobs}), 2)
    assert {m.id for m, _ in kept.waiting(beside)} <= WALKED, (
        "a thing more is a name more, and only that for the ledger"
    )


def test_years_before_a_change_keep_their_verdicts():
    assert {year for name, year in left_after(changed("features", "seat", at=[3, 3])) if name in WALKED} == {2029}


def test_the_last_verdict_is_remembered_for_a_garden_that_changed():
    kept, at = Verdicts(), standing(small())
    judge_all(kept, at)
    later = standing(changed("features", "gate", width=1.1), 1)
    must = later.garden.intents[0]
    assert kept.find(must, 2028, later) is None
    last = kept.last(must.id, 2028)
    assert last is not None
    assert last.verdict == kept.judge(must, 2028, at).verdict


def test_trying_something_is_no_news():
    kept, at = Verdicts(), standing(small())
    must = at.garden.intents[0]
    known = kept.judge(must, 2028, at)
    gone = garden_from(document(features=[f for f in document()["features"] if f["id"] != "hedge"], jobs=[]))
    tried = Standing(0, "", gone, standing(gone).timeline)
    kept.judge(must, 2028, tried)
    assert kept.last(must.id, 2028) == known


def test_every_kind_of_must_reads_what_the_board_knows_to_watch():
    for kind in INTENTS:
        assert kind.reads
        assert any(kind.reads <= known for known in (SCENES, LEDGER, PLANTS, WORKS)), (
            f"{kind.__name__} is judged anew after every edit"
        )


def test_musts_about_plants_are_judged_anew_when_a_planting_changes_and_not_when_a_wall_does():
    base = standing(small())
    assert standing(small(), 5).planted == base.planted
    assert standing(changed("features", "gate", name="X")).planted == base.planted
    grown = next(f for f in small().features if f.plants_named())
    assert standing(changed("features", grown.id, plant="taxus-baccata")).planted != base.planted


def test_states_are_told_apart_by_everything_that_counts():
    base = standing(small())
    assert standing(small(), 5).common == base.common
    assert standing(changed("writing", None, decimal_mark=",")).common != base.common
    assert standing(changed("means", None, opening=5)).ledger != base.ledger
    assert standing(small()).whole == base.whole
    assert base.document == plain(small())


def test_what_is_kept_stays_within_bounds():
    kept: Latest[int] = Latest(3)
    for i in range(5):
        kept.put(i, i)
    kept.get(2)
    kept.put(9, 9)
    assert [kept.get(i) for i in (0, 1, 2, 3, 4, 9)] == [None, None, 2, None, 4, 9]
    kept.clear()
    assert kept.get(9) is None


def test_stood_things_are_forgotten_when_there_are_too_many(monkeypatch):
    from quincunx.board import kept
    from quincunx.scene import Stood

    monkeypatch.setattr(kept, "MOST_STOOD", 3)
    cache = StoodCache()
    for i in range(4):
        cache[i] = Stood()
    assert list(cache) == [3]
