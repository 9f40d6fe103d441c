"""What a job comes to: parts, cuts, money, hours, weight to carry."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from quincunx.build.amounts import Line, TakeOff
from quincunx.build.floors import BULKING, barrow_loads
from quincunx.build.ground_rules import Ground
from quincunx.build.hours import Labour, Pace, labour, norms
from quincunx.build.kept import Left
from quincunx.build.prices import Bought, CutList, deliveries, saw, supply
from quincunx.build.sheet_lists import SheetList, saw_plates
from quincunx.build.take_off import take_off_all
from quincunx.shapes import KitWork, Work
from quincunx.works import Norm, Price

LOOSE = ("m3",)
HIRED = "hired-hour"
"""The item under which the price list says what an hour of hired hands costs."""


@dataclass(frozen=True, slots=True)
class Rules:
    """What the garden says for all its jobs: prices, norms, pace, system of units, ground, names of plants."""

    prices: tuple[Price, ...] = ()
    norms: Mapping[str, Norm] | None = None
    pace: Pace = field(default_factory=Pace)
    system: str = "metric"
    ground: Ground = field(default_factory=Ground)
    names: Mapping[str, str] | None = None
    hired: frozenset[str] = frozenset()
    """Owners of what somebody is paid to build: its hours are not the person's own."""
    left: tuple[Left, ...] = ()
    """Off-cuts of earlier jobs, which are sawn first."""


@dataclass(frozen=True, slots=True)
class Reckoned:
    """What some work comes to.

    ``sum`` adds up what has a price [minor units]; ``unpriced`` names what has none.  ``low`` and ``high`` are its
    range where the price list gives one.  ``loads`` are barrow loads of loose stuff in and out.
    """

    taken: TakeOff
    bill: tuple[Bought, ...]
    cuts: tuple[CutList, ...]
    sheets: tuple[SheetList, ...]
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
    hired_hours: float = 0.0

    @property
    def complete(self) -> bool:
        """Return whether everything has a price."""
        return not self.unpriced and bool(self.bill)


def reckon(works: Iterable[Work], rules: Rules | None = None) -> Reckoned:
    """Return what ``works`` come to under the garden's ``rules``."""
    rules = rules or Rules()
    works = tuple(works)
    taken = take_off_all((w for w in works if w.owner not in rules.hired), rules.ground)
    theirs = take_off_all((w for w in works if w.owner in rules.hired), rules.ground)
    return reckon_taken(taken, rules, works, theirs)


def reckon_taken(own: TakeOff, rules: Rules, works: Sequence[Work] = (), theirs: TakeOff | None = None) -> Reckoned:
    """Return what a take-off comes to; ``theirs`` is what hired hands do, by the norms and not at the person's pace."""
    theirs = theirs or TakeOff()
    known = rules.norms if rules.norms is not None else norms()
    paid = sum(x.hours for x in labour(theirs.tasks, known))
    taken = own + theirs
    if paid:
        taken += TakeOff((Line(HIRED, "hours of hired hands", "each", paid, math.ceil(paid - 1e-6), "contractor"),))
    bill, cuts, sheets = _bill(taken, works, rules)
    bill = (*bill, *deliveries(bill, rules.prices))
    done = labour(own.tasks, known, rules.pace)
    hours = sum(x.hours for x in done)
    scale = rules.pace
    loose = sum(x.gross for x in taken.lines if x.unit in LOOSE) + taken.dug_m3 * BULKING
    return Reckoned(
        taken, bill, cuts, sheets, done, sum(b.sum or 0 for b in bill),
        sum(b.low if b.low is not None else b.sum or 0 for b in bill),
        sum(b.high if b.high is not None else b.sum or 0 for b in bill),
        tuple(dict.fromkeys(b.words for b in bill if b.sum is None)),
        hours, (hours * scale.low / scale.factor, hours * scale.high / scale.factor),
        sum(b.kg for b in bill), barrow_loads(loose), taken.notes, any(b.demo for b in bill), paid,
    )  # fmt: skip


def _bill(
    taken: TakeOff, works: Sequence[Work], rules: Rules
) -> tuple[tuple[Bought, ...], tuple[CutList, ...], tuple[SheetList, ...]]:
    kits = {f"kit-{w.owner}": w.price for w in works if isinstance(w, KitWork) and w.price is not None}
    bill, cuts, sheets = [], [], []
    for line in taken.lines:
        named = replace(line, words=(rules.names or {}).get(line.words, line.words))
        bought = supply(named, rules.prices)
        bill += [replace(b, sum=kits[line.item]) if line.item in kits else b for b in bought]
    for _, group in groupby(taken.pieces, key=lambda p: p.item):
        sheet, boards = saw(tuple(group), rules.prices, rules.system, rules.left)
        cuts.append(sheet)
        bill += boards
    for _, plates in groupby(taken.plates, key=lambda p: p.item):
        found, bought = saw_plates(tuple(plates), rules.prices, rules.system, rules.left)
        sheets.append(found)
        bill += bought
    return tuple(bill), tuple(cuts), tuple(sheets)
