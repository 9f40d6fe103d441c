"""The months that can matter: few enough starts for a quick proof, with hours looked at only where they bind.

Of all plans of the same worth take the one whose starts are earliest.  Each of its jobs would break something one
start earlier: a bill would fall before money comes in (or in another year, with its own limit, prices and large
works), what it needs or must leave open would not be ready, or a month in which the hours are looked at would be
overfull.  So no other starts are needed, and leaving out the hours of the other months can only make a plan better:
what is proven of the few is a bound for all, and a plan of theirs that keeps all hours is the best of all.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping

from quincunx.years import lists
from quincunx.years.problem import Problem, Project, Starts
from quincunx.years.steps import Steps, build, earliest_starts, income_months

CROWDED_SHARE = 0.5
"""Once so large a share of the months has its hours looked at, all have."""


def marks_of(problem: Problem) -> tuple[int, ...]:
    """Return the months at which a bill or a start counts otherwise than the month before."""
    paid = (month + 1 for month in income_months(problem))
    years = (first for _, first, _ in problem.years())
    return tuple(sorted({0, *paid, *years, *range(0, problem.months, 12)}))


def starts_that_matter(problem: Problem, crowded: Iterable[int], also: Iterable[Starts] = ()) -> dict[str, list[int]]:
    """Return for each project the start months that an earliest best plan may use, hours binding only if ``crowded``.

    ``also`` are plans whose starts stay possible, where they are allowed; what comes after them may follow at once.
    """
    earliest = earliest_starts(problem)
    allowed, kept = list[list[int]](), list[set[int]]()
    for k, p in enumerate(problem.projects):
        months = problem.allowed_starts(p)
        allowed.append(months if p.fixed_start is not None else [t for t in months if t >= earliest[k]])
        kept.append(set(months) if p.fixed_start is not None else set())
    marks, full, plans = marks_of(problem), sorted(crowded), tuple(also)
    for k, p in enumerate(problem.projects):
        if p.fixed_start is None:
            _put(allowed[k], kept[k], _blocked_before(p, marks, full))
            kept[k].update({plan[p.id] for plan in plans if p.id in plan} & set(allowed[k]))
    _after_others(problem, allowed, kept)
    return {p.id: sorted(kept[k]) for k, p in enumerate(problem.projects)}


def _blocked_before(p: Project, marks: tuple[int, ...], crowded: list[int]) -> Iterable[int]:
    """Yield months before which a mark or a crowded month may keep a project."""
    for offset in sorted({0, *(o for o, _ in p.payments)}):
        yield from (mark - offset for mark in marks)
    for month in crowded:
        yield from range(month - p.duration_months + 1, month + 2)


def _put(allowed: list[int], kept: set[int], months: Iterable[int]) -> bool:
    """Keep the first allowed start from each month on; tell whether one is new."""
    before = len(kept)
    for month in months:
        place = bisect_left(allowed, month)
        if place < len(allowed):
            kept.add(allowed[place])
    return len(kept) > before


def _after_others(problem: Problem, allowed: list[list[int]], kept: list[set[int]]) -> None:
    """Add the starts right after what a project needs, or after the works it shuts the way to."""
    index = problem.index
    pairs = [
        (index[n.project], k, problem[n.project].duration_months + n.lag_months)
        for k, p in enumerate(problem.projects)
        for n in p.needs
    ]
    pairs += [(closed, closer, problem.projects[closed].duration_months) for closer, closed, _ in problem.shut_pairs()]
    pairs += [
        (index[closed.id], index[closer.id], closed.duration_months)
        for *closers, closed in problem.shut_together
        for closer in closers
    ]
    pairs = [pair for pair in pairs if problem.projects[pair[1]].fixed_start is None]
    more = True
    while more:
        more = False
        for before, after, gap in pairs:
            more |= _put(allowed[after], kept[after], [t + gap for t in kept[before]])


def overfull(problem: Problem, starts: Starts) -> frozenset[int]:
    """Return the months in which a plan has more work than time."""
    work, keep = [0] * problem.months, [0] * problem.months
    for p in problem.projects:
        if p.id not in starts:
            continue
        start = starts[p.id]
        for u, minutes in enumerate(() if p.done else p.minutes):
            if 0 <= start + u < problem.months:
                work[start + u] += minutes
        for month in range(max(0, start + p.duration_months), problem.months if p.upkeep_minutes else 0):
            keep[month] += p.upkeep_minutes[problem.calendar(month)[1] - 1]
    free = problem.free_minutes
    return frozenset(m for m in range(problem.months) if work[m] and work[m] + keep[m] > free[m])


def crowded_first(problem: Problem, known: Starts | None) -> frozenset[int]:
    """Guess the months in which hours bind: where lists made without regard to hours overfill them."""
    idle = problem.changed(free_minutes=(1 << 40,) * problem.months)
    found = set[int]()
    orders: list[Mapping[str, int]] = [lists.best_for_cost_with_needs(idle)]
    if known is not None:
        queue = sorted(problem.index, key=lambda name: (known.get(name, problem.months), name))
        orders.append(lists.serial(idle, queue))
    for plan in orders:
        found |= overfull(problem, plan)
    return found_or_all(problem, with_next(problem, found))


def with_next(problem: Problem, months: Iterable[int]) -> frozenset[int]:
    """Return the months and the one after each: what finds no room in a month goes to the next."""
    return frozenset(m for month in months for m in (month, month + 1) if m < problem.months)


def found_or_all(problem: Problem, months: Iterable[int]) -> frozenset[int]:
    """Return the months, or all of them once they are so many that leaving out the rest gains nothing."""
    found = frozenset(months)
    return frozenset(range(problem.months)) if len(found) > CROWDED_SHARE * problem.months else found


def lean(problem: Problem, crowded: frozenset[int], also: Iterable[Starts] = ()) -> Steps:
    """Write the problem with the starts that matter (and those of plans ``also``) and the hours of ``crowded`` months."""
    return build(problem, starts=starts_that_matter(problem, crowded, also), hours_of=crowded)
