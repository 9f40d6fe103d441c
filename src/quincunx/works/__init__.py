"""Jobs, means, prices, norms and the journal, as data; and the ledger that adds them up."""

from quincunx.works.jobs import ONE_BY_ONE, After, CostLine, Job, Reach, Weighed, Worth
from quincunx.works.ledger import (
    YearMoney,
    done_month,
    ledger,
    spent_elsewhere,
    spread_cost,
    spread_hours,
)
from quincunx.works.means import Means, MonthHours, OneOff, YearHours, YearSum
from quincunx.works.prices import Entry, EntryKind, Norm, Price

__all__ = [
    "ONE_BY_ONE",
    "After",
    "CostLine",
    "Entry",
    "EntryKind",
    "Job",
    "Means",
    "MonthHours",
    "Norm",
    "OneOff",
    "Price",
    "Reach",
    "Weighed",
    "Worth",
    "YearHours",
    "YearMoney",
    "YearSum",
    "done_month",
    "ledger",
    "spent_elsewhere",
    "spread_cost",
    "spread_hours",
]
