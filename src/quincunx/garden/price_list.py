"""The person's price list as CSV: read with the currency and the date it was seen, or written out to be filled in."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Mapping
from typing import Any

from quincunx.garden.document import Garden
from quincunx.garden.edits import Edit, Op, free_id
from quincunx.units import Style, counted, format_length, format_money, parse_length, parse_money
from quincunx.units.errors import PlainError
from quincunx.works import Price

COLUMNS = (
    "item", "words", "unit", "price", "at least", "at most", "length", "holds", "supplier", "seen", "found", "currency",
    "free from", "width", "at hand", "also in",
)  # fmt: skip
"""Heads of the columns; only item, unit and price are needed."""
YES = frozenset({"yes", "y", "x", "1", "true", "found"})
MOST_ROWS = 5000


class _Text:
    """Something a CSV writer can write to."""

    def __init__(self) -> None:
        self.text = ""

    def write(self, more: str) -> None:
        self.text += more


class PriceListError(PlainError, ValueError):
    """A price list can't be read; the message says which line, what was found and what is expected."""


def read_price_list(text: str, style: Style) -> tuple[Price, ...]:
    """Return the prices in a CSV text with a head line (:data:`COLUMNS`); commas, semicolons or tabs between.

    A line without a price is skipped.  :class:`PriceListError` for a line that can't be read or another currency.
    """
    rows = _rows(text)
    out: list[Price] = []
    taken: set[str] = set()
    for n, row in rows:
        price = _price(row, n, style, taken)
        if price is not None:
            taken.add(price.id)
            out.append(price)
    if not out:
        raise PriceListError(
            f"The list has no line with a price. Expected a head line with at least item, unit and price ({', '.join(COLUMNS)})."
        )
    return tuple(out)


def _rows(text: str) -> list[tuple[int, dict[str, str]]]:
    text = text.lstrip("\ufeff")
    head = text.partition("\n")[0]
    mark = max(";\t,", key=head.count)
    found = list(csv.reader(text.splitlines(), delimiter=mark))
    if not found or len(found) > MOST_ROWS:
        raise PriceListError(f"The list has {len(found)} lines; expected a head line and up to {MOST_ROWS} prices.")
    names = [h.strip().lower() for h in found[0]]
    missing = [c for c in ("item", "unit", "price") if c not in names]
    if missing:
        raise PriceListError(
            f"The list's head line has no column {' and no column '.join(missing)}. Expected: {', '.join(COLUMNS)}."
        )
    return [
        (n, {k: v.strip() for k, v in zip(names, row, strict=False)})
        for n, row in enumerate(found[1:], start=2)
        if any(cell.strip() for cell in row)
    ]


def _price(row: Mapping[str, str], n: int, style: Style, taken: set[str]) -> Price | None:
    found = row.get("found", "").lower() in YES
    if not row.get("price") and not found:
        return None
    currency = row.get("currency", "").upper()
    if currency and currency != style.currency:
        raise PriceListError(
            f"Line {n}: the price is in {currency}, but the garden counts in {style.currency}. Give it in {style.currency}."
        )
    try:
        item = _slug(row["item"])
        values: dict[str, Any] = {
            "id": free_id(item, taken), "item": item, "words": row.get("words") or row["item"], "unit": row["unit"] or "each",
            "sum": parse_money(row["price"], style) if row.get("price") else 0,
            "low": _sum(row.get("at least"), style), "high": _sum(row.get("at most"), style),
            "stock_m": parse_length(row["length"], style) if row.get("length") else None,
            "holds": float(row["holds"].replace(",", ".")) if row.get("holds") else None,
            "supplier": row.get("supplier", ""), "seen": row.get("seen") or None, "found": found,
            "free_from": _sum(row.get("free from"), style),
            "wide_m": parse_length(row["width"], style) if row.get("width") else None,
            "at_hand": _whole(row.get("at hand")),
            "also_m": tuple(parse_length(x, style) for x in (row.get("also in") or "").split("|") if x.strip()),
        }  # fmt: skip
        return Price.model_validate(values)
    except (PlainError, ValueError) as error:
        raise PriceListError(f"Line {n} ({row.get('item', '')[:40]}): {_first(error)}") from None


def _first(error: Exception) -> str:
    lines = [x for x in str(error).splitlines() if x.strip()]
    return " ".join(lines[1:3]).strip() if "validation error" in lines[0] else lines[0]


def _sum(text: str | None, style: Style) -> int | None:
    return parse_money(text, style) if text else None


def _whole(text: str | None) -> int | None:
    if not text:
        return None
    if not text.isdecimal():
        raise PriceListError(f"at hand is {text[:20]!r}; expected a whole number such as 6")
    return int(text)


def _slug(text: str) -> str:
    word = re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:50]
    if not word:
        raise PriceListError("the item is empty; expected a word such as crushed-stone")
    return word


def prices_edit(garden: Garden, prices: Iterable[Price]) -> Edit:
    """Return the edit that puts a price list in place of what it prices anew; other prices stay."""
    invented = {p.model_copy(update={"demo": False, "item": p.item or p.id}): p for p in garden.prices if p.demo}
    new = tuple(
        invented.get(p, p) for p in prices
    )  # what was invented for a demonstration stays so until it is changed
    items = {p.item or p.id for p in new}
    gone = [p for p in garden.prices if (p.item or p.id) in items and p.id not in {q.id for q in new}]
    ops = [Op(do="remove", part="prices", id=p.id) for p in gone]
    ops += [Op(do="put", part="prices", id=p.id, value=p.model_dump(mode="json", exclude_defaults=True)) for p in new]
    return Edit(label=f"Read {counted(len(new), 'price')}", ops=tuple(ops))


def write_price_list(needed: Iterable[tuple[str, str, str, str]], garden: Garden) -> str:
    """Return the CSV of every price there is and, to be filled in, of every (item, words, unit, supplier) needed."""
    style = garden.style
    out = _Text()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for p in garden.prices:
        writer.writerow([
            p.item or p.id, p.words, p.unit, _plain(p.sum, style), _plain(p.low, style), _plain(p.high, style),
            "" if p.stock_m is None else format_length(p.stock_m, style), "" if p.holds is None else f"{p.holds:g}",
            p.supplier, p.seen or "", "yes" if p.found else "", style.currency, _plain(p.free_from, style),
            "" if p.wide_m is None else format_length(p.wide_m, style), "" if p.at_hand is None else p.at_hand,
            " | ".join(format_length(x, style) for x in p.also_m),
        ])  # fmt: skip
    known = {p.item or p.id for p in garden.prices}
    for item, words, unit, shop in needed:
        if item not in known:
            writer.writerow([item, words, unit, "", "", "", "", "", shop, "", "", style.currency, "", "", "", ""])
    return out.text


def _plain(sum_: int | None, style: Style) -> str:
    return "" if sum_ is None else format_money(sum_, style, symbol=False)
