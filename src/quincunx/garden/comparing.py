"""What the same thing comes to made otherwise: by its shortlist, its material, made, bought or built by others."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from quincunx.build import Reckoned, Rules, reckon
from quincunx.build.lasting import Lasting, lasting
from quincunx.build.reckon import reckon_taken
from quincunx.build.screening import Screened
from quincunx.features import Feature
from quincunx.features._alternatives import alternatives
from quincunx.garden.costing import pace_of, rules_of, works_of
from quincunx.garden.document import Garden
from quincunx.garden.safety import looked_up
from quincunx.scene import Timeline
from quincunx.shapes import Work


@dataclass(frozen=True, slots=True)
class Weighed:
    """One way of having a thing: its works, what they come to, how long they last and what keeps them.

    ``upkeep_hours`` and ``upkeep_sum`` are for one year, spread over its life [h, minor units]; ``upkeep_unpriced``
    names what keeps it and has no price.  ``chosen`` says that it stands so in the garden.
    """

    id: str
    words: str
    feature: Feature
    works: tuple[Work, ...]
    reckoned: Reckoned
    lasting: Lasting
    upkeep_hours: float
    upkeep_sum: int
    upkeep_unpriced: tuple[str, ...]
    checked: tuple[Screened, ...]
    chosen: bool = False

    @property
    def a_year(self) -> int | None:
        """Return what it costs a year of its middle life, upkeep included [minor units]; None if that can't be told."""
        middle = self.lasting.middle
        if (
            middle is None
            or not self.lasting.kept_known
            or self.reckoned.unpriced
            or self.upkeep_unpriced
            or not self.reckoned.bill
        ):
            return None
        return round(self.reckoned.sum / max(middle, 1)) + self.upkeep_sum

    @property
    def told(self) -> tuple[int, int, int]:
        """Return how many things looked up are within, beyond, and can't be told."""
        count = [sum(s.answer == a for s in self.checked) for a in ("within", "beyond", "unknown")]
        return count[0], count[1], count[2]


def weighed(garden: Garden, through: Timeline, feature_id: str) -> tuple[Weighed, ...]:
    """Return the ways of having a feature: as it is first, then the others; KeyError if there is no such feature."""
    feature = next((f for f in garden.features if f.id == feature_id), None)
    if feature is None:
        raise KeyError(feature_id)
    rules = rules_of(garden, pace_of(garden, through))
    return tuple(_one(garden, through, rules, *way) for way in _ways(feature))


def reckoned_as(garden: Garden, through: Timeline, feature: Feature) -> Reckoned:
    """Return what a feature would come to, drawn as it is or not."""
    rules = rules_of(garden, pace_of(garden, through))
    mine = replace(rules, hired=frozenset({feature.id}) if feature.hired() else frozenset())
    return reckon(works_of(through, feature), mine)


def worth_weighing(feature: Feature) -> bool:
    """Return whether there is anything to weigh a feature up against."""
    place = feature.held_place()
    return bool(place.shortlist) if place is not None else len(list(alternatives(feature))) > 1


def _ways(feature: Feature) -> Iterator[tuple[str, str, Feature, bool]]:
    place = feature.held_place()
    if place is None:
        for id_, words, other in alternatives(feature):
            yield id_, words, other, other is feature
        return
    for id_, words, listed in place.shortlist:
        for way, said, other in alternatives(listed):
            first = other is listed
            how = way.startswith("how-")
            if first or how:
                with_how = "" if first and not listed.weighed else f", {said.split(', ')[0]}"
                yield f"{id_}/{way}", words + with_how, other, first and id_ == place.chosen


def _one(
    garden: Garden,
    through: Timeline,
    rules: Rules,
    id_: str,
    words: str,
    feature: Feature,
    chosen: bool,  # noqa: FBT001
) -> Weighed:
    mine = replace(rules, hired=frozenset({feature.id}) if feature.hired() else frozenset())
    works = works_of(through, feature)
    kept = lasting(works)
    found = [(c, reckon_taken(c.taken, rules)) for c in kept.chores]
    return Weighed(
        id_, words, feature, works, reckon(works, mine), kept,
        sum(r.hours / c.every for c, r in found), round(sum(r.sum / c.every for c, r in found)),
        tuple(dict.fromkeys(w for _, r in found for w in r.unpriced)), looked_up(garden, works, through), chosen,
    )  # fmt: skip
