"""Jobs: works done together in some months."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import Field

from quincunx.units import Style, format_length, own_marks, write_plain
from quincunx.units.fields import Doc, Name, Point, Slug, YearMonth, field, hours, money

Worth = Literal["dearest", "much", "some", "little", "none"]
WORTH_SAID = {
    "dearest": "what the garden is for",
    "much": "I want it",
    "some": "I would use it",
    "little": "nice to have",
    "none": "only in the way of others",
}
"""How a person says how much a job matters."""
Reach = Literal["foot", "barrow", "machine"]

TargetRef = Annotated[str, Field(max_length=121, pattern=r"^[a-z0-9]+(?:-[a-z0-9]+)*(?:/[a-z0-9]+(?:-[a-z0-9]+)*)?$")]
"""A feature's id, or ``feature/finish`` for one of its successive finishes."""


ONE_BY_ONE: Mapping[str, int] = {"each": 1, "piece": 1, "100": 100, "1000": 1000}
"""Units that count single pieces, and how many: sold by the hundred or not, pieces are asked for."""
RAISED: Mapping[str, str] = {"yd3": "yd³", "ft3": "ft³", "m3": "m³", "yd2": "yd²", "ft2": "ft²", "m2": "m²"}
_STOCK = re.compile(r"(\d+(?:\.\d+)?) m")
"""A length boards are sold in, as the bill names it: metres inside, the person's units on paper."""


class CostLine(Doc):
    """One line of what a job costs."""

    words: str = field("What for")
    sum: int = money("Sum")
    quantity: float | None = field("How much of it", None, ge=0)
    unit: str | None = field("Counted in", None)
    hired: bool = field("Paid to someone else", False)
    months_later: int = field(
        "Due so many months after the job begins", 0, ge=0, le=60, help="0: when it begins; a rest is due later"
    )
    low: int | None = money("At least", None)
    high: int | None = money("At most", None)
    worked_out: bool = field("Worked out from parts and prices", False, help="taking the sums again replaces it")

    def how_much(self, style: Style) -> str:
        """Return how much of it there is and what for, as the person writes numbers: ``12 m Oak boards``."""
        if self.quantity is None:
            return self.words
        unit = (self.unit or "").strip()
        if unit in ONE_BY_ONE:
            return f"{write_plain(math.ceil(self.quantity * ONE_BY_ONE[unit] - 1e-6), style)} {self.words}"
        if length := _STOCK.fullmatch(unit):
            return f"{write_plain(self.quantity, style)} × {format_length(float(length[1]), style)} {self.words}"
        return " ".join(
            w for w in (write_plain(self.quantity, style), own_marks(RAISED.get(unit, unit), style), self.words) if w
        )


class After(Doc):
    """Another job that must be finished first, and how long to wait after it."""

    job: Slug = field("Comes after")
    wait_months: int = field("Months to wait (settling, curing, wearing)", 0, ge=0, le=480)


class Weighed(Doc):
    """Another job that matters less than this one, and by how much."""

    job: Slug = field("Than")
    by: Literal["same", "rather", "much"] = field("How much more it matters", "rather")


class Job(Doc):
    """Works done together: what they make, what they take away, cost, hours and the months they fit in."""

    id: Slug = field("Id")
    name: Name = field("Name", max_length=80)
    does: tuple[TargetRef, ...] = field("Makes", ())
    takes_away: tuple[Slug, ...] = field("Takes away", ())
    tasks: tuple[str, ...] = field("Steps", ())
    costs: tuple[CostLine, ...] = field("Costs", ())
    others_pay: float = field(
        "Others pay, in a hundred of its cost", 0.0, unit="%", ge=0, le=100,
        help="neighbours of a hedge that both want, say: the plan counts the rest, and the journal what you pay yourselves",
    )  # fmt: skip
    others: Name = field("Who pays that part", "", max_length=80)
    hours: float = hours("Own hours", 0.0)
    hours_worked_out: bool = field("Hours worked out from parts", False)
    months: int = field("Months it takes", 1, ge=1, le=24)
    window: tuple[Annotated[int, Field(ge=1, le=12)], ...] = field(
        "Months of the year it fits in (none: as its works and the climate allow)", ()
    )
    large: bool = field("A large work", False)
    start: YearMonth | None = field("Planned to start", None)
    booked: bool = field("Booked: the month is fixed", False)
    after: tuple[After, ...] = field("Must come before it", ())
    enjoyed_with: tuple[Slug, ...] = field("Of use only once these are done", ())
    worth: Worth = field("How much it matters", "some", said=WORTH_SAID)
    weighed: tuple[Weighed, ...] = field(
        "Matters more than", (), help="jobs compared with others count by that, not by their word"
    )
    must: bool = field("Has to be done within the plan", False)
    reach: Reach = field("What has to get there", "foot")
    place: Point | None = field("Where the work is (none: at what it makes)", None)
    comes_from: Slug | None = field("Things come from (none: where the must says, else outside)", None)
    drop: Point | None = field("Where loads are put down (none: at the work)", None)
    heap_m2: float = field("Ground its materials and its soil lie on", 0.0, unit="m2", ge=0, le=200)
    working_room: float = field("Room to work round it [m]", 0.6, ge=0, le=10)
    note: str = field("Note", "")

    @property
    def cost(self) -> int:
        """Return the typed costs added up, less what others pay [minor units]."""
        return self.whole_cost - self._of_others(self.whole_cost)

    @property
    def whole_cost(self) -> int:
        """Return the typed costs added up, whoever pays them [minor units]."""
        return sum(line.sum for line in self.costs)

    @property
    def instalments(self) -> tuple[tuple[int, int], ...]:
        """Return (months after it begins, sum [minor units]) of what is due, the first first, less what others pay."""
        return tuple((month, whole - theirs) for month, whole, theirs in self.parts_due if whole > theirs)

    @property
    def parts_due(self) -> tuple[tuple[int, int, int], ...]:
        """Return (months after it begins, all that is due, what others pay of it [minor units]), the first first.

        What others pay is rounded so that all of it together is their part of the whole.
        """
        due: dict[int, int] = {}
        for line in self.costs:
            due[line.months_later] = due.get(line.months_later, 0) + line.sum
        out, so_far = [], 0
        for month, sum_ in sorted(due.items()):
            if sum_:
                theirs = self._of_others(so_far + sum_) - self._of_others(so_far)
                out.append((month, sum_, theirs))
                so_far += sum_
        return tuple(out)

    def _of_others(self, sum_: int) -> int:
        return round(sum_ * self.others_pay / 100)
