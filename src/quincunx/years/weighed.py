"""How much each job matters: by its word, or by comparing jobs two at a time where the person has."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from quincunx.garden import Edit, Garden, Op
from quincunx.works import Worth
from quincunx.years.words import WORTH_WORDS, from_pairs

_POINTS = sorted(WORTH_WORDS.values())
WORTH_POINTS: Mapping[Worth, int] = {
    "none": 0, "little": _POINTS[1], "some": _POINTS[2], "much": _POINTS[3], "dearest": _POINTS[4],
}  # fmt: skip
"""Points a year behind the word written on a job (our own choice: each word doubles the one before)."""

BY_WORDS: Mapping[str, str] = {"same": "the same", "rather": "rather more", "much": "much more"}
"""What a comparison says, by what is written on the job."""


def points_of(garden: Garden) -> dict[str, int]:
    """Return the points a year of each job.

    Jobs compared with each other, directly or by way of others, share the mean of their words between them as the
    comparisons say; a job never compared has the points of its word.
    """
    found = {job.id: WORTH_POINTS[job.worth] for job in garden.jobs}
    for group, pairs in _groups(garden):
        mean = max(sum(found[name] for name in group) / len(group), 1.0)
        found |= from_pairs(group, pairs, mean=mean)
    return found


def pairs_of(garden: Garden) -> list[tuple[str, str, str]]:
    """Return the comparisons as (more, less, how much more in words)."""
    there = {job.id for job in garden.jobs}
    return [(j.id, w.job, BY_WORDS[w.by]) for j in garden.jobs for w in j.weighed if w.job in there and w.job != j.id]


def _groups(garden: Garden) -> Iterator[tuple[list[str], list[tuple[str, str, str]]]]:
    """Yield the jobs that hang together by comparisons, with those comparisons."""
    pairs = pairs_of(garden)
    near: dict[str, set[str]] = {}
    for more, less, _ in pairs:
        near.setdefault(more, set()).add(less)
        near.setdefault(less, set()).add(more)
    left = set(near)
    while left:
        group, todo = set[str](), [min(left)]
        while todo:
            one = todo.pop()
            if one not in group:
                group.add(one)
                todo += near[one]
        left -= group
        yield sorted(group), [pair for pair in pairs if pair[0] in group]


def next_pair(garden: Garden) -> tuple[str, str] | None:
    """Return the two jobs to compare next: those compared least, the nearest in worth; None if all pairs are done.

    Jobs done, and those that are only in the way of others, are not asked about.
    """
    done = {e.about for e in garden.journal if e.what == "done"}
    asked = [j.id for j in garden.jobs if j.id not in done and j.worth != "none"]
    known = {frozenset(pair[:2]) for pair in pairs_of(garden)}
    often = {name: sum(name in pair for pair in known) for name in asked}
    points = points_of(garden)
    ranked = [
        (often[a] + often[b], abs(points[a] - points[b]), k, n)
        for k, a in enumerate(asked)
        for n, b in enumerate(asked)
        if k < n and frozenset((a, b)) not in known
    ]
    if not ranked:
        return None
    *_, k, n = min(ranked)
    return asked[k], asked[n]


def compare(garden: Garden, more: str, less: str, by: str) -> Edit:
    """Return the edit that says one job matters more than another; what was said of the two before goes."""
    ops = []
    for job in garden.jobs:
        other = {more: less, less: more}.get(job.id)
        if other is None:
            continue
        kept = [w.model_dump(mode="json") for w in job.weighed if w.job != other]
        now = [*kept, {"job": less, "by": by}] if job.id == more else kept
        if now != [w.model_dump(mode="json") for w in job.weighed]:
            ops.append(Op(do="change", part="jobs", id=job.id, value={"weighed": now}))
    names = {j.id: j.name for j in garden.jobs}
    words = {"same": "matters as much as", "rather": "matters rather more than", "much": "matters much more than"}
    return Edit(label=f"“{names[more]}” {words[by]} “{names[less]}”", ops=tuple(ops))
