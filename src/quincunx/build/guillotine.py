"""One sheet sawn from edge to edge: which rectangles can come off it, and which are worth most.

Every cut goes from one edge of a part to the other, as a saw, shears or a glass cutter go.  Rectangles are built up from
pieces beside or above one another, the most hopeful first (P. Wang, Two algorithms for constrained two-dimensional
cutting stock problems, Operations Research 31, 1983; K. Viswanathan, A. Bagchi, Best-first search methods for
constrained two-dimensional cutting stock problems, Operations Research 41, 1993; both from memory).  What may lie
outside a rectangle is bounded by the cutting without limits on how often a piece is sawn (P. Gilmore, R. Gomory, The
theory and computation of knapsack functions, Operations Research 14, 1966; from memory).

All sizes are whole units, already grown by what a cut takes.
"""

from __future__ import annotations

import heapq
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Literal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Floats = NDArray[np.float64]

MOST_CELLS = 5_000
"""Larger tables are not set up: the sheet is then bounded by its area."""
MOST_STEPS, MOST_BLOCKS = 3_000, 300


@dataclass(frozen=True, slots=True)
class Item:
    """A piece: its width and length, how often it is wanted, and whether it may be turned by a quarter."""

    wide: int
    long: int
    count: int
    turns: bool = False

    def ways(self) -> tuple[tuple[int, int], ...]:
        """Return width and length as it may lie."""
        if self.turns and self.wide != self.long:
            return ((self.wide, self.long), (self.long, self.wide))
        return ((self.wide, self.long),)


@dataclass(frozen=True, slots=True)
class Block:
    """A rectangle that holds pieces: one piece, or two blocks ``beside`` or ``above`` one another."""

    wide: int
    long: int
    counts: tuple[int, ...]
    piece: int = -1
    joined: Literal["", "beside", "above"] = ""
    first: Block | None = None
    second: Block | None = None


@dataclass(frozen=True, slots=True)
class Best:
    """The block that is worth most, what it is worth, and whether none is worth more (else at most ``most``)."""

    block: Block | None
    value: float
    most: float
    proven: bool


class Sheet:
    """A sheet of ``wide`` x ``long`` and what is wanted from it."""

    def __init__(self, wide: int, long: int, items: Sequence[Item]) -> None:
        self.wide, self.long, self.items = wide, long, tuple(items)
        self.single = [
            (i, w, h) for i, it in enumerate(self.items) if it.count for w, h in it.ways() if w <= wide and h <= long
        ]

    @cached_property
    def across(self) -> list[int]:
        """Return the widths that rows of pieces can have, and the sheet's own."""
        return _sums([(w, self.items[i].count) for i, w, _ in self.single], self.wide)

    @cached_property
    def along(self) -> list[int]:
        """Return the lengths that columns of pieces can have, and the sheet's own."""
        return _sums([(h, self.items[i].count) for i, _, h in self.single], self.long)

    @property
    def tabled(self) -> bool:
        """Return whether its tables are small enough to be set up."""
        return len(self.across) * len(self.along) <= MOST_CELLS

    def without_limits(self, values: Sequence[float]) -> Floats:
        """Return what each part of the sheet is worth at most if pieces may be sawn as often as there is room."""
        import numpy as np

        xs, ys = self.across, self.along
        table = np.zeros((len(xs), len(ys)))
        for i, w, h in self.single:
            a, b = bisect_right(xs, w - 1), bisect_right(ys, h - 1)
            table[a:, b:] = np.maximum(table[a:, b:], values[i])
        back_y = [np.array([bisect_right(ys, y - v) - 1 for v in ys[1:] if 2 * v <= y], int) for y in ys]
        for a, x in enumerate(xs):
            if a:
                table[a] = np.maximum(table[a], table[a - 1])
            for k in range(1, a):
                if 2 * xs[k] > x:
                    break
                table[a] = np.maximum(table[a], table[k] + table[bisect_right(xs, x - xs[k]) - 1])
            row = table[a]
            for b in range(1, len(ys)):
                row[b] = max(row[b], row[b - 1])
                rest = back_y[b]
                if len(rest):
                    row[b] = max(row[b], float((row[1 : len(rest) + 1] + row[rest]).max()))
        return table

    def _outside(self, table: Floats) -> Floats:
        """Return what may lie outside a block in the sheet's corner, by its width and length."""
        import numpy as np

        xs, ys = self.across, self.along
        out = np.zeros_like(table)
        left_x = [np.array([bisect_right(xs, u - x) - 1 for u in xs[a + 1 :]], int) for a, x in enumerate(xs)]
        left_y = [np.array([bisect_right(ys, v - y) - 1 for v in ys[b + 1 :]], int) for b, y in enumerate(ys)]
        for a in range(len(xs) - 1, -1, -1):
            if len(left_x[a]):
                out[a] = (out[a + 1 :] + table[left_x[a]]).max(axis=0)
            row, here = out[a], table[a]
            for b in range(len(ys) - 2, -1, -1):
                row[b] = max(row[b], float((row[b + 1 :] + here[left_y[b]]).max()))
        return out

    def best(self, values: Sequence[float], steps: int = MOST_STEPS, *, over: float = 0.0) -> Best:
        """Return the block worth most with no piece more often than it is wanted; at most ``steps`` are looked at.

        Where nothing can be worth more than ``over``, no block is looked for.
        """
        if not self.single or not self.tabled:
            return Best(None, 0.0, float("inf") if self.single else 0.0, not self.single)
        table = self.without_limits(values)
        if float(table[-1, -1]) <= over:
            return Best(None, 0.0, float(table[-1, -1]), proven=False)
        search = _Search(self, values, table, self._outside(table))
        return search.run(steps)

    def every(self, most: int = MOST_BLOCKS) -> list[Block] | None:
        """Return the blocks that no other holds more than, or None where there are too many to look through."""
        seen: dict[tuple[int, ...], list[tuple[int, int]]] = {}
        blocks: list[Block] = []
        fresh = [self._one(i, w, h) for i, w, h in self.single]
        while fresh:
            kept = [block for block in fresh if _new(seen, block)]
            if len(blocks) + len(kept) > most:
                return None
            found: list[Block] = []
            for n, block in enumerate(kept):
                for other in (*blocks, *kept[: n + 1]):
                    found += self.joined(block, other)
                if len(found) > 20 * most:
                    return None
            blocks += kept
            fresh = found
        return _fullest(blocks)

    def _one(self, i: int, w: int, h: int) -> Block:
        return Block(w, h, tuple(1 if k == i else 0 for k in range(len(self.items))), i)

    def joined(self, a: Block, b: Block) -> Iterator[Block]:
        """Yield both blocks joined beside and above one another, where the sheet and the wants allow it."""
        if a.wide + b.wide > self.wide and a.long + b.long > self.long:
            return
        counts = tuple(m + n for m, n in zip(a.counts, b.counts, strict=True))
        if any(n > it.count for n, it in zip(counts, self.items, strict=True)):
            return
        if a.wide + b.wide <= self.wide:
            yield together(a, b, "beside")
        if a.long + b.long <= self.long:
            yield together(a, b, "above")


class _Search:
    """The search for the block that is worth most, the most hopeful first."""

    def __init__(self, sheet: Sheet, values: Sequence[float], table: Floats, outside: Floats) -> None:
        self.sheet, self.values, self.outside = sheet, values, outside
        self.heap: list[tuple[float, float, int, Block]] = []
        self.seen: dict[tuple[int, ...], list[tuple[int, int]]] = {}
        self.best: Block | None = None
        self.value, self.made = 0.0, 0
        full = sum(v * it.count for v, it in zip(values, sheet.items, strict=True))
        self.most = min(float(table[-1, -1]), full)
        self.at_x = {x: k for k, x in enumerate(sheet.across)}
        self.at_y = {y: k for k, y in enumerate(sheet.along)}

    def add(self, block: Block) -> None:
        """Take a new block in, if it can lead to more than the best there is."""
        worth = sum(n * v for n, v in zip(block.counts, self.values, strict=True))
        hope = worth + float(self.outside[self.at_x[block.wide], self.at_y[block.long]])
        if hope <= self.value + 1e-9 or not _new(self.seen, block):
            return
        self.made += 1
        if worth > self.value:
            self.best, self.value = block, worth
        heapq.heappush(self.heap, (-hope, -worth, self.made, block))

    def run(self, steps: int) -> Best:
        """Look at blocks until none can lead to more, or ``steps`` joins were tried."""
        for i, w, h in self.sheet.single:
            self.add(self.sheet._one(i, w, h))  # noqa: SLF001 - the sheet's own search
        closed: list[Block] = []
        tried = 0
        while self.heap:
            hope, _, _, block = heapq.heappop(self.heap)
            if -hope <= self.value + 1e-9 or self.value >= self.most - 1e-9:
                break
            closed.append(block)
            for other in closed:
                tried += 1
                for new in self.sheet.joined(block, other):
                    self.add(new)
            if tried > steps * 40:
                top = max((-h for h, *_ in self.heap), default=self.value)
                return Best(self.best, self.value, max(self.value, min(top, self.most)), proven=False)
        return Best(self.best, self.value, self.value, proven=True)


def _sums(sizes: Sequence[tuple[int, int]], room: int) -> list[int]:
    """Return the sums of sizes, each so often at most, that are no more than ``room``; nothing and ``room`` among them."""
    found = {0}
    for size, count in sizes:
        grown = set(found)
        for _ in range(min(count, room // size)):
            more = {n + size for n in grown if n + size <= room}
            if more <= grown:
                break
            grown |= more
        found = grown
    return sorted(found | {room})


def _new(seen: dict[tuple[int, ...], list[tuple[int, int]]], block: Block) -> bool:
    """Return whether no block with the same pieces is as small, and remember this one if so."""
    sizes = seen.setdefault(block.counts, [])
    if any(w <= block.wide and h <= block.long for w, h in sizes):
        return False
    sizes[:] = [(w, h) for w, h in sizes if not (block.wide <= w and block.long <= h)]
    sizes.append((block.wide, block.long))
    return True


def _fullest(blocks: Sequence[Block]) -> list[Block]:
    """Return one block for each set of pieces that no other set holds."""
    sets = {b.counts: b for b in blocks}
    order = sorted(sets, key=lambda c: (-sum(c), c))
    kept: list[tuple[int, ...]] = []
    for c in order:
        if not any(all(m >= n for m, n in zip(k, c, strict=True)) for k in kept):
            kept.append(c)
    return [sets[c] for c in kept]


def together(a: Block, b: Block, how: Literal["beside", "above"]) -> Block:
    """Return two blocks beside or above one another as one."""
    counts = tuple(m + n for m, n in zip(a.counts, b.counts, strict=True))
    if how == "beside":
        return Block(a.wide + b.wide, max(a.long, b.long), counts, -1, how, a, b)
    return Block(max(a.wide, b.wide), a.long + b.long, counts, -1, how, a, b)


def row_block(items: Sequence[Item], i: int, it: Item, wide: int, long: int) -> Block | None:
    """Return as many of one piece in rows and columns as a sheet holds and as are wanted; None if it doesn't fit."""
    best: Block | None = None
    for w, h in it.ways():
        across = min(wide // w, it.count)
        along = min(long // h, it.count // across) if across else 0
        if not along:
            continue
        single = Block(w, h, tuple(1 if k == i else 0 for k in range(len(items))), i)
        row = single
        for _ in range(across - 1):
            row = together(row, single, "beside")
        block = row
        for _ in range(along - 1):
            block = together(block, row, "above")
        if best is None or block.counts > best.counts:
            best = block
    return best


def greedy_blocks(wide: int, long: int, items: Sequence[Item]) -> list[Block]:
    """Return blocks filled from the corner out, by area, by the longer side and by length, the rest split either way."""
    out = []
    for order in (lambda w, h: (w * h, w), lambda w, h: (max(w, h), w * h), lambda w, h: (h, w), lambda w, h: (w, h)):
        for split in ("wide", "long", "large"):
            left = [it.count for it in items]
            block = _fill(wide, long, items, left, order, split)
            if block is not None:
                out.append(block)
    return out


def _fill(
    wide: int,
    long: int,
    items: Sequence[Item],
    left: list[int],
    order: Callable[[int, int], tuple[int, int]],
    split: str,
) -> Block | None:
    """Return a block for a part: the first piece that fits in its corner, then what lies beside and above it."""
    fits = [
        (order(w, h), i, w, h)
        for i, it in enumerate(items)
        if left[i] > 0
        for w, h in it.ways()
        if w <= wide and h <= long
    ]
    if not fits:
        return None
    _, i, w, h = max(fits, key=lambda f: (f[0], -f[1]))
    left[i] -= 1
    block = Block(w, h, tuple(1 if k == i else 0 for k in range(len(items))), i)
    wide_first = split == "wide" or (split == "large" and wide * (long - h) >= (wide - w) * long)
    parts: tuple[tuple[int, int, Literal["beside", "above"]], ...] = (
        ((wide - w, h, "beside"), (wide, long - h, "above"))
        if wide_first
        else ((w, long - h, "above"), (wide - w, long, "beside"))
    )
    for across, along, how in parts:
        other = _fill(across, along, items, left, order, split)
        if other is not None:
            block = together(block, other, how)
    return block
