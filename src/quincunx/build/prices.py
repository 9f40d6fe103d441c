"""Quantities to money by the person's own price list: packs, stock lengths, units of either system, delivery.

Nothing is priced that the list doesn't price: what is missing is named, never guessed.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

from quincunx.build.amounts import Line, Piece, Unit
from quincunx.build.cutting import SAW_M, Board, Cutting, Stock, cut
from quincunx.build.kept import KEPT_M, Left, Reused, sawn_first
from quincunx.units import Style, section_words
from quincunx.works import Price

LITRE_M3 = 0.001
UNITS: Mapping[str, tuple[Unit, float]] = {
    "m": ("m", 1.0), "metre": ("m", 1.0), "meter": ("m", 1.0), "ft": ("m", 0.3048), "foot": ("m", 0.3048), "yd": ("m", 0.9144),
    "m2": ("m2", 1.0), "m²": ("m2", 1.0), "ft2": ("m2", 0.3048**2), "ft²": ("m2", 0.3048**2), "sq ft": ("m2", 0.3048**2),
    "yd2": ("m2", 0.9144**2), "sq yd": ("m2", 0.9144**2),
    "m3": ("m3", 1.0), "m³": ("m3", 1.0), "yd3": ("m3", 0.9144**3), "yd³": ("m3", 0.9144**3), "cu yd": ("m3", 0.9144**3),
    "ft3": ("m3", 0.3048**3), "ft³": ("m3", 0.3048**3), "cu ft": ("m3", 0.3048**3), "l": ("m3", LITRE_M3), "litre": ("m3", LITRE_M3),
    "kg": ("kg", 1.0), "t": ("kg", 1000.0), "tonne": ("kg", 1000.0), "lb": ("kg", 0.45359237), "ton": ("kg", 907.18474),
    "each": ("each", 1.0), "piece": ("each", 1.0), "100": ("each", 100.0), "1000": ("each", 1000.0),
}  # fmt: skip
"""Units a price may be given for, and how much of the bill's unit each is (exact definitions)."""
ASKED: Mapping[str, Mapping[Unit, tuple[str, ...]]] = {
    "metric": {"m": ("m",), "m2": ("m2",), "m3": ("m3", "l"), "kg": ("kg", "t"), "each": ("each", "100", "1000")},
    "feet": {"m": ("ft", "yd"), "m2": ("ft2", "yd2"), "m3": ("yd3", "ft3"), "kg": ("lb", "ton"), "each": ("each", "100", "1000")},
}  # fmt: skip
"""What a price is asked for, by the system of units and the bill's unit, the usual one first (common practice, no source)."""
DELIVERY = "delivery"
LEFT_OVER = "left over"
"""Where what earlier jobs left comes from."""
WHOLE = ("each",)
LENGTHS = ("each", "length", "board", "piece")
STOCK_M: Mapping[str, tuple[float, ...]] = {
    "metric": (2.4, 3.0, 3.6, 4.2, 4.8), "feet": (2.4384, 3.048, 3.6576, 4.2672, 4.8768),
}  # fmt: skip
"""Lengths timber is sold in where the price list doesn't say: 2.4 to 4.8 m, 8 to 16 ft (common practice, no source)."""


def units_asked(unit: Unit, style: Style) -> tuple[str, ...]:
    """Return the units a price may be asked for in the person's own, the usual one first; the bill's where none is."""
    return ASKED[style.system].get(unit, (unit,))


@dataclass(frozen=True, slots=True)
class Bought:
    """One line of the bill: how many of what unit are bought, at what sum [minor units] (None: no price is known).

    ``gross`` and ``unit`` are the bill's own quantity; ``count`` of ``sold_by`` is what is asked for in the shop.
    """

    item: str
    words: str
    net: float
    gross: float
    unit: Unit
    count: float
    sold_by: str
    sum: int | None
    low: int | None
    high: int | None
    shop: str
    kg: float
    how: str
    owners: tuple[str, ...]
    found: bool = False
    demo: bool = False
    trouble: str = ""
    price: str = ""
    """The line of the price list it comes by, if any."""


@dataclass(frozen=True, slots=True)
class CutList:
    """How the pieces of one item are sawn: the pieces (name, length [m], count), the boards, whether less waste is ruled out.

    ``before`` are the left-overs of earlier jobs that are sawn first; the boards hold the rest.
    """

    item: str
    words: str
    pieces: tuple[Piece, ...]
    boards: tuple[Board, ...]
    misfits: tuple[Piece, ...]
    proven: bool
    gap: float
    assumed_stock: bool
    before: tuple[Reused, ...] = ()

    def kept(self) -> list[tuple[float, int]]:
        """Return the left-overs worth keeping: length [m] and how many, the longest first."""
        found: dict[float, int] = {}
        for left_m, count in [(b.left_m, b.count) for b in self.boards] + [(r.left_m, r.count) for r in self.before]:
            length = math.floor(left_m * 1000 + 1e-6) / 1000
            if length >= KEPT_M:
                found[length] = found.get(length, 0) + count
        return sorted(found.items(), reverse=True)


def prices_of(item: str, prices: Sequence[Price]) -> list[Price]:
    """Return the prices of an item: those named after it, else those of its shorter names (``wire-mesh-180``, ``wire-mesh``)."""
    name = item
    while name:
        found = [p for p in prices if (p.item or p.id) == name]
        if found:
            return found
        name = name.rpartition("-")[0]
    return []


def supply(line: Line, prices: Sequence[Price]) -> tuple[Bought, ...]:
    """Return a line as it is come by.

    What is found or given and counted goes first; the rest is bought.
    """
    known = prices_of(line.item, prices)
    few = [p for p in known if p.found and p.at_hand is not None and _at(line, p) is not None]
    rest, out = line, list[Bought]()
    for price in few:
        there = (price.at_hand or 0) * (price.holds or UNITS.get(price.unit.strip().lower(), ("", 1.0))[1])
        part = min(there / rest.gross, 1.0) if rest.gross else 0.0
        taken = _at(_part(rest, part), price)
        if taken is not None and part > 0:
            out.append(taken)
            rest = _part(rest, 1.0 - part)
    others = [p for p in known if p not in few]
    return tuple(out) if out and rest.gross <= 1e-9 else (*out, buy(rest, others))


def _part(line: Line, share: float) -> Line:
    """Return a share of a line."""
    return replace(line, net=line.net * share, gross=line.gross * share, kg=line.kg * share)


def buy(line: Line, prices: Sequence[Price]) -> Bought:
    """Return a line with what is asked for in the shop and what it costs: the cheapest of the prices that fit."""
    known = prices_of(line.item, prices)
    found = [b for p in known if (b := _at(line, p)) is not None]
    if found:
        return min(found, key=lambda b: (b.sum or 0, b.sold_by))
    trouble = ""
    if known:
        trouble = f"priced for one {known[0].unit}: say how much one holds"
    whole = line.unit in WHOLE
    return Bought(
        line.item, line.words, line.net, line.gross, line.unit, math.ceil(line.gross - 1e-6) if whole else line.gross,
        line.unit, None, None, None, line.shop, line.kg, line.how, line.owners, trouble=trouble,
    )  # fmt: skip


def _at(line: Line, price: Price) -> Bought | None:
    """Return the line bought at one price; None where its unit can't be turned into the bill's."""
    if price.holds is not None:
        count = float(math.ceil(line.gross / price.holds - 1e-6))
    else:
        unit, factor = UNITS.get(price.unit.strip().lower(), ("", 1.0))
        much = line.gross if unit == line.unit else line.kg if unit == "kg" and line.kg else None
        if much is None:
            return None
        count = much / factor
        count = float(math.ceil(count - 1e-6)) if unit in WHOLE and factor == 1 else math.ceil(count * 100 - 1e-6) / 100
    costs = [None if x is None else round(x * count) for x in (0 if price.found else price.sum, price.low, price.high)]
    return Bought(
        line.item, price.words or line.words, line.net, line.gross, line.unit, count, price.unit, costs[0], costs[1], costs[2],
        price.supplier or line.shop, line.kg, line.how, line.owners, price.found, price.demo, price=price.id,
    )  # fmt: skip


def saw(
    pieces: Sequence[Piece], prices: Sequence[Price], system: str, left: Sequence[Left] = ()
) -> tuple[CutList, tuple[Bought, ...]]:
    """Return how the pieces of one item are sawn with least cost, and the boards to buy.

    Boards come in the lengths the price list says (``stock_m``), else in the usual ones of the system of units; so do
    those of a price by the metre or the foot.  What is
    ``left`` of the item from earlier jobs is sawn first.
    """
    first = pieces[0]
    mine = [one for one in left if one.item == first.item and not one.wide_m]
    before, wanted = sawn_first([(p.length_m, p.count) for p in pieces], mine, SAW_M)
    listed = [q for p in prices_of(first.item, prices) for q in _lengths(p, system) if _per_board(q) is not None]
    stock = [Stock(p.stock_m or 0.0, float(_per_board(p) or 0), p.at_hand) for p in listed]
    bare = all(s.at_hand is not None for s in stock)
    named = [p for p in prices_of(first.item, prices) if p.stock_m or p.also_m]
    assumed = bare or all(p.at_hand is not None for p in named)
    if bare:
        stock += [Stock(x) for x in STOCK_M.get(system, STOCK_M["metric"])]
    done = _cut(tuple((p.length_m, n) for p, n in zip(pieces, wanted, strict=True)), tuple(stock))
    sheet = CutList(
        first.item, first.words, tuple(pieces), done.boards, tuple(pieces[i] for i in done.misfits), done.proven, done.gap, assumed,
        before,
    )  # fmt: skip
    rest = [replace(p, count=n) for p, n in zip(pieces, wanted, strict=True)]
    return sheet, (*_reused(first, before, pieces, system), *_boards(first, done, stock, rest, listed, system))


def _reused(first: Piece, before: Sequence[Reused], pieces: Sequence[Piece], system: str) -> Iterable[Bought]:
    """Yield the left-overs of earlier jobs that are sawn, each length as one line that costs nothing."""
    area = first.section_m[0] * first.section_m[1]
    owners = tuple(dict.fromkeys(p.owner for p in pieces))
    counts: dict[Left, int] = {}
    nets: dict[Left, float] = {}
    for r in before:
        counts[r.left] = counts.get(r.left, 0) + r.count
        nets[r.left] = nets.get(r.left, 0.0) + r.count * sum(pieces[i].length_m * n for i, n in r.cuts)
    for one, count in counts.items():
        words = f"{first.words} {_size(first.section_m, system)}, left over from “{one.source}”"
        metres = one.length_m * count
        yield Bought(
            first.item, words, nets[one], metres, "m", count, f"{one.length_m:.4g} m", 0, None, None, LEFT_OVER,
            metres * area * first.kg_m3, "cut list", owners, found=True,
        )  # fmt: skip


@lru_cache(maxsize=256)
def _cut(pieces: tuple[tuple[float, int], ...], stock: tuple[Stock, ...]) -> Cutting:
    """Return a cutting, kept: the same pieces and boards come again after most edits."""
    return cut(pieces, stock)


def _lengths(price: Price, system: str) -> list[Price]:
    """Return a price once for each length it is sold in; one by the metre or foot that names none, for the usual ones."""
    lengths = ([price.stock_m] if price.stock_m else []) + list(price.also_m)
    unit = UNITS.get(price.unit.strip().lower())
    if not lengths and not price.found and unit is not None and unit[0] == "m":
        lengths = list(STOCK_M.get(system, STOCK_M["metric"]))
    return [price.model_copy(update={"stock_m": x, "also_m": ()}) for x in lengths]


def _per_board(price: Price) -> int | None:
    """Return what one board of a price's stock length costs [minor units]; None where its unit says neither."""
    if price.found:
        return 0
    word = price.unit.strip().lower()
    if word in LENGTHS:
        return price.sum
    unit, factor = UNITS.get(word, ("", 1.0))
    return round(price.sum * (price.stock_m or 0.0) / factor) if unit == "m" else None


def _boards(
    first: Piece, done: Cutting, stock: Sequence[Stock], pieces: Sequence[Piece], listed: Sequence[Price], system: str
) -> Iterable[Bought]:
    """Yield the boards to buy, each length as one line; those at hand stand apart."""
    owners = tuple(dict.fromkeys(p.owner for p in pieces))
    long = [pieces[i] for i in done.misfits]
    need = sum(p.length_m * p.count for p in pieces) - sum(p.length_m * p.count for p in long)
    counts: dict[int, int] = {}
    for b in done.boards:
        counts[b.stock] = counts.get(b.stock, 0) + b.count
    total = sum(stock[s].length_m * n for s, n in counts.items()) or 1.0
    area = first.section_m[0] * first.section_m[1]
    for s, count in sorted(counts.items(), key=lambda c: stock[c[0]].length_m):
        price, length = listed[s] if s < len(listed) else None, stock[s].length_m
        each = None if price is None else _per_board(price)
        scale = None if price is None or not price.sum else (each or 0) / price.sum
        bounds = [
            None if scale is None or x is None else round(x * scale * count)
            for x in ((price.low, price.high) if price else (None, None))
        ]
        yield Bought(
            first.item, (price.words if price else "") or f"{first.words} {_size(first.section_m, system)}",
            need * length * count / total, length * count,
            "m", count, f"{length:.4g} m", None if each is None else each * count, bounds[0], bounds[1],
            (price.supplier if price else "") or first.shop, length * count * area * first.kg_m3, "cut list", owners,
            bool(price and price.found), bool(price and price.demo), price=price.id if price else "",
        )  # fmt: skip
    for p in long:
        words = f"{first.words} {_size(first.section_m, system)}, longer than any in the price list"
        metres = p.length_m * p.count
        yield Bought(
            first.item, words, metres, metres, "m", p.count, f"{p.length_m:.4g} m", None, None, None, first.shop,
            metres * area * first.kg_m3, "longer than any board in the price list", (p.owner,),
        )  # fmt: skip


def _size(section_m: tuple[float, float], system: str) -> str:
    """Write a section in the person's units."""
    return section_words(section_m, Style("feet" if system == "feet" else "metric"))


def deliveries(bill: Sequence[Bought], prices: Sequence[Price]) -> tuple[Bought, ...]:
    """Return what delivery costs for each kind of supplier that the price list names one for, below its free sum."""
    out = []
    for price in prices:
        if (price.item or price.id) != DELIVERY:
            continue
        order = [b for b in bill if b.shop == price.supplier]
        sum_ = sum(b.sum or 0 for b in order)
        if not order or not sum_ or (price.free_from is not None and sum_ >= price.free_from):
            continue
        out.append(
            Bought(DELIVERY, price.words, 1, 1, "each", 1, price.unit, price.sum, price.low, price.high, price.supplier, 0.0,
                   "", (), demo=price.demo)
        )  # fmt: skip
    return tuple(out)
