"""No year costs more than a sum, and the money never runs short."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._base import Intent, Words
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units.fields import field, money
from quincunx.works import YearMoney


class SpendNoMore(Intent):
    """What a year's works cost stays below a sum, and what is in hand never falls below what is kept back."""

    words: ClassVar[str] = "spend no more"
    about: ClassVar[str] = (
        "No year's works cost more than the sum, and what is in hand never falls below what is kept back."
        " What others pay of a job isn't counted."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"money"})
    example: ClassVar = {"id": "no-more-than", "sum": 240000}

    kind: Literal["spend-no-more"] = "spend-no-more"
    sum: int | None = money("No more in any year than (none: only never short)", None)
    never_short: bool = field("Never short", True)

    def most_a_year(self) -> int | None:
        """Return the sum [minor units]."""
        return self.sum

    def sentence(self, words: Words) -> str:
        """Say what no year may cost."""
        if self.sum is None:
            return "The money never runs short."
        short = ", and the money never runs short" if self.never_short else ""
        return f"No year costs more than {words.money(self.sum)}{short}."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Compare the year's spending and what is left with what is allowed."""
        row = next((m for m in timeline.money() if m.year == year), None)
        if row is None:
            return Verdict(year, State.UNKNOWN, f"{year} lies outside the plan.")
        left = row.left - timeline.means.reserve
        if self.never_short and left < 0:
            text = f"{words.money(row.spent)} is spent in {year} and {words.money(-left)} is lacking."
            return Verdict(year, State.FAILS, text, float(row.spent), float(row.spent + left), "money", float(left))
        return self._below(row, left, words)

    def _below(self, row: YearMoney, left: int, words: Words) -> Verdict:
        target = row.spent + left if self.sum is None else self.sum
        over = row.spent - target
        state = State.FAILS if over > 0 else State.HOLDS
        rest = f"; {words.money(over)} too much." if over > 0 else f"; {words.money(max(left, 0))} is left."
        text = f"{words.money(row.spent)} is spent in {row.year}{rest}"
        return Verdict(row.year, state, text, float(row.spent), float(target), "money", float(-over))
