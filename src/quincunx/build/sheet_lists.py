"""Plates to money: the sheets to buy for them by the person's price list, and how each is sawn."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Any

from quincunx.build._data import table
from quincunx.build.amounts import Line, Plate
from quincunx.build.kept import Left
from quincunx.build.prices import LEFT_OVER, LENGTHS, UNITS, Bought, prices_of, supply
from quincunx.build.sheet_cutting import SawnSheet, SheetCutting, SheetStock, Want, cut_first, cut_sheets
from quincunx.works import Price

KEPT_M = 0.2
"""An off-cut this wide and long is worth keeping [m] (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class SheetList:
    """How the plates of one item are cut: the plates, the sheets, whether less waste is ruled out.

    ``ordered`` says that they are ordered cut to size and nothing is sawn; ``assumed_stock`` that the sheets are the
    usual ones, the price list naming none.
    """

    item: str
    words: str
    plates: tuple[Plate, ...]
    sheets: tuple[SawnSheet, ...]
    misfits: tuple[Plate, ...]
    proven: bool
    gap: float
    assumed_stock: bool
    ordered: bool
    kg_m2: float
    before: tuple[tuple[Left, SawnSheet], ...] = ()
    """Left-overs of earlier jobs that are cut first, and how."""

    def kept(self) -> list[tuple[float, float, int]]:
        """Return the off-cuts worth keeping: width and length [m] and how many, the largest first."""
        found: dict[tuple[float, float], int] = {}
        for s in (*self.sheets, *(sawn for _, sawn in self.before)):
            for w, h in s.left:
                if min(w, h) >= KEPT_M:
                    found[w, h] = found.get((w, h), 0) + s.count
        return [(w, h, n) for (w, h), n in sorted(found.items(), key=lambda f: -f[0][0] * f[0][1])]


def saw_plates(
    plates: Sequence[Plate], prices: Sequence[Price], system: str, left: Sequence[Left] = ()
) -> tuple[SheetList, tuple[Bought, ...]]:
    """Return how the plates of one item are cut from sheets with least cost, and the sheets to buy.

    Sheets are those the price list says (``stock_m`` by ``wide_m``), else the usual ones of the system of units.  What
    is ``left`` of the item from earlier jobs is cut first.
    """
    first, rows = plates[0], prices_of(plates[0].item, prices)
    listed = [p for p in rows if p.stock_m and p.wide_m and _per_sheet(p) is not None]
    lay = _lay(first.item)
    usual = (lay.get("sheets") or {}).get(system) or (lay.get("sheets") or {}).get("metric") or []
    if not listed and not usual:
        return _ordered(plates, prices)
    by_area = min((r for p in rows if (r := _per_m2(p)) is not None), default=None)
    stock = [SheetStock(p.wide_m or 0.0, p.stock_m or 0.0, _per_sheet(p), p.at_hand) for p in listed]
    if not any(s.at_hand is None for s in stock):
        stock += [SheetStock(w, h, None if by_area is None else round(by_area * w * h)) for w, h in usual]
        if by_area is None:
            stock = [SheetStock(s.wide_m, s.long_m, 0.0 if s.at_hand else None, s.at_hand) for s in stock]
    saw_m = float(lay.get("saw_m", 0.003))
    wants = tuple(Want(p.wide_m, p.long_m, p.count, p.turns) for p in plates)
    mine = [one for one in left if one.item == first.item and one.wide_m]
    before: tuple[tuple[Left, SawnSheet], ...] = ()
    if mine:
        spare = [SheetStock(one.wide_m, one.length_m, 0.0, one.count) for one in mine]
        sawn, rest = cut_first(wants, spare, saw_m=saw_m)
        before = tuple((mine[s.stock], s) for s in sawn)
        wants = tuple(replace(w, count=n) for w, n in zip(wants, rest, strict=True))
        plates_left = [replace(p, count=n, net_m2=p.net_m2 * n / p.count) for p, n in zip(plates, rest, strict=True)]
    else:
        plates_left = list(plates)
    done = _cut(wants, tuple(stock), saw_m)
    sheet = SheetList(
        first.item, first.words, tuple(plates), done.sheets, tuple(plates[i] for i in done.misfits), done.proven, done.gap,
        not any(p.at_hand is None for p in listed), ordered=False, kg_m2=first.kg_m2,
        before=before,
    )  # fmt: skip
    return sheet, (*_reused(plates, before), *_sheets(plates_left, done, stock, listed, priced=by_area is not None))


def _reused(plates: Sequence[Plate], before: Sequence[tuple[Left, SawnSheet]]) -> Iterable[Bought]:
    """Yield the left-overs that are cut, each size as one line that costs nothing."""
    first, owners = plates[0], tuple(dict.fromkeys(p.owner for p in plates))
    for one in dict.fromkeys(left for left, _ in before):
        mine = [sawn for left, sawn in before if left == one]
        count = sum(s.count for s in mine)
        area = one.wide_m * one.length_m * count
        net = sum(x.wide_m * x.long_m * s.count for s in mine for x in s.plates)
        yield Bought(
            first.item, f"{first.words}, left over from “{one.source}”", net, area, "m2", count,
            f"{one.wide_m:.4g} × {one.length_m:.4g} m", 0, None, None, LEFT_OVER, area * first.kg_m2,
            "how each sheet is cut", owners, found=True,
        )  # fmt: skip


def _lay(item: str) -> dict[str, Any]:
    """Return how the plates of an item lie."""
    data = table("materials")
    for group in ("layers", "lines", "line_prefixes"):
        for row in data[group].values():
            if row.get("item") == item and row.get("plates"):
                found: dict[str, Any] = data["plates"][row["plates"]]
                return found
    return {}


@lru_cache(maxsize=256)
def _cut(wants: tuple[Want, ...], stock: tuple[SheetStock, ...], saw_m: float) -> SheetCutting:
    """Return a cutting, kept: the same plates and sheets come again after most edits."""
    return cut_sheets(wants, stock, saw_m=saw_m)


def _ordered(plates: Sequence[Plate], prices: Sequence[Price]) -> tuple[SheetList, tuple[Bought, ...]]:
    """Return plates that are ordered cut to size, as one line of the bill by area."""
    first = plates[0]
    gross = sum(p.wide_m * p.long_m * p.count for p in plates)
    net, owners = sum(p.net_m2 for p in plates), tuple(dict.fromkeys(p.owner for p in plates))
    count = sum(p.count for p in plates)
    line = Line(
        first.item, first.words, "m2", net, gross, first.shop, gross * first.kg_m2, f"{count} cut to size", owners
    )
    sheet = SheetList(
        first.item, first.words, tuple(plates), (), (), proven=True, gap=0.0, assumed_stock=False, ordered=True,
        kg_m2=first.kg_m2,
    )  # fmt: skip
    return sheet, supply(line, prices)


def _per_sheet(price: Price) -> int | None:
    """Return what one sheet costs [minor units]; None where its unit says neither."""
    if price.found:
        return 0
    if price.unit.strip().lower() in (*LENGTHS, "sheet"):
        return price.sum
    by_area = _per_m2(price)
    return None if by_area is None else round(by_area * (price.stock_m or 0.0) * (price.wide_m or 0.0))


def _per_m2(price: Price) -> float | None:
    """Return what a square metre costs [minor units]; None where the price is for something else."""
    unit, factor = UNITS.get(price.unit.strip().lower(), ("", 1.0))
    return price.sum / factor if unit == "m2" and not price.found else None


def _sheets(
    plates: Sequence[Plate], done: SheetCutting, stock: Sequence[SheetStock], listed: Sequence[Price], *, priced: bool
) -> Iterable[Bought]:
    """Yield the sheets to buy, each size as one line."""
    first, owners = plates[0], tuple(dict.fromkeys(p.owner for p in plates))
    counts: dict[int, int] = {}
    for sawn in done.sheets:
        counts[sawn.stock] = counts.get(sawn.stock, 0) + sawn.count
    total = sum(stock[s].wide_m * stock[s].long_m * n for s, n in counts.items()) or 1.0
    net = sum(p.net_m2 for p in plates)
    for s, count in sorted(counts.items()):
        price = listed[s] if s < len(listed) else None
        area = stock[s].wide_m * stock[s].long_m * count
        known = price is not None or priced
        scale = None if price is None or not price.sum else (_per_sheet(price) or 0) / price.sum
        low, high = (
            None if price is None or scale is None or x is None else round(x * scale * count)
            for x in ((price.low, price.high) if price else (None, None))
        )
        yield Bought(
            first.item, (price.words if price else "") or first.words, net * area / total, area, "m2", count,
            f"{stock[s].wide_m:.4g} × {stock[s].long_m:.4g} m", round((stock[s].price or 0) * count) if known else None, low, high,
            (price.supplier if price else "") or first.shop, area * first.kg_m2, "how each sheet is cut", owners,
            bool(price and price.found), bool(price and price.demo), price=price.id if price else "",
        )  # fmt: skip
