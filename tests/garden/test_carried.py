"""From one job to the next: what is found is used once, what is left over is sawn first, nothing is counted twice."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given, settings, strategies as st

from quincunx.garden import garden_from, timeline
from quincunx.garden.costing import Costed, costed

BOARDS = {"id": "timber-50x150", "words": "board", "unit": "each", "sum": 1500, "stock_m": 3.0}
OLD = {"id": "old", "item": "timber-50x150", "words": "Old boards", "unit": "each", "sum": 0, "found": True,
       "at_hand": 3, "stock_m": 2.5}  # fmt: skip


def bed(name: str, x: float, long: float, wide: float) -> dict[str, Any]:
    ring = [[x, 0], [x + long, 0], [x + long, wide], [x, wide]]
    return {"kind": "raised-bed", "id": name, "outline": ring, "height": 0.15}


def worked(beds: list[dict[str, Any]], starts: list[str | None], prices: list[dict[str, Any]]) -> list[Costed]:
    jobs = [
        {"id": f"job-{b['id']}", "name": f"Build {b['id']}", "does": [b["id"]], **({"start": s} if s else {})}
        for b, s in zip(beds, starts, strict=True)
    ]
    g = garden_from({"format": "quincunx/1", "features": beds, "jobs": jobs, "prices": prices})
    return list(costed(g, timeline(g)))


def boards(found: Costed) -> Any:
    return next(c for c in found.reckoned.cuts if c.item == "timber-50x150")


def test_what_the_first_bed_leaves_the_second_saws_first() -> None:
    """Bed one: two sides of 2.4 m from boards of 3.0 m leave 0.597 m each; the ends of bed two, 0.5 m, come from them."""
    one, two = bed("one", 0, 2.4, 2.4), bed("two", 5, 0.5, 0.5)
    first, second = worked([one, two], ["2027-03", "2028-03"], [BOARDS])
    assert boards(first).before == ()
    assert boards(first).kept()
    reused = boards(second).before
    assert reused
    assert {r.left.source for r in reused} == {"Build one"}
    bought = [b for b in second.reckoned.bill if b.item == "timber-50x150" and b.shop != "left over"]
    alone = worked([two], ["2028-03"], [BOARDS])[0]
    assert sum(b.sum or 0 for b in bought) < alone.reckoned.sum
    assert second.before.left == tuple(x for x in second.before.left if x.source == "Build one")


def test_the_month_says_which_comes_first_and_a_job_without_one_takes_nothing() -> None:
    one, two = bed("one", 0, 2.4, 2.4), bed("two", 5, 0.5, 0.5)
    later, sooner = worked([one, two], ["2029-03", "2027-03"], [BOARDS])
    assert boards(sooner).before == ()
    assert all(r.left.source == "Build two" for r in boards(later).before)
    assert boards(worked([one, two], ["2027-03", None], [BOARDS])[1]).before == ()


def test_found_boards_are_used_once_over_all_jobs() -> None:
    """Three old boards of 2.5 m; each bed wants four sides of 2.4 m: three in the first, none in the second."""
    beds = [bed("one", 0, 2.4, 2.4), bed("two", 5, 2.4, 2.4)]
    first, second = worked(beds, ["2027-03", "2028-03"], [BOARDS, OLD])
    assert [b.count for b in first.reckoned.bill if b.price == "old"] == [3]
    assert [b.count for b in second.reckoned.bill if b.price == "old"] == []
    assert first.reckoned.sum < second.reckoned.sum


@settings(deadline=None, max_examples=20)
@given(
    st.lists(st.tuples(st.integers(5, 28), st.integers(5, 28)), min_size=2, max_size=4),
    st.permutations([3, 4, 5, 6]),
)
def test_nothing_is_counted_twice(sizes: list[tuple[int, int]], months: list[int]) -> None:
    """Over all jobs: no more found boards than there are, no more of a left-over than was left before, each piece once."""
    beds = [bed(f"bed-{i}", 4.0 * i, a / 10, b / 10) for i, (a, b) in enumerate(sizes)]
    starts: list[str | None] = [f"2027-{m:02d}" for m in months[: len(beds)]]
    found = sorted(worked(beds, starts, [BOARDS, OLD]), key=lambda c: str(c.job.start))
    assert sum(b.count for c in found for b in c.reckoned.bill if b.price == "old") <= 3
    there: dict[tuple[float, str], int] = {}
    for c in found:
        cut = boards(c)
        for r in cut.before:
            key = (r.left.length_m, r.left.source)
            there[key] = there.get(key, 0) - r.count
            assert there[key] >= 0, "more left-overs are used than there are"
        for length, n in cut.kept():
            there[length, c.job.name] = there.get((length, c.job.name), 0) + n
        sawn = sum(b.count * k for b in cut.boards for _, k in b.cuts) + sum(
            r.count * k for r in cut.before for _, k in r.cuts
        )
        assert sawn == sum(p.count for p in cut.pieces)


@pytest.mark.parametrize("order", [("one", "two"), ("two", "one")])
def test_one_job_asked_for_alone_is_told_as_among_all(order: tuple[str, str]) -> None:
    beds = [bed("one", 0, 2.4, 2.4), bed("two", 5, 0.5, 0.5)]
    jobs = [
        {"id": b["id"] + "-job", "name": b["id"], "does": [b["id"]], "start": s}
        for b, s in zip(beds, ("2027-03", "2028-03"), strict=True)
    ]
    g = garden_from({"format": "quincunx/1", "features": beds, "jobs": jobs, "prices": [BOARDS]})
    every = {c.job.id: c.reckoned for c in costed(g, timeline(g))}
    for name in order:
        (one,) = costed(g, timeline(g), [j for j in g.jobs if j.id == f"{name}-job"])
        assert one.reckoned == every[f"{name}-job"]
