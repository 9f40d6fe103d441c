"""Kernels that place jobs by a list, as :mod:`quincunx.years.lists` does, and better a plan by moving jobs about in it.

All arrays are of ``int64``.  ``jobs`` has a row for each job: months it takes, whether it is large (0/1), months after
its start until it is of use, whether a plan needs it (0/1), whether it has upkeep (0/1).  Lists within lists are flat
with a pointer array beside: those of item *k* are ``flat[at[k]:at[k + 1]]``.  A start of -1 means not placed, of -2
fixed before: its month is in ``fixed``.
"""

from __future__ import annotations

import numpy as np

from quincunx.kernels import kernel

UNPLACED = -(1 << 40)
"""Start of a job that is not placed; months of fixed ones may be negative too."""
MONTHS, LARGE, AFTER, REQUIRED, UPKEEP = 0, 1, 2, 3, 4


(
    JOBS,
    START_AT,
    START,
    BILL_AT,
    BILL,
    MINUTE_AT,
    MINUTE,
    NEED_AT,
    NEED,
    WAY_AT,
    WAY,
    WITH_AT,
    WITH,
    KEEP,
    MONTH_OF,
    YEAR_OF,
    WORTH,
    LIMITS,
) = range(18)
"""Places of the tables in the tuple ``t`` that each kernel takes first."""
ROWS = "int64[::1], " * 6
TABLES = (
    "Tuple((int64[:,::1], int64[::1], int64[::1], int64[::1], int64[:,::1], int64[::1], int64[::1], int64[::1], int64[:,::1], "
    "int64[::1], int64[:,::1], int64[::1], int64[::1], int64[:,::1], int64[::1], int64[::1], int64[:,::1], int64[::1]))"
)


@kernel
def _bills(t, j, place, at, starts, found):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202, PLR0913 - numbers only
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
def _hours_fit(t, j, at, free, work):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202 - numbers only
    """Return whether the hours of a job, and its upkeep afterwards, find room."""
    first = t[MINUTE_AT][j]
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
def _money_fits(t, n, bills, room, caps):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202 - numbers only
    """Return whether ``n`` bills can be paid and leave each year within its limit."""
    total = 0
    for b in range(n):
        total += bills[b, 1]
        if total > room[bills[b, 0]]:
            return False
    for b in range(n):
        year, due = t[YEAR_OF][bills[b, 0]], 0
        for other in range(n):
            if t[YEAR_OF][bills[other, 0]] == year:
                due += bills[other, 1]
        if bills[b, 1] > 0 and due > caps[year]:
            return False
    return True


@kernel
def _place(t, j, at, n, bills, room, caps, free, work, large):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202, PLR0913 - numbers only
    """Take money, hours and large works of a job from what there is."""
    for b in range(n):
        month, amount = bills[b, 0], bills[b, 1]
        caps[t[YEAR_OF][month]] -= amount
        for later in range(month, len(room)):
            room[later] -= amount
        for earlier in range(month - 1, -1, -1):
            if room[earlier] <= room[month]:
                break
            room[earlier] = room[month]
    first = t[MINUTE_AT][j]
    for u in range(first, t[MINUTE_AT][j + 1]):
        work[at + u - first] += t[MINUTE][u]
    if t[JOBS][j, UPKEEP] == 1:
        for month in range(at + t[JOBS][j, MONTHS], len(free)):
            free[month] -= t[KEEP][j, t[MONTH_OF][month]]
    if t[JOBS][j, LARGE] == 1:
        large[t[YEAR_OF][at]] += 1


@kernel(f"{TABLES}, int64[::1], {ROWS}int64[::1]")
def serial(t, queue, fixed, room0, caps0, free0, work0, large0, starts):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN201, C901, PLR0912, PLR0913 - one walk over the list
    """Place jobs in the order of ``queue``, each in its first month that fits, what it needs first, into ``starts``."""
    count = len(t[JOBS])
    room, caps, free, work, large = room0.copy(), caps0.copy(), free0.copy(), work0.copy(), large0.copy()
    tried = np.zeros(count, np.int64)
    stack, seen = np.empty(count + 1, np.int64), np.empty(count + 1, np.int64)
    bills = np.empty((len(t[BILL]) + len(t[WAY]) + 1, 2), np.int64)
    for j in range(count):
        starts[j] = fixed[j]
        if fixed[j] != UNPLACED:
            tried[j] = 1
    for first in queue:
        if tried[first] == 1:
            continue
        tried[first], stack[0], seen[0], depth = 1, first, t[NEED_AT][first], 1
        while depth > 0:
            j = stack[depth - 1]
            if seen[depth - 1] < t[NEED_AT][j + 1]:
                q = t[NEED][seen[depth - 1], 0]
                if tried[q] == 0:
                    tried[q], stack[depth], seen[depth] = 1, q, t[NEED_AT][q]
                    depth += 1
                elif starts[q] == UNPLACED:
                    depth -= 1
                else:
                    seen[depth - 1] += 1
                continue
            depth -= 1
            earliest = 0
            for n in range(t[NEED_AT][j], t[NEED_AT][j + 1]):
                earliest = max(earliest, starts[t[NEED][n, 0]] + t[NEED][n, 1])
            for place in range(t[START_AT][j], t[START_AT][j + 1]):
                at = t[START][place]
                if at < earliest:
                    continue
                if t[JOBS][j, LARGE] == 1 and large[t[YEAR_OF][at]] >= t[LIMITS][0]:
                    continue
                if not _hours_fit(t, j, at, free, work):
                    continue
                n = _bills(t, j, place, at, starts, bills)
                if n < 0 or not _money_fits(t, n, bills, room, caps):
                    continue
                _place(t, j, at, n, bills, room, caps, free, work, large)
                starts[j] = at
                break


@kernel
def worth_of(t, starts):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN201 - numbers only
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
def _next(state):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202 - numbers only
    """Return the next of a row of numbers that look drawn by chance, below 2**31 (xorshift: Marsaglia, J. Stat. Softw. 8, 2003, 14)."""
    x = state[0]
    x ^= (x << 13) & 0xFFFFFFFF
    x ^= x >> 17
    x ^= (x << 5) & 0xFFFFFFFF
    state[0] = x
    return x >> 1


@kernel
def _sorted_by_start(starts, ids, last):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN202 - numbers only
    """Return the jobs by start, those of one month by id, what is not placed last."""
    keys = np.empty(len(starts), np.int64)
    for j in range(len(starts)):
        month = last if starts[j] == UNPLACED else starts[j]
        keys[j] = (month + 10_000) * 100_000 + ids[j]
    return np.argsort(keys)


@kernel(f"{TABLES}, int64[::1], {ROWS}int64[::1], int64, int64, int64")
def move_about(t, ids, fixed, room, caps, free, work, large, best, rounds, seed, slack):  # type: ignore[no-untyped-def]  # noqa: ANN001, ANN201, PLR0913 - one walk
    """Better the plan ``best`` in place by so many ``rounds`` of moving one to three jobs in its list; return its worth.

    A plan a little worse (by less than ``slack`` millionths of its worth, fewer and fewer as the rounds go by) is
    followed too, so that the search leaves small hollows; the best is kept (threshold accepting: Dueck and Scheuer,
    J. Comput. Phys. 90, 1990, 161-175; citation from memory).
    """
    count, last = len(best), len(free)
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
        serial(t, queue, fixed, room, caps, free, work, large, other)
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
