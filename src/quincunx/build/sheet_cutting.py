"""Least-waste cutting of plates from the sheets that can be bought: edge to edge, with what each cut takes.

Few plates: every way of sawing a sheet is found (``guillotine``) and the cheapest sheets are proven.  More: ways are
priced by a linear programme whose columns are cut without limits on how often a plate is sawn (P. Gilmore, R. Gomory,
Multistage cutting stock problems of two and more dimensions, Operations Research 13, 1965; from memory); its value bounds
every cutting from below, so that a gap, if one remains, is known.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from quincunx.build._covering import covering, over_least
from quincunx.build._whole_numbers import whole_numbers
from quincunx.build.guillotine import Block, Item, Sheet, greedy_blocks, row_block, together

MM = 1000
"""Plates and sheets are counted in whole millimetres: plates rounded up, sheets down."""
MOST_ROUNDS, WORK, FEW, MOST_SHEETS = 15, 0.3, 14, 100
"""Rounds of pricing, the search for whole numbers (deterministic units), and how many plates are few; with more
sheets than the last the sums that prices can make aren't looked through."""


@dataclass(frozen=True, slots=True)
class Want:
    """A plate: width and length [m], how many, and whether it may be turned (no grain, ribs or flutes)."""

    wide_m: float
    long_m: float
    count: int
    turns: bool = True


@dataclass(frozen=True, slots=True)
class SheetStock:
    """A sheet that can be bought [m], its price in minor units, and how many there are.

    Without a price its area counts; without a number there are as many as wanted.
    """

    wide_m: float
    long_m: float
    price: float | None = None
    at_hand: int | None = None


@dataclass(frozen=True, slots=True)
class Laid:
    """One plate on a sheet: which, its corner and its size as it lies [m]."""

    plate: int
    x_m: float
    y_m: float
    wide_m: float
    long_m: float


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut in its order: ``along`` the sheet's length or across it, from ``start`` to ``end`` [m].

    ``measure_m`` is taken from the left or lower edge of the part that is being sawn; the cut lies past the mark.
    """

    along: bool
    start: tuple[float, float]
    end: tuple[float, float]
    measure_m: float


@dataclass(frozen=True, slots=True)
class SawnSheet:
    """``count`` sheets sawn alike: the plates on each, the cuts in their order and the off-cuts left (width, length) [m]."""

    stock: int
    wide_m: float
    long_m: float
    count: int
    plates: tuple[Laid, ...]
    cuts: tuple[Cut, ...]
    left: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True)
class SheetCutting:
    """Sheets to buy and how each is sawn; ``proven`` as with boards.  ``misfits`` are plates larger than any sheet."""

    sheets: tuple[SawnSheet, ...]
    misfits: tuple[int, ...]
    cost: float
    bound: float
    proven: bool

    @property
    def gap(self) -> float:
        """Return by which share the cost may lie over the least one."""
        return over_least(self.cost, self.bound, proven=self.proven)


Way = tuple[int, Block]
"""A stock sheet and the block of plates sawn from it."""


def cut_sheets(
    plates: Sequence[Want], stock: Sequence[SheetStock], *, saw_m: float = 0.003, work: float = WORK
) -> SheetCutting:
    """Return the cheapest sheets for ``plates`` from ``stock``, each cut losing ``saw_m`` [m]."""
    saw = round(saw_m * MM)
    items = [Item(_up(p.wide_m) + saw, _up(p.long_m) + saw, p.count, p.turns) for p in plates]
    rooms = [(_down(s.wide_m) + saw, _down(s.long_m) + saw) for s in stock]
    fits = [any(Sheet(w, h, [it]).single for w, h in rooms) for it in items]
    misfits = tuple(i for i, ok in enumerate(fits) if not ok and items[i].count > 0)
    kept = [i for i, ok in enumerate(fits) if ok and items[i].count > 0]
    if not kept:
        return SheetCutting((), misfits, 0.0, 0.0, proven=True)
    costs = [s.wide_m * s.long_m * 1000 if s.price is None else s.price for s in stock]
    live = _worth_having(rooms, costs, [s.at_hand for s in stock])
    task = _Task(
        [items[i] for i in kept], [rooms[s] for s in live], [costs[s] for s in live], [stock[s].at_hand for s in live]
    )
    found, bound, proven = task.solve(work)
    chosen = {(live[s], block): n for (s, block), n in found.items()}
    if not chosen:
        return SheetCutting((), (*misfits, *kept), 0.0, 0.0, proven=False)
    sheets = [
        _sawn(s, rooms[s], block, n, saw, kept)
        for (s, block), n in sorted(chosen.items(), key=lambda c: _order(rooms[c[0][0]], c[0][1]))
    ]
    cost = sum(costs[s] * n for (s, _), n in chosen.items())
    return SheetCutting(tuple(sheets), misfits, cost, bound, proven)


def _worth_having(rooms: Sequence[tuple[int, int]], costs: Sequence[float], hand: Sequence[int | None]) -> list[int]:
    """Return the sheets for which no other as large both ways, of which there are enough, costs no more."""

    def beaten(s: int, t: int) -> bool:
        (w, h), (wide, high) = rooms[s], rooms[t]
        if s == t or hand[t] is not None or wide < w or high < h or costs[t] > costs[s]:
            return False
        alike = (wide, high, costs[t], hand[t]) == (w, h, costs[s], hand[s])
        return t < s if alike else True

    every = range(len(rooms))
    return [s for s in every if not any(beaten(s, t) for t in every)]


def cut_first(
    plates: Sequence[Want], spare: Sequence[SheetStock], *, saw_m: float = 0.003
) -> tuple[list[SawnSheet], list[int]]:
    """Return what is cut of ``plates`` from the left-overs ``spare``, the smallest first, and how many are still wanted."""
    saw, rest = round(saw_m * MM), [p.count for p in plates]
    items = [Item(_up(p.wide_m) + saw, _up(p.long_m) + saw, p.count, p.turns) for p in plates]
    rooms = [(_down(s.wide_m) + saw, _down(s.long_m) + saw) for s in spare]
    task = _Task(items, rooms, [0.0] * len(rooms), [s.at_hand for s in spare])
    out: dict[tuple[int, Block], int] = {}
    for s in sorted(range(len(rooms)), key=lambda s: rooms[s][0] * rooms[s][1]):
        for _ in range(spare[s].at_hand or 0):
            block = task._full(s, rest, *rooms[s]) if any(rest) else None  # noqa: SLF001
            if block is None or not any(block.counts):
                break
            out[s, block] = out.get((s, block), 0) + 1
            rest = [n - k for n, k in zip(rest, block.counts, strict=True)]
    names = range(len(plates))
    return [_sawn(s, rooms[s], block, n, saw, names) for (s, block), n in out.items()], rest


def _order(room: tuple[int, int], block: Block) -> tuple[int, int, tuple[int, ...]]:
    """Return what sheets are sorted by: the largest first, then the fullest."""
    return (-room[0] * room[1], -sum(block.counts), block.counts)


def _up(length_m: float) -> int:
    return math.ceil(length_m * MM - 1e-6)


def _down(length_m: float) -> int:
    return math.floor(length_m * MM + 1e-6)


class _Task:
    """One cutting: the plates, the sheets' rooms and costs, and how many sheets there are."""

    def __init__(
        self, items: list[Item], rooms: list[tuple[int, int]], costs: list[float], hand: list[int | None]
    ) -> None:
        self.items, self.rooms, self.costs, self.hand = items, rooms, costs, hand
        self.wants = [it.count for it in items]
        self.sheets = [Sheet(w, h, items) for w, h in rooms]

    def solve(self, work: float) -> tuple[dict[Way, int], float, bool]:
        """Return sheets by way of sawing, the lower bound, and whether the answer is proven."""
        bound = self._whole_bound(max(self._area_bound(), self._largest_bound()))
        known = self._filled(self.wants, [0] * len(self.rooms))
        if known is not None and self._cost(known) <= bound + 1e-6:
            return known, bound, True
        ways, priced = self._columns(known or {})
        bound = max(bound, self._whole_bound(priced))
        tries = [known, self._rounded(ways)]
        known = min((t for t in tries if t is not None), key=self._cost, default=None)
        if known is not None and self._cost(known) <= bound + 1e-6:
            return known, bound, True
        every = self._every() if sum(self.wants) <= FEW else None
        if every is not None:
            bound = max(bound, self._whole_bound(self._relaxed(every)[0]))
            if known is not None and self._cost(known) <= bound + 1e-6:
                return known, bound, True
        return self._pick(every or ways, known, bound, work, every=every is not None)

    def _cost(self, chosen: dict[Way, int]) -> float:
        return sum(self.costs[s] * n for (s, _), n in chosen.items())

    def _whole_bound(self, bound: float) -> float:
        if not all(float(c).is_integer() for c in self.costs):
            return bound
        prices = sorted({int(c) for c in self.costs if c > 0})
        least = math.ceil(bound - 1e-6)
        if not prices or least <= 0:
            return max(bound, 0.0)
        if least / prices[0] > MOST_SHEETS:
            step = math.gcd(*prices)
            return math.ceil(least / step) * step
        # Every sum that whole sheets can come to, a bit each; multiples of a price by doubling.
        limit = least + prices[0]
        sums, mask = 1, (1 << (limit + 1)) - 1
        for c in prices:
            step = c
            while step <= limit:
                sums |= (sums << step) & mask
                step *= 2
        above = sums >> least
        return float(least + (above & -above).bit_length() - 1)

    def _largest_bound(self) -> float:
        """Return what the cheapest sheet for the plate that asks for the dearest costs."""
        return max(
            min(c for c, (w, h) in zip(self.costs, self.rooms, strict=True) if Sheet(w, h, [it]).single)
            for it in self.items
        )

    def _area_bound(self) -> float:
        """Return what all plates cost at the least price an area, what is at hand for nothing taken off first."""
        need = float(sum(it.wide * it.long * it.count for it in self.items))
        cost = 0.0
        for rate, s in sorted(
            (c / (w * h), s) for s, (c, (w, h)) in enumerate(zip(self.costs, self.rooms, strict=True))
        ):
            w, h = self.rooms[s]
            there = self.hand[s]
            much = need if there is None else min(need, float(there * w * h))
            cost, need = cost + rate * much, need - much
        return cost

    def _every(self) -> list[Way] | None:
        """Return every way of sawing a sheet with no room for one more plate; None if there are too many."""
        out: list[Way] = []
        for s, sheet in enumerate(self.sheets):
            found = sheet.every()
            if found is None:
                return None
            out += [(s, b) for b in found]
        return out

    def _relaxed(self, ways: Sequence[Way]) -> tuple[float, list[float], list[float], list[float]]:
        """Return the linear programme's value, what one more of each plate costs, of each limited sheet, and its shares."""
        import numpy as np

        limited = [s for s in range(len(self.rooms)) if self.hand[s] is not None]
        rows = np.array([[1.0 if s == k else 0.0 for s, _ in ways] for k in limited]).reshape(len(limited), len(ways))
        found = covering(
            np.array([self.costs[s] for s, _ in ways], float), np.array([b.counts for _, b in ways], float).T,
            np.array(self.wants, float), rows, np.array([float(self.hand[k] or 0) for k in limited]),
        )  # fmt: skip
        if found is None:
            return 0.0, [0.0] * len(self.wants), [0.0] * len(limited), [0.0] * len(ways)
        return found.value, found.wants.tolist(), found.allowed.tolist(), found.shares.tolist()

    def _columns(self, known: dict[Way, int]) -> tuple[list[Way], float]:
        """Return ways of sawing found by pricing, and a bound below every cutting (A. Farley 1990; from memory)."""
        area = self._area_bound()
        ways = dict[tuple[int, tuple[int, ...]], Way]()
        for start in (known, self._alone()):
            for s, block in start:
                ways.setdefault((s, block.counts), (s, block))
        if not all(sheet.tabled for sheet in self.sheets):
            return list(ways.values()), area
        limited, bound = [s for s in range(len(self.rooms)) if self.hand[s] is not None], area
        for _ in range(MOST_ROUNDS):
            value, worth, held, _ = self._relaxed(list(ways.values()))
            fresh, over = 0, 1.0
            for s, sheet in enumerate(self.sheets):
                price = self.costs[s] + (held[limited.index(s)] if s in limited else 0.0)
                found = sheet.best(worth, steps=60, over=price + 1e-9 * max(price, 1.0))
                over = max(over, found.most / price if price > 0 else math.inf if found.most > 1e-9 else 1.0)
                if found.block and found.value > price + 1e-9 * max(price, 1.0) and (s, found.block.counts) not in ways:
                    ways[s, found.block.counts] = (s, found.block)
                    fresh += 1
            if over < math.inf:
                bound = max(bound, value / over)
            if not fresh or (known and self._cost(known) <= self._whole_bound(bound) + 1e-6):
                break
        return list(ways.values()), bound

    def _alone(self) -> dict[Way, int]:
        """Return, for each plate and sheet, as many of that plate alone as the sheet holds."""
        out: dict[Way, int] = {}
        for i, it in enumerate(self.items):
            for s, (w, h) in enumerate(self.rooms):
                block = row_block(self.items, i, it, w, h)
                if block is not None:
                    out[s, block] = 1
        return out

    def _filled(self, wants: Sequence[int], used: list[int]) -> dict[Way, int] | None:
        """Return sheets sawn one after the other, each with the plates that leave least of it for its price."""
        left, used, out = list(wants), list(used), dict[Way, int]()
        while any(left):
            found: list[tuple[float, int, Block]] = []
            for s, (w, h) in enumerate(self.rooms):
                there = self.hand[s]
                if there is not None and used[s] >= there:
                    continue
                block = self._full(s, left, w, h)
                if block is not None:
                    covered = sum(it.wide * it.long * n for it, n in zip(self.items, block.counts, strict=True))
                    found.append((self.costs[s] / covered, s, block))
            if not found:
                return None
            last = [f for f in found if list(f[2].counts) == left]
            _, s, block = min(last, key=lambda f: self.costs[f[1]]) if last else min(found, key=lambda f: f[:2])
            rounds = min(n // k for n, k in zip(left, block.counts, strict=True) if k)
            there = self.hand[s]
            rounds = rounds if there is None else min(rounds, there - used[s])
            used[s] += rounds
            out[s, block] = out.get((s, block), 0) + rounds
            left = [n - k * rounds for n, k in zip(left, block.counts, strict=True)]
        return out

    def _full(self, s: int, left: Sequence[int], w: int, h: int) -> Block | None:
        """Return the block with the largest area of what is left."""
        items = [Item(it.wide, it.long, n, it.turns) for it, n in zip(self.items, left, strict=True)]
        # Large plates are a little more worth than their area, so that they don't stay for the end.
        worth = [it.wide * it.long * (1 + 0.05 * it.wide * it.long / (w * h)) for it in items]
        tries = greedy_blocks(w, h, items)
        held = next((b for b in tries if list(b.counts) == list(left)), None)
        if held is not None:
            return held
        sheet = Sheet(w, h, items)
        if sheet.tabled and (found := sheet.best(worth, steps=100).block) is not None:
            tries.append(found)
        return max(tries, key=lambda b: sum(n * v for n, v in zip(b.counts, worth, strict=True)), default=None)

    def _rounded(self, ways: Sequence[Way]) -> dict[Way, int] | None:
        """Return the linear programme's sheets rounded down, and the rest filled."""
        if not ways:
            return None
        shares = self._relaxed(ways)[3]
        out = {w: math.floor(n + 1e-6) for w, n in zip(ways, shares, strict=True) if n >= 1 - 1e-6}
        out = self._trimmed(out)
        left = [want - sum(b.counts[i] * n for (_, b), n in out.items()) for i, want in enumerate(self.wants)]
        used = [sum(n for (t, _), n in out.items() if t == s) for s in range(len(self.rooms))]
        rest = self._filled(left, used) if any(left) else {}
        if rest is None:
            return None
        for way, n in rest.items():
            out[way] = out.get(way, 0) + n
        return out

    def _trimmed(self, chosen: dict[Way, int]) -> dict[Way, int]:
        """Return the same sheets with no plate sawn more often than it is wanted."""
        left, out = list(self.wants), dict[Way, int]()
        for (s, block), n in chosen.items():
            for _ in range(n):
                cut = _without(block, left)
                if cut is not None:
                    left = [a - b for a, b in zip(left, cut.counts, strict=True)]
                    out[s, cut] = out.get((s, cut), 0) + 1
        return out

    def _pick(
        self, ways: list[Way], first: dict[Way, int] | None, bound: float, work: float, *, every: bool
    ) -> tuple[dict[Way, int], float, bool]:
        """Return whole numbers of sheets among ``ways`` at least cost."""
        ways = list(dict.fromkeys([*ways, *(first or {})]))
        whole = whole_numbers(
            [(self.costs[s], s, b.counts) for s, b in ways], self.wants, self.hand, bound, work,
            [(first or {}).get(w, 0) for w in ways],
        )  # fmt: skip
        if whole is None:
            return first or {}, bound, False
        chosen = self._trimmed({w: n for w, n in zip(ways, whole.counts, strict=True) if n})
        best = min((c for c in (chosen, first) if c), key=self._cost)
        proven = (every and whole.proven) or self._cost(best) <= bound + 1e-6
        return best, max(bound, whole.bound if every else bound), proven


def _without(block: Block, left: Sequence[int]) -> Block | None:
    """Return a block without the plates that aren't wanted any more; None if nothing of it is."""
    if all(n <= m for n, m in zip(block.counts, left, strict=True)):
        return block
    spare = list(left)

    def keep(b: Block) -> Block | None:
        if b.piece >= 0:
            if spare[b.piece] <= 0:
                return None
            spare[b.piece] -= 1
            return b
        first, second = keep(b.first) if b.first else None, keep(b.second) if b.second else None
        if first is None or second is None:
            return first or second
        return together(first, second, "beside" if b.joined == "beside" else "above")

    return keep(block)


def _sawn(stock: int, room: tuple[int, int], block: Block, count: int, saw: int, names: Sequence[int]) -> SawnSheet:
    """Return a sheet with its plates where they lie and its cuts in their order."""
    work = _Sawing(saw, names)
    work.part(0, 0, room[0], room[1], block)
    return SawnSheet(
        stock, (room[0] - saw) / MM, (room[1] - saw) / MM, count, tuple(work.plates), tuple(work.cuts),
        tuple(sorted(work.left, key=lambda r: -r[0] * r[1])),
    )  # fmt: skip


class _Sawing:
    """A sheet being sawn: what it is cut into, cut by cut."""

    def __init__(self, saw: int, names: Sequence[int]) -> None:
        self.saw, self.names = saw, names
        self.plates: list[Laid] = []
        self.cuts: list[Cut] = []
        self.left: list[tuple[float, float]] = []

    def part(self, x: int, y: int, wide: int, long: int, block: Block) -> None:
        """Saw a part at a corner down to a block, and the block into its plates; sizes include one cut."""
        over_x, over_y = wide - block.wide, long - block.long
        # What is left over comes off in as large a piece as it can.
        upright = over_x * long >= over_y * wide
        for turn in (upright, not upright):
            if turn and wide > block.wide:
                self._cut(x, y, wide, long, block.wide, along=True)
                self._spare(wide - block.wide, long)
                wide = block.wide
            elif not turn and long > block.long:
                self._cut(x, y, wide, long, block.long, along=False)
                self._spare(wide, long - block.long)
                long = block.long
        if block.piece >= 0:
            self.plates.append(
                Laid(
                    self.names[block.piece], x / MM, y / MM, (block.wide - self.saw) / MM, (block.long - self.saw) / MM
                )
            )
            return
        first, second = block.first, block.second
        if first is None or second is None:
            return
        if block.joined == "beside":
            self._cut(x, y, wide, long, first.wide, along=True)
            self.part(x, y, first.wide, long, first)
            self.part(x + first.wide, y, wide - first.wide, long, second)
        else:
            self._cut(x, y, wide, long, first.long, along=False)
            self.part(x, y, wide, first.long, first)
            self.part(x, y + first.long, wide, long - first.long, second)

    def _cut(self, x: int, y: int, wide: int, long: int, at: int, *, along: bool) -> None:
        mark = at - self.saw
        if along:
            start, end = (x + mark, y), (x + mark, y + long - self.saw)
        else:
            start, end = (x, y + mark), (x + wide - self.saw, y + mark)
        ends = [(a / MM, b / MM) for a, b in (start, end)]
        self.cuts.append(Cut(along, ends[0], ends[1], mark / MM))

    def _spare(self, wide: int, long: int) -> None:
        size = (wide - self.saw) / MM, (long - self.saw) / MM
        if min(size) > 0:
            self.left.append(size)
