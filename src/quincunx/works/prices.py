"""Prices, norms and the journal."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Field, field_validator

from quincunx.units.fields import Doc, Length, Slug, field, length, money

Day = Annotated[str, Field(pattern=r"^(?:19|20|21)\d\d-(?:0[1-9]|1[0-2])-(?:0[1-9]|[12]\d|3[01])$")]
"""A calendar day written ``2027-03-14``."""

CAME_BACK = (
    "A sum that was spent can't be below nothing. Where money came back, such as a deposit, take it off the sum of the line in"
    " which it was paid; or write it with its month under “Sums that come once”, in “Money and hours”"
)
"""What is said to whoever writes a sum spent with a minus."""

PointName = Annotated[str, Field(min_length=1, max_length=80)]
"""A point of a job as it is set out (``den-1``), or a line of one of its lists (``buy/2``)."""

EntryKind = Literal[
    "done", "begun", "spent", "hours", "harvest", "browsed", "died-back", "lost", "replanted", "ticked", "measured",
    "note",
]  # fmt: skip


class Price(Doc):
    """One line of the person's price list."""

    id: Slug = field("Id")
    item: Slug | None = field(
        "Prices the item", None, help="as the bill of quantities calls it; empty: its id. Delivery: delivery"
    )
    words: str = field("What")
    unit: str = field("For one", help="m, m2, m3, ft, yd3, kg, t, each, bag, length ...")
    sum: int = money("Price")
    low: int | None = money("At least", None)
    high: int | None = money("At most", None)
    holds: float | None = field(
        "One holds", None, gt=0, help="how much of the item there is in one, counted as the bill does: a bag, a pack"
    )
    free_from: int | None = money("Delivered free from", None, help="for delivery: orders of this sum pay none")
    stock_m: float | None = field("Stock length", None, unit="m", gt=0)
    wide_m: float | None = field("Stock width, of a sheet", None, unit="m", gt=0)
    at_hand: int | None = field(
        "How many there are", None, ge=1, help="of what is found, given or left over; empty: as many as are wanted"
    )
    also_m: tuple[Annotated[float, Field(gt=0)], ...] = field("Also sold in lengths of", (), unit="m")
    seen: Day | None = field("Price of", None)
    supplier: str = field("Kind of supplier", "")
    demo: bool = field("Invented for the demonstration", False)
    found: bool = field("Found or given: costs nothing", False)


class Norm(Doc):
    """How long a unit of work takes."""

    id: Slug = field("Id")
    words: str = field("What work")
    unit: str = field("For one")
    hours: float = field("Hours", unit="h", ge=0)
    source: str = field("Known from", "own experience")


class Entry(Doc):
    """One line of the journal: what really happened."""

    id: Slug = field("Id")
    day: Day = field("Day")
    what: EntryKind = field("What happened")
    about: Slug | None = field("Job or feature", None)
    sum: int | None = money("Spent", None)
    hours: float | None = field("Hours", None, unit="h", ge=0)
    amount: float | None = field("How much", None, ge=0)
    unit: str | None = field("Counted in", None)
    text: str = field("In words", "")
    points: tuple[PointName, ...] = field(
        "Points", (), max_length=2, help="What was ticked on a job's lists, or the two ends of what was measured."
    )
    length: Length | None = length("Length as it was measured", None, ge=0.0)
    picture: Slug | None = field("Picture", None)
    by: str = field("Entered by", "", max_length=24, help="The short name of whoever entered it.")
    phone: str = field(
        "Phone", "", max_length=24, help="Tells the phones of two people apart; made by the phone itself."
    )
    phone_day: Day | None = field(
        "Day the phone said", None, help="Where its clock was wrong: the day it is under is by the board's clock."
    )

    instead: bool = field(
        "Sets it right", False, help="Of a length: whatever was read of it before, on whichever phone, counts no more."
    )

    @field_validator("sum", mode="before")
    @classmethod
    def _came_back(cls, value: Any) -> Any:
        """Refuse a sum below nothing with what to do instead: a deposit that came back is no cost of work."""
        if isinstance(value, (int, float)) and not isinstance(value, bool) and value < 0:
            raise ValueError(CAME_BACK)
        return value

    @property
    def lacks(self) -> str:
        """Return what a line must still say to be worth keeping, in one sentence; nothing if it says something."""
        if self.what == "spent" and not self.sum:
            return "It doesn't say how much was spent. Write the sum, or choose a note."
        if self.what == "hours" and not self.hours:
            return "It doesn't say how many hours. Write them, or choose a note."
        if self.what == "harvest" and not (self.amount or self.text.strip() or self.picture):
            return "It doesn't say what was picked. Write how much, or a few words."
        if self.what == "note" and not (self.text.strip() or self.picture):
            return "The note is empty. Write a few words, or add a picture."
        return ""
