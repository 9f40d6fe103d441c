"""What the journal says became of a feature: lost, planted again, browsed, died back, measured."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date

from quincunx.plants.setbacks import Setback
from quincunx.works import Entry


@dataclass(frozen=True, slots=True)
class Fate:
    """When a feature is gone (months since year 0, [first, last[), when set anew, and all that happened by day."""

    gone: tuple[tuple[int, int | None], ...] = ()
    anew: tuple[date, ...] = ()
    happened: tuple[tuple[date, str, float | None], ...] = ()

    @property
    def days(self) -> tuple[date, ...]:
        """Return the days on which something happened to what stands."""
        return tuple(day for day, _, _ in self.happened) + self.anew

    def gone_in(self, month: int) -> bool:
        """Return whether it is lost and not yet set anew in a month."""
        return any(first <= month and (last is None or month < last) for first, last in self.gone)

    def planted(self, on: date) -> date | None:
        """Return the last day by ``on`` on which all of it was planted again, or None."""
        return max((day for day in self.anew if day <= on), default=None)

    def setbacks(self, begun: date, on: date, days_a_year: float) -> tuple[Setback, ...]:
        """Return what happened since ``begun`` and by ``on``, by its age then."""
        return tuple(
            Setback((day - begun).days / days_a_year, what, amount)  # type: ignore[arg-type]
            for day, what, amount in self.happened
            if begun <= day <= on
        )

    def since(self, made: int, begins: int) -> Fate:
        """Return what of it befell the thing itself, made in the month ``made`` and standing from ``begins``.

        What is told of an earlier month can't have befallen it, and is left out.  What befell it in the month in which
        it was made counts from the first day on which it stands.
        """
        first = date(min(max(begins // 12, 1), 9998), begins % 12 + 1, 1)
        return Fate(
            tuple(g for g in self.gone if g[0] >= made),
            tuple(day for day in self.anew if month_of(day) >= made),
            tuple((max(day, first), what, many) for day, what, many in self.happened if month_of(day) >= made),
        )


NOTHING = Fate()


def month_of(day: date) -> int:
    """Return the month of a day, counted from January of year 0."""
    return day.year * 12 + day.month - 1


def fates(journal: Iterable[Entry]) -> Mapping[str, Fate]:
    """Return what became of each feature the journal says something of.

    *Lost* without an amount is all of it, from the month after, until *replanted*; with an amount, so many of its
    plants.
    """
    entries: dict[str, list[Entry]] = {}
    for entry in sorted(journal, key=lambda e: (e.day, e.id)):
        if entry.about and entry.what in HAPPENS:
            entries.setdefault(entry.about, []).append(entry)
    return {about: _fate(those) for about, those in entries.items()}


HAPPENS = frozenset(("browsed", "died-back", "lost", "replanted", "measured"))


def _fate(entries: list[Entry]) -> Fate:
    gone: list[tuple[int, int | None]] = []
    anew, happened = [], []
    for entry in entries:
        day = date.fromisoformat(entry.day)
        month = month_of(day)
        if entry.what == "lost" and not entry.amount:
            gone.append((month, None))
        elif entry.what == "replanted" and not entry.amount:
            anew.append(day)
            if gone and gone[-1][1] is None:
                gone[-1] = (gone[-1][0], month)
        else:
            happened.append((day, entry.what, entry.amount))
    return Fate(tuple(gone), tuple(anew), tuple(happened))
