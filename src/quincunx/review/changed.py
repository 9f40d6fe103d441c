"""What becomes of the musts when the plan is another: which answers differ, and in which years."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from quincunx.review.judging import Judged
from quincunx.shapes import State

SAID = {State.HOLDS: "holds", State.FAILS: "fails", State.UNKNOWN: "can't be told", State.NOT_DUE: "is not due yet"}


@dataclass(frozen=True, slots=True)
class MustChange:
    """One must whose answer differs in some years: (year, before, after), and the reason of the last."""

    id: str
    text: str
    years: tuple[tuple[int, State, State], ...]
    because: str

    @property
    def breaks(self) -> bool:
        """Return whether it fails now in a year in which it did not."""
        return any(after is State.FAILS for _, _, after in self.years)

    @property
    def sentence(self) -> str:
        """Say what changes: "2029 and 2030: holds, then fails"."""
        spans: dict[tuple[State, State], list[int]] = {}
        for year, before, after in self.years:
            spans.setdefault((before, after), []).append(year)
        said = [f"{_years(years)}: {SAID[a]} instead of “{SAID[b]}”" for (b, a), years in spans.items()]
        return f"{self.text} {'; '.join(said)}."


def musts_changed(before: Iterable[Judged], after: Iterable[Judged]) -> tuple[MustChange, ...]:
    """Return the musts judged otherwise, in their order; muted ones and those in one list only are left out."""
    old = {m.id: {v.year: v.state for v in m.verdicts} for m in before}
    found = []
    for must in after:
        was = old.get(must.id)
        if was is None or must.muted:
            continue
        differ = [v for v in must.verdicts if was.get(v.year, v.state) is not v.state]
        if differ:
            years = tuple((v.year, was[v.year], v.state) for v in differ)
            worst = [v for v in differ if v.state is State.FAILS] or differ
            found.append(MustChange(must.id, must.text, years, worst[-1].because))
    return tuple(found)


def _years(years: list[int]) -> str:
    if len(years) > 2 and years == list(range(years[0], years[-1] + 1)):
        return f"{years[0]} to {years[-1]}"
    return " and ".join(map(str, years)) if len(years) < 3 else ", ".join(map(str, years))
