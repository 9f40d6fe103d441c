"""The order of works: what is done when, for the most use of the money and the weekends there are.

A :class:`Problem` (projects, money and hours by month) goes to :func:`order`; :func:`why`, :func:`conflict` and
:func:`ways_out` explain, :mod:`~quincunx.years.whatif` compares, :mod:`~quincunx.years.risk` tells how likely the
plan is to hold, :func:`replan` starts again from today and :func:`now` says what to do this month.

Of a whole garden: :mod:`~quincunx.years.from_garden` makes the problem and the edit, :mod:`~quincunx.years.months` and
:mod:`~quincunx.years.ordering` read the plan that is written, :mod:`~quincunx.years.explained` gives its reasons,
:mod:`~quincunx.years.compared` lays a what-if beside it and :mod:`~quincunx.years.real` plans again by the journal.
"""

from quincunx.years.checker import Breach, Checked, check
from quincunx.years.conflict import Conflict, conflict
from quincunx.years.faults import Fault, Nonsense, faults
from quincunx.years.now import Task, now
from quincunx.years.order import Order, first_plan, order
from quincunx.years.problem import Budget, Need, Problem, Project, Shut, Starts
from quincunx.years.replan import Progress, Replanned, from_today, replan
from quincunx.years.waysout import WayOut, ways_out
from quincunx.years.why import Earlier, Held, earlier, why

__all__ = [
    "Breach",
    "Budget",
    "Checked",
    "Conflict",
    "Earlier",
    "Fault",
    "Held",
    "Need",
    "Nonsense",
    "Order",
    "Problem",
    "Progress",
    "Project",
    "Replanned",
    "Shut",
    "Starts",
    "Task",
    "WayOut",
    "check",
    "conflict",
    "earlier",
    "faults",
    "first_plan",
    "from_today",
    "now",
    "order",
    "replan",
    "ways_out",
    "why",
]
