"""A way is fit for wheels by a published rule."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from quincunx.intents._base import Words
from quincunx.intents._between import Between
from quincunx.intents._walking import missing, way_figure, why_not
from quincunx.scene import Timeline
from quincunx.shapes import DimensionFigure, Figure, PathFigure, State, TextFigure, Verdict
from quincunx.site.codes import ASK, held
from quincunx.site.country import country_of
from quincunx.site.country_names import country_name
from quincunx.units import capital
from quincunx.units.fields import Slug, field
from quincunx.walk.reach import walk_of
from quincunx.walk.wheel_rules import RULES, Lack, Rule, RuleName, lacks

GENTLE = 0.125
"""No published rule lets a way be steeper (1 in 8: ABA outdoor developed areas 1017.7.1)."""


class FitForWheels(Between):
    """The way between two places is fit for a wheelchair all along by a published rule."""

    words: ClassVar[str] = "fit for wheels"
    about: ClassVar[str] = (
        "The shortest way a wheelchair finds keeps a published rule all along: width, slope along and across, length of "
        "the steep pieces, places to pass. The rule for a walk is that of your country where our table has one, but for how "
        "narrow a short place may be; that and the other rules are yardsticks from the United States. What your place asks for "
        "by law, ask there."
    )
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "wheels-to-seat", "start": "road", "end": "seat", "rule": "trail"}

    kind: Literal["fit-for-wheels"] = "fit-for-wheels"
    walker: Slug = field("For whom", "wheelchair")
    rule: RuleName = field(
        "By the rule for", "trail", help="walk: a walk with ramps; route: a way between outdoor places; trail: a trail"
    )

    def sentence(self, words: Words) -> str:
        """Say which way is fit for wheels."""
        who = words.walker(self.walker)
        start, end, rule = words.the(self.start), words.the(self.end), RULES[self.rule].words
        return f"The way from {start} to {end} is fit for {who.name if who else self.walker}, by the rule for {rule}."

    def judged(self, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Find the way and hold it against the rule."""
        who = words.walker(self.walker)
        assert who is not None  # noqa: S101 - judge() asked
        scene = timeline.at(timeline.leaf_date(year))
        rule, by = rule_in(country_of(timeline.frame.place, words.style.currency), self.rule)
        walk = walk_of(scene, who.changed(steepest=max(who.steepest, GENTLE)), polite=True)
        gone = missing(walk, self.things(), words)
        if gone:
            return Verdict(year, State.UNKNOWN, gone)
        way = walk.way(self.start, self.end) if walk.reaches(self.start, self.end) else None
        if way is None:
            why, drawn = why_not(walk, self.start, self.end, words)
            lead = f"{who.subject} {who.says('does', 'do')} not get from {words.the(self.start)} to"
            return Verdict(year, State.FAILS, f"{lead} {words.the(self.end)}: {why}.", evidence=drawn)
        found = lacks(walk, way, rule)
        drawn_way = (way_figure(way),)
        if not found:
            text = f"{words.distance(way.length_m)}, wide and gentle enough all along for {rule.words} (by {by})."
            return Verdict(year, State.HOLDS, capital(text), evidence=drawn_way)
        said = "; ".join(lack_words(lack, words) for lack in found[:2])
        more = f"; and {len(found) - 2} more" if len(found) > 2 else ""
        drawn_all = (*drawn_way, *(f for lack in found for f in lack_figures(lack, words)))
        return Verdict(year, State.FAILS, f"{capital(said)}{more} (by {by}).", evidence=drawn_all)


def rule_in(country: str | None, name: RuleName) -> tuple[Rule, str]:
    """Return a rule as it holds in a country, and by what: a walk by the country's own code where the table has it.

    The table has no country's short narrow places: those of the United States are let pass everywhere.
    """
    lent = RULES[name]
    code = held(country, "ramp") if name == "walk" else None
    if country == "US":
        return lent, lent.source
    if code is None or code.row is None:
        own = "" if country is None else f"; no rule of {country_name(country)} for this is in our table"
        return lent, f"{lent.source}: figures of the United States{own}: {ASK}"
    asks = code.figures
    grades = [asks[f"g{k}"] for k in range(1, 9) if f"g{k}" in asks]
    slopes = tuple((grade, asks.get(f"l{k}", 0.0)) for k, grade in enumerate(grades, 1))
    rule = Rule(
        lent.words, asks["width_m"], lent.narrow_m, lent.narrow_long_m, slopes, asks["cross"], asks["cross"],
        asks["width_m"], math.inf, code.row.source,
    )  # fmt: skip
    return rule, code.cited()


def lack_words(lack: Lack, words: Words) -> str:
    """Return what a way lacks, as part of a sentence."""
    on = f" on {words.the(lack.owner)}" if lack.owner else ""
    match lack.asks:
        case "width":
            at = f" at {words.the(lack.owner)}" if lack.owner else ""
            return f"narrower than {words.length(lack.asked)} for {words.length(lack.length_m)}{at}"
        case "slope" if lack.found > lack.asked and lack.length_m:
            most = words.slope(lack.asked)
            return f"{words.slope(lack.found)}{on} for {words.distance(lack.length_m)}: too long steeper than {most}"
        case "rise":
            return (
                f"climbs {words.length(lack.found)} without a landing{on}, and {words.length(lack.asked)} is the most"
            )
        case "cross":
            return f"{words.slope(lack.found)} across{on}, and {words.slope(lack.asked)} is the most"
        case "step":
            return f"{lack.found:.0f} {'step' if lack.found == 1 else 'steps'}{on}"
        case "share":
            return f"{lack.found:.0%} of it is steep, and {lack.asked:.0%} is the most"
    return f"nowhere to pass for {words.distance(lack.found)}, and {words.distance(lack.asked)} is the most"


def lack_figures(lack: Lack, words: Words) -> tuple[Figure, ...]:
    """Return what a way lacks as it is drawn: the piece, and its words beside it."""
    told = TextFigure(lack.at, lack_words(lack, words), "evidence", lack.owner, "small")
    if lack.line is None:
        return (told,)
    if lack.asks == "slope":
        return (PathFigure(lack.line, "evidence", lack.owner, weight="thick"), told)
    (ax, ay), (bx, by) = lack.line
    length = ((ax - bx) ** 2 + (ay - by) ** 2) ** 0.5
    return (DimensionFigure((ax, ay), (bx, by), length, "evidence", lack.owner), told)
