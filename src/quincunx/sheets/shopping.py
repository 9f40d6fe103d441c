"""What to buy, year by year and by the kind of place that sells it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from dataclasses import replace
from typing import Any

from quincunx.build.prices import Bought
from quincunx.garden.shared import told
from quincunx.garden.uncosted import uncosted_words
from quincunx.sheets._building import CARE, amount, called, care, ended, money, piece_kg
from quincunx.sheets._set import Set
from quincunx.sheets._tables import BOX
from quincunx.sheets.book import Block, Page
from quincunx.units import counted, format_mass, format_money, listed, write_plain
from quincunx.works import CostLine, Job

ID = "shopping"
WORDS = "What to buy, year by year"
MOST_NAMED = 3
"""So many jobs whose sums were taken at other prices are named."""
NEEDS = (
    "No job with a month makes anything that is drawn yet. Give the jobs their months, and this page lists what to buy."
)


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - a list has no scale
    """Yield the lists of the years, one after the other; nothing where nothing is to be bought."""
    years: dict[int, list[Bought]] = {}
    jobs: dict[int, list[Job]] = {}
    for c in of.costed:
        goes = of.courses[c.job.id]
        if goes.first is not None and goes.state in ("planned", "begun"):
            years.setdefault(goes.first // 12, []).extend(c.reckoned.bill)
            jobs.setdefault(goes.first // 12, []).append(c.job)
    if not any(years.values()):
        return
    blocks: list[Block] = []
    for year, bill in sorted(years.items()):
        if bill:
            blocks += _year(of, year, bill)
            blocks += _by_hand(of, jobs[year])
    demo = any(b.demo for bill in years.values() for b in bill)
    yield Page(
        "What to buy",
        ended(blocks, care(demo=demo)),
        of.paper.size_mm,
        "by year and kind of supplier",
        foot=CARE,
    )


def _by_hand(of: Set, jobs: Sequence[Job]) -> Iterator[Block]:
    """Yield what the plan counts for a year's jobs, and what was written down for them by hand: it may be more."""
    style = of.garden.style
    counts = format_money(sum(of.to_pay(j) for j in jobs), style, whole=True)
    lines = [
        (j.name, [_line(of, c) for c in j.costs if not c.worked_out])
        for j in sorted(jobs, key=lambda j: (str(j.start), j.id))
    ]
    typed = "; ".join(f"{name}: {', '.join(said)}" for name, said in lines if said)
    asked = {j.id for j in jobs}
    said = (
        f"The plan counts {counts} for the jobs that begin this year{_rising(of)}.",
        _other_prices(of, asked),
        uncosted_words(of.garden, asked),
    )
    yield {"t": "text", "s": " ".join(words for words in said if words)}
    if theirs := told(of.garden, jobs):
        yield {"t": "text", "s": theirs}
    if typed:
        yield {"t": "text", "s": f"Written down for them by hand, and not all of it in the list above: {typed}."}


def _rising(of: Set) -> str:
    """Return at which prices that is, where they are taken to rise."""
    growth = of.garden.means.price_growth
    if not growth:
        return ""
    rise = f"{'rise' if growth > 0 else 'fall'} by {write_plain(100 * abs(growth), of.garden.style)} in 100 a year"
    return f", at prices that {rise} after {of.garden.means.first_year}"


def _other_prices(of: Set, asked: Collection[str]) -> str:
    """Say of which jobs the plan holds a sum taken at other prices than the list's: raised there, or changed since."""
    listed_for = [c for c in of.costed if c.job.id in asked and c.reckoned.sum]
    other = [c for c in listed_for if c.taken_sum not in (None, c.reckoned.sum)]
    if not other:
        return ""
    style = of.garden.style
    names = [f"“{c.job.name}”" for c in other[:MOST_NAMED]]
    more = [counted(len(other) - MOST_NAMED, "other job")] if len(other) > MOST_NAMED else []
    holds = format_money(sum(c.taken_sum or 0 for c in other), style, whole=True)
    lists = format_money(sum(c.reckoned.sum for c in other), style, whole=True)
    return (
        f"In it the parts of {listed([*names, *more])} stand at {holds}, and what has a price in this list comes to {lists}:"
        " prices were raised or lowered in the plan, or have changed since. Where the list is right, touch “Take these” at the job."
    )


def _line(of: Set, line: CostLine) -> str:
    sum_ = format_money(line.sum, of.garden.style, whole=line.sum % 100 == 0)
    return f"{line.how_much(of.garden.style)} {sum_}"


def _carried_kg(bought: Bought) -> float:
    """Return what is carried home [kg]: of bags what is written on them, before any water."""
    return (piece_kg(bought) * bought.count or bought.kg) if bought.sold_by == "bag" else bought.kg


def together(bill: Sequence[Bought]) -> list[Bought]:
    """Return lines of the same thing in the same pack counted together."""
    found: dict[tuple[str, str, str], Bought] = {}
    for b in bill:
        key = (b.item, b.words, b.sold_by)
        had = found.get(key)
        if had is None:
            found[key] = b
            continue
        sum_ = None if had.sum is None or b.sum is None else had.sum + b.sum
        found[key] = replace(
            had, net=had.net + b.net, gross=had.gross + b.gross, count=had.count + b.count, sum=sum_, kg=had.kg + b.kg,
            owners=tuple(dict.fromkeys((*had.owners, *b.owners))),
        )  # fmt: skip
    return list(found.values())


def _year(of: Set, year: int, bill: Sequence[Bought]) -> Iterator[Block]:
    lines = together(bill)
    shops = sorted({b.shop for b in lines})
    total = sum(b.sum or 0 for b in lines)
    yield {"t": "heading", "s": f"{year}: {format_money(total, of.garden.style, whole=True)} for what has a price"}
    rows: list[list[Any]] = []
    for shop in shops:
        rows.append(["", {"s": shop or "anywhere", "bold": True}, "", "", "", ""])
        for b in sorted((b for b in lines if b.shop == shop), key=lambda b: b.words):
            where = ", ".join(of.words.name(o) for o in b.owners[:3]) + (" and more" if len(b.owners) > 3 else "")
            rows.append(
                [
                    BOX,
                    called(b, of.garden.style),
                    {"s": amount(of, b), "bold": True},
                    money(of, b.sum),
                    format_mass(kg, of.garden.style) if (kg := _carried_kg(b)) >= 1 else "",
                    where,
                ]
            )
    yield {
        "t": "table", "head": ["", "what", "how much", "sum", "weight", "for"], "rows": rows, "widths": [0, 2.6, 1.4, 0.9, 0.8, 3],
        "align": ["left", "left", "left", "right", "right", "left"], "size": 8.5, "inset": 1.1,
    }  # fmt: skip
