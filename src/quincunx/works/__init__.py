"""Jobs, means, prices, norms and the journal, as data; and the ledger that adds them up."""

from quincunx.works.course import HOW_KNOWN, Course, courses, is_work, others_due
from quincunx.works.jobs import ONE_BY_ONE, After, CostLine, Job, Reach, Weighed, Worth
from quincunx.works.ledger import YearMoney, ledger, spent_elsewhere
from quincunx.works.means import Means, MonthHours, OneOff, YearHours, YearSum
from quincunx.works.prices import Entry, EntryKind, Norm, Price

__all__ = [
    "HOW_KNOWN",
    "ONE_BY_ONE",
    "After",
    "CostLine",
    "Course",
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
    "courses",
    "is_work",
    "ledger",
    "others_due",
    "spent_elsewhere",
]
