"""Least-waste cutting of pieces from the lengths that can be bought: exact, with what the saw takes.

One-dimensional cutting stock with several stock lengths and prices (P. Gilmore, R. Gomory, A linear programming
approach to the cutting-stock problem, Operations Research 9, 1961; from memory): few pieces are tabulated
(``_cutting_table``); for many, ways of cutting a board are priced by a linear programme over columns, and whole numbers
of boards are then found among the columns by CP-SAT.  The linear programme's value bounds every solution from below, so
that a gap, if one remains, is known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from quincunx.build._covering import covering, over_least
from quincunx.build._cutting_table import Table
from quincunx.build._whole_numbers import whole_numbers

SAW_M = 0.003
"""What a saw takes [m] (common practice, no source)."""
GRID = 10_000
"""Lengths are counted in tenths of a millimetre."""
MOST_ROUNDS, WORK = 80, 0.3
MOST_COLUMNS, MANY = 400, 60
NEAR = 2e-4
"""Pricing ends when its bound lies this near (a share) below the linear programme."""


@dataclass(frozen=True, slots=True)
class Stock:
    """A length that can be bought [m], its price in minor units, and how many there are.

    Without a price its length counts; without a number there are as many as wanted (found boards are few and free).
    """

    length_m: float
    price: float | None = None
    at_hand: int | None = None


@dataclass(frozen=True, slots=True)
class Board:
    """``count`` boards of ``length_m``, each sawn into pieces (index of the piece, how many), leaving ``left_m`` [m].

    ``stock`` says which of the lengths that can be bought it is.
    """

    length_m: float
    cuts: tuple[tuple[int, int], ...]
    count: int
    left_m: float
    stock: int = 0


@dataclass(frozen=True, slots=True)
class Cutting:
    """Boards to buy and how each is sawn.

    ``proven`` says that no cutting costs less; else it may cost less by ``gap`` (a share) at most.  ``misfits`` are the
    pieces longer than any board: they have to be joined, or bought otherwise.
    """

    boards: tuple[Board, ...]
    misfits: tuple[int, ...]
    cost: float
    bound: float
    proven: bool

    @property
    def gap(self) -> float:
        """Return by which share the cost may lie over the least one."""
        return over_least(self.cost, self.bound, proven=self.proven)

    def bought(self) -> dict[float, int]:
        """Return how many boards of each length [m] are bought."""
        out: dict[float, int] = {}
        for b in self.boards:
            out[b.length_m] = out.get(b.length_m, 0) + b.count
        return dict(sorted(out.items()))

    @property
    def left_m(self) -> float:
        """Return what is left over in all [m]."""
        return sum(b.left_m * b.count for b in self.boards)


def cut(
    pieces: Sequence[tuple[float, int]], stock: Sequence[Stock], *, saw_m: float = SAW_M, work: float = WORK
) -> Cutting:
    """Return the cheapest boards for ``pieces`` (length [m], count) from ``stock``, each cut losing ``saw_m`` [m].

    ``work`` bounds the search in CP-SAT's deterministic units, so that the same pieces give the same cutting everywhere.
    """
    saw = round(saw_m * GRID)
    lengths = [round(length * GRID) + saw for length, _ in pieces]
    rooms = [round(s.length_m * GRID) + saw for s in stock]
    longest = max(rooms, default=0)
    misfits = tuple(i for i, n in enumerate(lengths) if n > longest and pieces[i][1] > 0)
    kept = [i for i, (_, n) in enumerate(pieces) if n > 0 and i not in misfits]
    if not kept:
        return Cutting((), misfits, 0.0, 0.0, proven=True)
    costs = [(s.length_m * 1000 if s.price is None else s.price) for s in stock]
    task = _Task([lengths[i] for i in kept], [pieces[i][1] for i in kept], rooms, costs, [s.at_hand for s in stock])
    chosen, bound, proven = task.solve(work)
    boards = tuple(
        Board(
            stock[s].length_m,
            tuple((kept[i], n) for i, n in enumerate(way) if n),
            count,
            max(rooms[s] - saw - sum(task.sizes[i] * n for i, n in enumerate(way)), 0) / GRID,
            s,
        )
        for (s, way), count in sorted(chosen.items(), key=lambda c: (-stock[c[0][0]].length_m, c[0][1]))
    )
    cost = sum(costs[s] * n for (s, _), n in chosen.items())
    return Cutting(boards, misfits, cost, bound, proven)


def _packs(most: int) -> list[int]:
    """Return counts that add up to every number from 1 to ``most``: 1, 2, 4, ... and the rest."""
    out, k = [], 1
    while most > 0:
        out.append(min(k, most))
        most -= out[-1]
        k *= 2
    return out


Way = tuple[int, tuple[int, ...]]
"""A stock length and how many of each piece are sawn from it."""


class _Task:
    """One cutting: piece sizes and wants, board rooms, costs and how many boards there are."""

    def __init__(
        self, sizes: list[int], wants: list[int], rooms: list[int], costs: list[float], hand: list[int | None]
    ) -> None:
        self.sizes, self.wants, self.rooms, self.costs, self.hand = sizes, wants, rooms, costs, hand

    def solve(self, work: float) -> tuple[dict[Way, int], float, bool]:
        """Return boards by way of sawing, the lower bound, and whether the answer is proven."""
        if self._unlimited():
            tries = [t for t in (self._greedy(self.wants), self._filled(self.wants)) if t]
            known = min(tries, key=self._cost)
            small = Table(self.sizes, self.wants, self.rooms, self.costs).solve(self._cost(known))
            if small is not None:
                least = small or known
                return least, self._cost(least), True
        ways = self._all_ways()
        every, worth = ways is not None, list[float]()
        if ways is None:
            ways, bound = self._columns()
            shares = self._relaxed(ways)[3]
        else:
            bound, worth, _, shares = self._relaxed(ways)
        bound = self._whole_bound(bound)
        tries = [self._greedy(self.wants), self._filled(self.wants), self._rounded(ways, shares)]
        tries = [t for t in tries if self._allowed(t)] or [self._greedy(self.wants)]
        best = min(tries, key=self._cost)
        if self._cost(best) <= bound + 1e-6 and self._allowed(best):
            return best, bound, True
        if every and self._unlimited():
            table = Table(self.sizes, self.wants, self.rooms, self.costs, worth)
            deep = table.within(bound)
            if deep is not None:
                return deep, bound, True
            found = table.solve(self._cost(best))
            if found is not None:
                best = found or best
                return best, self._cost(best), True
        return self._pick(list(dict.fromkeys([*ways, *best])), best, bound, work, every=every)

    def _unlimited(self) -> bool:
        return all(there is None for there in self.hand)

    def _cost(self, chosen: dict[Way, int]) -> float:
        return sum(self.costs[s] * n for (s, _), n in chosen.items())

    def _simple_bound(self) -> float:
        """Return what all pieces cost at the least price a length."""
        need = sum(size * want for size, want in zip(self.sizes, self.wants, strict=True))
        return need * min(c / r for c, r in zip(self.costs, self.rooms, strict=True))

    def _whole_bound(self, bound: float) -> float:
        step = math.gcd(*[int(c) for c in self.costs if c > 0]) if any(self.costs) else 1
        return math.ceil(bound / step - 1e-6) * step

    def _all_ways(self) -> list[Way] | None:
        """Return every way of sawing that has no room for one more piece, or None if there are too many."""
        out: list[Way] = []
        order = sorted(range(len(self.sizes)), key=lambda i: -self.sizes[i])

        def grow(s: int, k: int, room: int, way: list[int]) -> bool:
            if len(out) > MOST_COLUMNS:
                return False
            if k == len(order):
                if all(room < self.sizes[i] or way[i] >= self.wants[i] for i in order) and any(way):
                    out.append((s, tuple(way)))
                return True
            i = order[k]
            for n in range(min(room // self.sizes[i], self.wants[i]), -1, -1):
                way[i] = n
                if not grow(s, k + 1, room - n * self.sizes[i], way):
                    return False
            way[i] = 0
            return True

        fine = all(grow(s, 0, room, [0] * len(self.sizes)) for s, room in enumerate(self.rooms))
        return out if fine else None

    def _greedy(self, wants: list[int]) -> dict[Way, int]:
        """Return first-fit decreasing from the board that costs least a metre."""
        unlimited = [s for s in range(len(self.rooms)) if self.hand[s] is None] or list(range(len(self.rooms)))
        order = sorted(range(len(wants)), key=lambda i: -self.sizes[i])
        out: dict[Way, int] = {}
        left = list(wants)
        while any(left):
            big = max((i for i in order if left[i]), key=lambda i: self.sizes[i])
            fits = [s for s in unlimited if self.rooms[s] >= self.sizes[big]] or unlimited
            s = min(fits, key=lambda s: (self.costs[s] / self.rooms[s], -self.rooms[s]))
            room, way = self.rooms[s], [0] * len(left)
            for i in order:
                n = min(room // self.sizes[i], left[i])
                way[i], room = n, room - n * self.sizes[i]
                left[i] -= n
            if not any(way):
                return {}
            out[s, tuple(way)] = out.get((s, tuple(way)), 0) + 1
        return self._shorter(out)

    def _filled(self, wants: list[int]) -> dict[Way, int]:
        """Return boards filled one after the other, each with the pieces that leave least of it per price."""
        left, out = list(wants), dict[Way, int]()
        used = [0] * len(self.rooms)
        # Large pieces are a little more worth than their length, so that they don't stay for the end.
        worth = [size * (1 + 0.05 * size / max(self.rooms)) for size in self.sizes]
        while any(left):
            found: list[tuple[float, int, tuple[int, ...]]] = []
            for s, (gain, way) in enumerate(self._best_ways(worth, left)):
                if self.hand[s] is not None and used[s] >= (self.hand[s] or 0):
                    continue
                if gain > 0:
                    found.append(((self.costs[s] + 1e-9) / gain, s, way))
            if not found:
                return {}
            _, s, way = min(found)
            used[s] += 1
            out[s, way] = out.get((s, way), 0) + 1
            left = [n - w for n, w in zip(left, way, strict=True)]
        return self._shorter(out)

    def _rounded(self, ways: list[Way], shares: list[float]) -> dict[Way, int]:
        """Return the linear programme's boards rounded down, and the rest filled."""
        out = {w: math.floor(n + 1e-6) for w, n in zip(ways, shares, strict=True) if n >= 1 - 1e-6}
        left = [max(want - sum(way[i] * n for (_, way), n in out.items()), 0) for i, want in enumerate(self.wants)]
        rest = min((self._filled(left), self._greedy(left)), key=self._cost) if any(left) else {}
        for way, n in rest.items():
            out[way] = out.get(way, 0) + n
        return self._shorter(self._trimmed(out))

    def _shorter(self, chosen: dict[Way, int]) -> dict[Way, int]:
        """Return the same pieces with each board the cheapest that holds them."""
        out: dict[Way, int] = {}
        for (s, way), n in chosen.items():
            need = sum(size * k for size, k in zip(self.sizes, way, strict=True))
            fits = [t for t, room in enumerate(self.rooms) if room >= need and self.hand[t] is None]
            t = min([*fits, s], key=lambda t: (self.costs[t], self.rooms[t]))
            out[t, way] = out.get((t, way), 0) + n
        return out

    def _relaxed(self, ways: list[Way]) -> tuple[float, list[float], list[float], list[float]]:
        """Return the linear programme's value, what one more of each piece costs, of each limited board, and its shares."""
        import numpy as np

        limited = [s for s in range(len(self.rooms)) if self.hand[s] is not None]
        rows = np.array([[1.0 if s == k else 0.0 for s, _ in ways] for k in limited]).reshape(len(limited), len(ways))
        found = covering(
            np.array([self.costs[s] for s, _ in ways], float), np.array([w for _, w in ways], float).T,
            np.array(self.wants, float), rows, np.array([float(self.hand[k] or 0) for k in limited]),
        )  # fmt: skip
        if found is None:
            return 0.0, [0.0] * len(self.sizes), [0.0] * len(limited), [0.0] * len(ways)
        return found.value, found.wants.tolist(), found.allowed.tolist(), found.shares.tolist()

    def _columns(self) -> tuple[list[Way], float]:
        """Return ways of sawing found by pricing, and a bound below every cutting (A. Farley 1990; from memory)."""
        count = len(self.sizes)
        ways = dict.fromkeys([*self._greedy(self.wants), *self._filled(self.wants)])
        for i, size in enumerate(self.sizes):
            for s, room in enumerate(self.rooms):
                if room >= size:
                    ways[s, tuple(min(room // size, self.wants[i]) if k == i else 0 for k in range(count))] = None
        limited = [s for s in range(len(self.rooms)) if self.hand[s] is not None]
        bound = self._simple_bound()
        for _ in range(MOST_ROUNDS if count <= MANY else MOST_ROUNDS // 4):
            value, worth, held, _ = self._relaxed(list(ways))
            found, over = [], 1.0
            for s, (gain, way) in enumerate(self._best_ways(worth, self.wants)):
                price = self.costs[s] + (held[limited.index(s)] if s in limited else 0.0)
                over = max(over, gain / price if price > 0 else math.inf if gain > 1e-9 else 1.0)
                if gain > price + 1e-9 * max(price, 1.0) and (s, way) not in ways:
                    found.append((s, way))
            bound = max(bound, value / over)
            if not found or value - bound <= NEAR * value:
                break
            ways |= dict.fromkeys(found)
        return list(ways), bound

    def _best_ways(self, worth: list[float], wants: list[int]) -> list[tuple[float, tuple[int, ...]]]:
        """Return, for each stock length, the way of sawing it that is worth most (bounded knapsack by tabulation)."""
        import numpy as np

        step = math.gcd(*self.sizes)
        packs = [
            (i, k)
            for i, want in enumerate(wants)
            if want and worth[i] > 1e-12
            for k in _packs(min(want, max(self.rooms) // self.sizes[i]))
        ]
        room = max(self.rooms) // step
        best = np.zeros(room + 1)
        taken = np.zeros((len(packs), room + 1), bool)
        for row, (i, k) in enumerate(packs):
            size = self.sizes[i] * k // step
            with_it = best[: room + 1 - size] + worth[i] * k
            better = with_it > best[size:] + 1e-12
            taken[row, size:] = better
            best[size:] = np.where(better, with_it, best[size:])
        out = []
        for stock in self.rooms:
            at, way = stock // step, [0] * len(worth)
            gain = float(best[at])
            for row in range(len(packs) - 1, -1, -1):
                if taken[row, at]:
                    i, k = packs[row]
                    way[i] += k
                    at -= self.sizes[i] * k // step
            out.append((gain, tuple(way)))
        return out

    def _pick(
        self, ways: list[Way], first: dict[Way, int], bound: float, work: float, *, every: bool
    ) -> tuple[dict[Way, int], float, bool]:
        """Return whole numbers of boards among ``ways`` at least cost."""
        whole = whole_numbers(
            [(self.costs[s], s, way) for s, way in ways], self.wants, self.hand, bound, work,
            [first.get(w, 0) for w in ways],
        )  # fmt: skip
        if whole is None:
            return first, bound, False
        chosen = self._trimmed({w: n for w, n in zip(ways, whole.counts, strict=True) if n})
        best = min((chosen, first) if self._allowed(first) else (chosen,), key=self._cost)
        proven = (every and whole.proven) or self._cost(best) <= bound + 1e-6
        return best, max(bound, whole.bound if every else bound), proven

    def _allowed(self, chosen: dict[Way, int]) -> bool:
        used: dict[int, int] = {}
        for (s, _), n in chosen.items():
            used[s] = used.get(s, 0) + n
        return all(there is None or used.get(s, 0) <= there for s, there in enumerate(self.hand))

    def _trimmed(self, chosen: dict[Way, int]) -> dict[Way, int]:
        """Return the same boards with no piece sawn more often than it is wanted."""
        spare = [sum(way[i] * n for (_, way), n in chosen.items()) - want for i, want in enumerate(self.wants)]
        out: dict[Way, int] = {}
        for (s, way), n in chosen.items():
            for _ in range(n):
                cuts = list(way)
                for i, over in enumerate(spare):
                    take = min(over, cuts[i])
                    cuts[i] -= take
                    spare[i] -= take
                if any(cuts):
                    key = (s, tuple(cuts))
                    out[key] = out.get(key, 0) + 1
        return out
