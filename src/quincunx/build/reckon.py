"""What a job comes to: parts, cuts, money, hours, weight to carry."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from quincunx.build.amounts import TakeOff
from quincunx.build.floors import BULKING, barrow_loads
from quincunx.build.ground_rules import Ground
from quincunx.build.hours import Labour, Pace, labour, norms
from quincunx.build.prices import Bought, CutList, buy, deliveries, saw
from quincunx.build.take_off import take_off_all
from quincunx.shapes import KitWork, Work
from quincunx.works import Norm, Price

LOOSE = ("m3",)


@dataclass(frozen=True, slots=True)
class Rules:
    """What the garden says for all its jobs: prices, norms, pace, system of units, ground, names of plants."""

    prices: tuple[Price, ...] = ()
    norms: Mapping[str, Norm] | None = None
    pace: Pace = field(default_factory=Pace)
    system: str = "metric"
    ground: Ground = field(default_factory=Ground)
    names: Mapping[str, str] | None = None


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What some work comes to.

    ``sum`` adds up what has a price [minor units]; ``unpriced`` names what has none.  ``low`` and ``high`` are its
    range where the price list gives one.  ``loads`` are barrow loads of loose stuff in and out.
    """

    taken: TakeOff
    bill: tuple[Bought, ...]
    cuts: tuple[CutList, ...]
    labour: tuple[Labour, ...]
    sum: int
    low: int
    high: int
    unpriced: tuple[str, ...]
    hours: float
    hours_range: tuple[float, float]
    kg: float
    loads: int
    notes: tuple[str, ...]
    demo: bool

    @property
    def complete(self) -> bool:
        """Return whether everything has a price."""
        return not self.unpriced and bool(self.bill)


def reckon(works: Iterable[Work], rules: Rules | None = None) -> Reckoned:
    """Return what ``works`` come to under the garden's ``rules``."""
    rules = rules or Rules()
    works = tuple(works)
    taken = take_off_all(works, rules.ground)
    bill, cuts = _bill(taken, works, rules)
    bill = (*bill, *deliveries(bill, rules.prices))
    done = labour(taken.tasks, rules.norms if rules.norms is not None else norms(), rules.pace)
    hours = sum(x.hours for x in done)
    scale = rules.pace
    loose = sum(x.gross for x in taken.lines if x.unit in LOOSE) + taken.dug_m3 * BULKING
    return Reckoned(
        taken, bill, cuts, done, sum(b.sum or 0 for b in bill),
        sum(b.low if b.low is not None else b.sum or 0 for b in bill),
        sum(b.high if b.high is not None else b.sum or 0 for b in bill),
        tuple(dict.fromkeys(b.words for b in bill if b.sum is None)),
        hours, (hours * scale.low / scale.factor, hours * scale.high / scale.factor),
        sum(b.kg for b in bill), barrow_loads(loose), taken.notes, any(b.demo for b in bill),
    )  # fmt: skip


def _bill(taken: TakeOff, works: Sequence[Work], rules: Rules) -> tuple[tuple[Bought, ...], tuple[CutList, ...]]:
    kits = {f"kit-{w.owner}": w.price for w in works if isinstance(w, KitWork) and w.price is not None}
    bill, cuts = [], []
    for line in taken.lines:
        named = replace(line, words=(rules.names or {}).get(line.words, line.words))
        bought = buy(named, rules.prices)
        bill.append(replace(bought, sum=kits[line.item]) if line.item in kits else bought)
    for _, group in groupby(taken.pieces, key=lambda p: p.item):
        sheet, boards = saw(tuple(group), rules.prices, rules.system)
        cuts.append(sheet)
        bill += boards
    return tuple(bill), tuple(cuts)
