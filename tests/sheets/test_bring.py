"""What somebody must know who helps and never saw the garden: how, with what, how long, for every sort of work."""

from __future__ import annotations

import pytest

from quincunx.board.outdoors_lists import CARE, lists_json
from quincunx.build.hands import hands
from quincunx.build.hours import norms
from quincunx.shapes import FrameWork
from quincunx.sheets._bring import about_long, bring, labour_of, norms_of
from quincunx.sheets._outdoors import planned_whole, waiting
from tests.sheets.outdoors import demo, job, plot, set_for

UPKEEP = {
    "stain",
    "repoint",
    "reset-stones",
    "restrain",
    "wash-glass",
    "brush-roof",
    "re-lay",
    "rejoint",
    "scrub",
    "dredge",
}
DANGERS = {"dig", "high", "glass", "saw", "cement", "dust", "engine", "treated", "lift"}
FENCE = {
    "kind": "fence", "id": "screen", "name": "Screen", "line": [[2, 12], [8, 12]], "height": 1.5,
}  # fmt: skip


def test_every_sort_of_work_is_told_or_is_upkeep() -> None:
    assert set(hands()) == set(norms()) - UPKEEP
    for name, hand in hands().items():
        assert len(hand.how) > 20, name
        assert len(hand.bring) >= 2, name
        assert set(hand.care) <= DANGERS
    assert set().union(*(hand.care for hand in hands().values())) == DANGERS


def test_what_is_dangerous_by_itself_says_so() -> None:
    """Digging, work on a roof, glass and a saw are known by what is said of them, whatever their names."""
    for name, hand in hands().items():
        assert ("high" in hand.care) == ("ladder" in " ".join(hand.bring) or name in ("frame", "kit-hour")), name
        assert ("glass" in hand.care) == (name in ("glaze", "kit-hour")), name
        if "spade" in hand.bring or hand.how.startswith("Dig"):
            assert "dig" in hand.care, name
        if "saw" in hand.bring or "pruning saw" in hand.bring:
            assert {"saw", "dig"} & set(hand.care), name


@pytest.mark.parametrize("name", ["ropewalk", "kettle-hill"])
def test_each_job_can_be_begun_by_somebody_who_never_saw_the_garden(name: str) -> None:
    of, worked = demo(name), 0
    for one in waiting(of):
        plan = planned_whole(of, one)
        lists = {part["id"]: part for part in lists_json(of, plan)}
        assert not (one.tasks and "work" in lists), "what is to do was written down already"
        for part in lists.values():
            for item in part["items"]:
                assert item["how"], (one.id, item["words"])
                if part["id"] in ("saw", "plant", "work", "raise"):
                    assert item["bring"], (one.id, item["words"])
        if work := lists.get("work"):
            worked += 1
            turns = [next(h.turn for h in hands().values() if h.how == i["how"][0]) for i in work["items"]]
            assert turns == sorted(turns), "each thing after what it stands on"
            assert all(i["long"] for i in work["items"])
    assert worked > 2


def test_hours_are_those_the_job_is_counted_with() -> None:
    of = demo("ropewalk")
    fence = next(j for j in of.garden.jobs if j.id == "deer-fence-job")
    plan = planned_whole(of, fence)
    labour = labour_of(of, plan)
    costed = next(c for c in of.costed if c.job.id == fence.id)
    assert sum(x.hours for x in labour) == pytest.approx(costed.reckoned.hours)
    saw = next(x for x in lists_json(of, plan) if x["id"] == "saw")
    assert saw["long"] == about_long(of, sum(x.hours for x in labour if x.norm in norms_of("saw")))
    assert "saw" in bring(labour)
    assert "saw" not in bring(labour, ["post-hole"])


def test_how_deep_a_post_hole_is_comes_from_the_drawing() -> None:
    of = set_for(plot(FENCE, jobs=[job("screen")]))
    plan = planned_whole(of, of.garden.jobs[0])
    work = next(x for x in lists_json(of, plan) if x["id"] == "work")
    (holes,) = [i for i in work["items"] if "in a post" in i["words"]]
    deep = {
        round(-min(m.start[2], m.end[2]), 2)
        for w in plan.stood["screen"].work
        if isinstance(w, FrameWork)
        for m in w.members
        if m.support == "post"
    }
    assert len(deep) == 1
    assert f"post: {deep.pop():.2f} m deep" in " ".join(holes["how"]).replace("\xa0", " ")
    assert "local code" in holes["how"][-1]
    assert "dig" in holes["care"]


def test_lists_of_own_words_are_asked_all_care() -> None:
    assert set(CARE["do"]) == DANGERS
