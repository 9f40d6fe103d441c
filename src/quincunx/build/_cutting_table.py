"""The cheapest boards for few pieces, by looking through what is still to be sawn: exact, and nothing has to be loaded.

What is left to saw is a count of each piece; the largest piece still wanted is on some board, so the least cost is the
least over all full ways of sawing a board with that piece on it.  The most hopeful rest is looked at first (P. Hart,
N. Nilsson, B. Raphael, A formal basis for the heuristic determination of minimum cost paths, 1968; from memory).
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterator, Sequence

MOST_PIECES, FEW_STEPS, MOST_STEPS, DEEP_STEPS = 250, 600, 6_000, 8_000
"""Larger cuttings are left to the linear programme: most boards looked at without its prices, with them, and going deep."""

Way = tuple[int, tuple[int, ...]]
"""A stock length and how many of each piece are sawn from it."""
Left = tuple[int, ...]
"""How many of each piece are still to be sawn."""


class Table:
    """One cutting whose boards are all unlimited: sizes, wants and rooms in whole units, a cost for each room.

    ``worth`` prices each piece so that no way of sawing a board is worth more than the board (the duals of the linear
    programme over all ways); without it a piece is worth its length at the least price a length.
    """

    def __init__(
        self,
        sizes: Sequence[int],
        wants: Sequence[int],
        rooms: Sequence[int],
        costs: Sequence[float],
        worth: Sequence[float] | None = None,
    ) -> None:
        self.order = sorted(range(len(sizes)), key=lambda i: (-sizes[i], i))
        self.sizes = [sizes[i] for i in self.order]
        self.wants = tuple(wants[i] for i in self.order)
        # A dearer or equal board that is no longer than another is never needed.
        by_cost = sorted(range(len(rooms)), key=lambda s: (costs[s], -rooms[s], s))
        self.stock: list[tuple[int, int, float]] = []
        for s in by_cost:
            if not any(room >= rooms[s] for _, room, _ in self.stock):
                self.stock.append((s, rooms[s], costs[s]))
        rate = min(cost / room for _, room, cost in self.stock)
        self.most_steps = FEW_STEPS if worth is None else MOST_STEPS
        self.worth = [rate * sizes[i] if worth is None else worth[i] for i in self.order]

    def solve(self, most: float = math.inf) -> dict[Way, int] | None:
        """Return the boards of least cost by way of sawing; None where there is too much to look through.

        ``most`` is what some cutting is known to cost: nothing dearer is looked at, and only cheaper ones are returned.
        An empty answer means that there is none cheaper.
        """
        if sum(self.wants) > MOST_PIECES:
            return None
        came: dict[Left, tuple[Left, Way]] = {}
        cost = {self.wants: 0.0}
        heap: list[tuple[float, int, Left]] = [(self._least(self.wants), 0, self.wants)]
        count, closed = 0, set[Left]()
        while heap:
            low, _, left = heapq.heappop(heap)
            if low >= most - 1e-6:
                return {}
            if not any(left):
                return self._boards(came, left)
            if left in closed:
                continue
            closed.add(left)
            big = next(k for k, n in enumerate(left) if n)
            for s, room, price in self.stock:
                if room < self.sizes[big]:
                    continue
                for sawn in self._full(left, big, room):
                    count += 1
                    if count > self.most_steps:
                        return None
                    after = tuple(a - b for a, b in zip(left, sawn, strict=True))
                    total = cost[left] + price
                    if total < cost.get(after, math.inf) - 1e-9:
                        cost[after] = total
                        came[after] = (left, (s, sawn))
                        heapq.heappush(heap, (total + self._least(after), count, after))
        return {}

    def within(self, limit: float) -> dict[Way, int] | None:
        """Return boards that cost ``limit`` at most, the first found going deep; None where none were found in time."""
        if sum(self.wants) > MOST_PIECES:
            return None
        tried, steps = set[tuple[Left, float]](), 0
        stack: list[tuple[Left, float, tuple[Way, ...]]] = [(self.wants, 0.0, ())]
        while stack:
            left, cost, path = stack.pop()
            if not any(left):
                return self._named(path)
            if (left, cost) in tried:
                continue
            tried.add((left, cost))
            big = next(k for k, n in enumerate(left) if n)
            after: list[tuple[float, Left, float, Way]] = []
            for s, room, price in self.stock:
                if room < self.sizes[big]:
                    continue
                for sawn in self._full(left, big, room):
                    steps += 1
                    if steps > DEEP_STEPS:
                        return None
                    rest = tuple(a - b for a, b in zip(left, sawn, strict=True))
                    low = cost + price + self._least(rest)
                    if low <= limit + 1e-6:
                        after.append((low, rest, cost + price, (s, sawn)))
            # The most hopeful is looked at first.
            stack += [(rest, spent, (*path, way)) for _, rest, spent, way in sorted(after, reverse=True)]
        return None

    def _named(self, path: Sequence[Way]) -> dict[Way, int]:
        out: dict[Way, int] = {}
        for s, sawn in path:
            back = [0] * len(sawn)
            for k, i in enumerate(self.order):
                back[i] = sawn[k]
            out[s, tuple(back)] = out.get((s, tuple(back)), 0) + 1
        return out

    def _least(self, left: Left) -> float:
        """Return what the pieces left cost at least: their worth."""
        return sum(n * worth for n, worth in zip(left, self.worth, strict=True))

    def _boards(self, came: dict[Left, tuple[Left, Way]], left: Left) -> dict[Way, int]:
        out: dict[Way, int] = {}
        while left != self.wants:
            left, (s, sawn) = came[left]
            back = [0] * len(sawn)
            for k, i in enumerate(self.order):
                back[i] = sawn[k]
            key = (s, tuple(back))
            out[key] = out.get(key, 0) + 1
        return out

    def _full(self, left: tuple[int, ...], big: int, room: int) -> Iterator[tuple[int, ...]]:
        """Yield each way of sawing at least one of ``big`` that has no room for one more of what is left."""
        sizes, last = self.sizes, len(self.sizes)
        way = [0] * last

        def grow(k: int, free: int) -> Iterator[tuple[int, ...]]:
            if k == last:
                if all(way[i] >= left[i] or sizes[i] > free for i in range(big, last)):
                    yield tuple(way)
                return
            least = 1 if k == big else 0
            for n in range(min(free // sizes[k], left[k]), least - 1, -1):
                way[k] = n
                yield from grow(k + 1, free - n * sizes[k])
            way[k] = 0

        yield from grow(big, room)
