"""What the musts about plants share: by which year, what is named, and how a date with a range is told."""

from __future__ import annotations

from collections.abc import Mapping

from quincunx.grow.reached import Measure, When, when
from quincunx.intents._base import Intent, Words
from quincunx.scene import Timeline
from quincunx.shapes import State, Verdict
from quincunx.units import capital
from quincunx.units.fields import field


class ByYear(Intent):
    """A must about something that has to have grown by a year."""

    by: int | None = field("By the year (none: as soon as it stands)", None, unit="year", ge=1900, le=2199)

    def due_from(self, timeline: Timeline) -> int | None:
        """Return the year by which it must be, as typed; else when all that it names stands."""
        if self.from_year is None and self.by is not None:
            return self.by
        return super().due_from(timeline)

    def ready(self, timeline: Timeline) -> When | None:
        """Return when what it asks is reached as planted; None if that can't be said."""
        del timeline
        return None

    def asked_by(self) -> int | None:
        """Return the year by which it must have grown, as typed."""
        return self.by

    def reached_in(self, timeline: Timeline) -> int | None:
        """Return the year in which it has grown so far as a rule; None if that is not in sight."""
        found = self.ready(timeline)
        return None if found is None else found.usually

    def spare_years(self, timeline: Timeline) -> Mapping[str, int]:
        """Return how many years there are to spare for what it names."""
        found = None if self.by is None else self.ready(timeline)
        if self.by is None or found is None or found.usually is None:
            return {}
        return dict.fromkeys(self.things(), self.by - found.usually)

    def too_late(self, found: When, timeline: Timeline) -> str:
        """Return by how many years something is late, as what planting earlier would mend; nothing if it is in time."""
        if self.by is None or found.usually is None or found.usually <= self.by:
            return ""
        if self.by < timeline.years[0]:
            return f" {self.by} was over before the plan begins: ask for {found.usually} or later."
        late = found.usually - self.by
        return f" Planted {late} year{'s' * (late > 1)} earlier, or as larger plants, it would be in time."

    def in_time(self) -> str:
        """Return the end of the sentence: `` by 2031``, or nothing."""
        return "" if self.by is None else f" by {self.by}"


def reached_verdict(year: int, found: When, what: str, values: tuple[float, float, float], target: float) -> Verdict:
    """Return whether something is reached in ``year``, as a rule, and by when it may be and surely is.

    ``what`` begins the sentence: "The hedge has closed".  ``values`` are what is measured then: low, middle, high.
    """
    holds = found.usually is not None and found.usually <= year
    low, mid, high = values
    sure = found.surely_by is not None and found.surely_by <= year
    certain = "" if sure or not holds else " Not every year is a usual one."
    text = f"{what}: {found.words}.{certain}"
    state = State.HOLDS if holds else State.FAILS
    return Verdict(year, state, text, mid, target, "ratio", mid - target, (low, high))


def slowest(timeline: Timeline, features: tuple[str, ...], measure: Measure, target: float) -> tuple[str, When]:
    """Return the feature that reaches ``target`` last, and when."""
    found = [(when(timeline, f, measure, target), f) for f in features]
    found.sort(key=lambda pair: (_late(pair[0].usually), _late(pair[0].surely_by), pair[1]))
    last, feature = found[-1]
    return feature, last


def _late(year: int | None) -> int:
    return 10**6 if year is None else year


def not_planted(timeline: Timeline, year: int, features: tuple[str, ...], words: Words) -> Verdict | None:
    """Return the verdict where one of the features is no planting or doesn't stand then; None if all do."""
    for feature_id in features:
        feature = timeline.feature(feature_id)
        if feature is None or not feature.plants_named():
            return Verdict(year, State.UNKNOWN, f"{capital(words.the(feature_id))} is no plant. Name a planting.")
        if not timeline.stands_on(feature_id, timeline.leaf_date(year)):
            return Verdict(year, State.FAILS, f"{capital(words.the(feature_id))} does not stand then.")
    return None
