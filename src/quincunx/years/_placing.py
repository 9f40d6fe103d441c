"""Kernels that place jobs by a list, as :mod:`quincunx.years.lists` does, and better a plan by moving jobs about in it.

All arrays are of ``int64``.  ``jobs`` has a row for each job: months it takes, whether it is large (0/1), months after
its start until it is of use, whether a plan needs it (0/1), whether it has upkeep (0/1).  Lists within lists are flat
with a pointer array beside: those of item *k* are ``flat[at[k]:at[k + 1]]``.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from quincunx.kernels import kernel

Ints = NDArray[np.int64]
Tables = tuple[Ints, ...]
Left = tuple[Ints, ...]
"""What is left while jobs are placed: spendable by month, by year, minutes and work by month, large works by year."""

UNPLACED = -(1 << 40)
"""Start of a job that is not placed; months of fixed ones may be negative too."""
MONTHS, LARGE, AFTER, REQUIRED, UPKEEP = 0, 1, 2, 3, 4


JOBS, START_AT, START, BILL_AT, BILL, MINUTE_AT, MINUTE, NEED_AT, NEED, WAY_AT, WAY, WITH_AT, WITH = range(13)
KEEP, MONTH_OF, YEAR_OF, WORTH, LIMITS = range(13, 18)
"""Places of the tables in the tuple ``t`` that each kernel takes first."""
ROOM, CAPS, FREE, WORK, LARGE_BEGUN = range(5)
"""Places in what is left."""
TABLES = (
    "Tuple((int64[:,::1], int64[::1], int64[::1], int64[::1], int64[:,::1], int64[::1], int64[::1], int64[::1], int64[:,::1], "
    "int64[::1], int64[:,::1], int64[::1], int64[::1], int64[:,::1], int64[::1], int64[::1], int64[:,::1], int64[::1]))"
)
LEFT = "UniTuple(int64[::1], 5)"


@kernel
def _bills(t: Tables, j: int, place: int, at: int, starts: Ints, found: Ints) -> int:
    """Put the bills of job ``j`` at its start number ``place`` with its detours into ``found``; return how many, -1 if shut."""
    n = 0
    for b in range(t[BILL_AT][place], t[BILL_AT][place + 1]):
        found[n, 0], found[n, 1] = t[BILL][b, 0], t[BILL][b, 1]
        n += 1
    for w in range(t[WAY_AT][j], t[WAY_AT][j + 1]):
        other, closes, detour = t[WAY][w, 0], t[WAY][w, 1], t[WAY][w, 2]
        theirs = starts[other]
        if theirs == UNPLACED:
            continue
        if closes == 1:
            blocked, pay = theirs + t[JOBS][other, MONTHS] > at, theirs
        else:
            blocked, pay = at + t[JOBS][j, MONTHS] > theirs, at
        if blocked and detour < 0:
            return -1
        if blocked and pay >= 0:
            k = n
            while k > 0 and found[k - 1, 0] > pay:
                found[k, 0], found[k, 1] = found[k - 1, 0], found[k - 1, 1]
                k -= 1
            found[k, 0], found[k, 1] = pay, detour
            n += 1
    return n


@kernel
def _hours_fit(t: Tables, j: int, at: int, left: Left) -> bool:
    """Return whether the hours of a job, and its upkeep afterwards, find room."""
    free, work, first = left[FREE], left[WORK], t[MINUTE_AT][j]
    for u in range(first, t[MINUTE_AT][j + 1]):
        minutes, month = t[MINUTE][u], at + u - first
        if minutes > 0 and work[month] + minutes > free[month]:
            return False
    if t[JOBS][j, UPKEEP] == 1:
        for month in range(at + t[JOBS][j, MONTHS], len(free)):
            if work[month] > 0 and work[month] + t[KEEP][j, t[MONTH_OF][month]] > free[month]:
                return False
    return True


@kernel
def _money_fits(t: Tables, n: int, bills: Ints, left: Left) -> bool:
    """Return whether ``n`` bills can be paid and leave each year within its limit."""
    total = 0
    for b in range(n):
        total += bills[b, 1]
        if total > left[ROOM][bills[b, 0]]:
            return False
    for b in range(n):
        year, due = t[YEAR_OF][bills[b, 0]], 0
        for other in range(n):
            if t[YEAR_OF][bills[other, 0]] == year:
                due += bills[other, 1]
        if bills[b, 1] > 0 and due > left[CAPS][year]:
            return False
    return True


@kernel
def _take(t: Tables, j: int, at: int, n: int, bills: Ints, left: Left) -> None:
    """Take money, hours and large works of a job from what is left."""
    room, first = left[ROOM], t[MINUTE_AT][j]
    for b in range(n):
        month, amount = bills[b, 0], bills[b, 1]
        left[CAPS][t[YEAR_OF][month]] -= amount
        for later in range(month, len(room)):
            room[later] -= amount
        for earlier in range(month - 1, -1, -1):
            if room[earlier] <= room[month]:
                break
            room[earlier] = room[month]
    for u in range(first, t[MINUTE_AT][j + 1]):
        left[WORK][at + u - first] += t[MINUTE][u]
    if t[JOBS][j, UPKEEP] == 1:
        for month in range(at + t[JOBS][j, MONTHS], len(room)):
            left[FREE][month] -= t[KEEP][j, t[MONTH_OF][month]]
    if t[JOBS][j, LARGE] == 1:
        left[LARGE_BEGUN][t[YEAR_OF][at]] += 1


@kernel
def _put(t: Tables, j: int, starts: Ints, bills: Ints, left: Left) -> None:
    """Place a job in its first month that fits, if there is one; all it needs is placed."""
    earliest = 0
    for n in range(t[NEED_AT][j], t[NEED_AT][j + 1]):
        earliest = max(earliest, starts[t[NEED][n, 0]] + t[NEED][n, 1])
    for place in range(t[START_AT][j], t[START_AT][j + 1]):
        at = t[START][place]
        if at < earliest or (t[JOBS][j, LARGE] == 1 and left[LARGE_BEGUN][t[YEAR_OF][at]] >= t[LIMITS][0]):
            continue
        if not _hours_fit(t, j, at, left):
            continue
        n = _bills(t, j, place, at, starts, bills)
        if n >= 0 and _money_fits(t, n, bills, left):
            _take(t, j, at, n, bills, left)
            starts[j] = at
            return


@kernel(f"{TABLES}, int64[::1], int64[::1], {LEFT}, int64[::1]")
def serial(t: Tables, queue: Ints, fixed: Ints, begin: Left, starts: Ints) -> None:
    """Place jobs in the order of ``queue``, what each needs before it, into ``starts``.

    ``fixed`` holds the starts of fixed works (else :data:`UNPLACED`), ``begin`` what they leave.
    """
    left = (begin[0].copy(), begin[1].copy(), begin[2].copy(), begin[3].copy(), begin[4].copy())
    tried = (fixed != UNPLACED).astype(np.int64)
    stack, seen = np.empty(len(fixed) + 1, np.int64), np.empty(len(fixed) + 1, np.int64)
    bills = np.empty((len(t[BILL]) + len(t[WAY]) + 1, 2), np.int64)
    starts[:] = fixed
    for first in queue:
        if tried[first] == 1:
            continue
        tried[first], stack[0], seen[0], depth = 1, first, t[NEED_AT][first], 1
        while depth > 0:
            j = stack[depth - 1]
            if seen[depth - 1] == t[NEED_AT][j + 1]:
                _put(t, j, starts, bills, left)
                depth -= 1
                continue
            q = t[NEED][seen[depth - 1], 0]
            if tried[q] == 0:
                tried[q], stack[depth], seen[depth] = 1, q, t[NEED_AT][q]
                depth += 1
            elif starts[q] == UNPLACED:
                depth -= 1
            else:
                seen[depth - 1] += 1


@kernel
def worth_of(t: Tables, starts: Ints) -> int:
    """Return the worth of a plan, or -1 if it lacks a job that a plan needs."""
    total = 0
    for j in range(len(starts)):
        if starts[j] == UNPLACED:
            if t[JOBS][j, REQUIRED] == 1:
                return -1
            continue
        use = starts[j] + t[JOBS][j, AFTER]
        for w in range(t[WITH_AT][j], t[WITH_AT][j + 1]):
            q = t[WITH][w]
            use = max(use, t[LIMITS][1] if starts[q] == UNPLACED else starts[q] + t[JOBS][q, AFTER])
        total += t[WORTH][j, max(0, use)]
    return total


@kernel
def _next(state: Ints) -> int:
    """Return the next of a row of numbers that look drawn by chance, below 2**31 (xorshift: Marsaglia, J. Stat. Softw. 8, 2003, 14)."""
    x = state[0]
    x ^= (x << 13) & 0xFFFFFFFF
    x ^= x >> 17
    x ^= (x << 5) & 0xFFFFFFFF
    state[0] = x
    return int(x >> 1)


@kernel
def _sorted_by_start(starts: Ints, ids: Ints, last: int) -> Ints:
    """Return the jobs by start, those of one month by id, what is not placed last."""
    keys = np.empty(len(starts), np.int64)
    for j in range(len(starts)):
        month = last if starts[j] == UNPLACED else starts[j]
        keys[j] = (month + 10_000) * 100_000 + ids[j]
    return np.argsort(keys)


@kernel(f"{TABLES}, int64[::1], int64[::1], {LEFT}, int64[::1], int64, int64, int64")
def move_about(t: Tables, ids: Ints, fixed: Ints, begin: Left, best: Ints, rounds: int, seed: int, slack: int) -> int:
    """Better the plan ``best`` in place by so many ``rounds`` of moving one to three jobs in its list; return its worth.

    A plan a little worse (by less than ``slack`` millionths of its worth, fewer and fewer as the rounds go by) is
    followed too, so that the search leaves small hollows; the best is kept (threshold accepting: Dueck and Scheuer,
    J. Comput. Phys. 90, 1990, 161-175; citation from memory).
    """
    count, last = len(best), len(begin[0])
    now, other = best.copy(), best.copy()
    top = worth_of(t, best)
    value = top
    state = np.empty(1, np.int64)
    state[0] = seed * 2_654_435 + 88_172_645
    order = _sorted_by_start(now, ids, last)
    for turn in range(rounds):
        queue = order.copy()
        for _ in range((1, 1, 2, 3)[_next(state) % 4]):
            at = _next(state) % count
            to = min(count - 1, max(0, at - (_next(state) % (count // 3 + count // 6 + 1) - count // 6)))
            job = queue[at]
            step = 1 if to > at else -1
            while at != to:
                queue[at] = queue[at + step]
                at += step
            queue[to] = job
        serial(t, queue, fixed, begin, other)
        found = worth_of(t, other)
        least = value - int(value / 1_000_000 * slack * (rounds - turn) / rounds)
        if found >= 0 and found >= least:
            value = found
            now[:] = other
            order = _sorted_by_start(now, ids, last)
            if found > top:
                top = found
                best[:] = other
    return top
