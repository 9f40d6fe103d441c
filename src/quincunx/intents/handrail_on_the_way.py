"""Whoever walks a way finds something to hold on where it has steps or climbs steeply."""

from __future__ import annotations

from typing import ClassVar, Literal

from quincunx.intents._along import Along
from quincunx.intents._base import Words
from quincunx.intents._walking import way_figure
from quincunx.scene import Timeline
from quincunx.shapes import Figure, PathFigure, State, TextFigure, Verdict
from quincunx.site.codes import Held, Kind, codes, held as held_code
from quincunx.site.country import country_of
from quincunx.units import capital
from quincunx.units.fields import field
from quincunx.walk.going import going
from quincunx.walk.holding import BESIDE_M, Climb, climbs, held
from quincunx.walk.reach import Walk
from quincunx.walk.untouched import CLEAR_M, crossed_kept
from quincunx.walk.ways import Way

USUAL: tuple[str, Kind] = ("GB", "handrail")
"""Whose heights are taken where the country's own row names none, and told as such: Approved Document K of England."""
MOST_TOLD = 3


class HandrailOnTheWay(Along):
    """There is a handrail at each flight of steps and steep piece of the way between two places."""

    words: ClassVar[str] = "something to hold on the way"
    about: ClassVar[str] = (
        "Along the shortest way each flight of so many steps, and each made way steeper than the slope given that climbs more"
        " than 6 in (15 cm; 2010 ADA Standards 405.8), has a rail a hand can close round (up to 7 cm thick, common practice)"
        " all along it (505.3) at the height your country's code gives a stair, else England's. Both sides: one hand may be the weaker, and"
        " coming down it is the other side (505.2). From two steps on: common practice for people who need it; codes begin"
        " later. Whether a rail bears a person's weight isn't told here: have posts and fixings judged. A rail is no guard"
        " beside a drop."
    )
    eases: ClassVar[bool] = True
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "hold-on-the-way", "start": "kitchen-door", "end": "seat", "sides": "both"}

    kind: Literal["handrail-on-the-way"] = "handrail-on-the-way"
    sides: Literal["one", "both"] = field("On how many sides", "both")
    steps: int = field("From how many steps on", 2, ge=1, le=20)
    run: float = field("And where it is steeper than 1 in", 20.0, ge=4, le=100)

    def sentence(self, words: Words) -> str:
        """Say where there is something to hold."""
        start, end = words.the(self.start), words.the(self.end)
        who = "" if self.walker == "person" else f" for {w.name if (w := words.walker(self.walker)) else self.walker}"
        sides = "both sides" if self.sides == "both" else "one side at least"
        return f"On the way from {start} to {end} there is a handrail{who} on {sides} of steps and steep pieces."

    def asks(self, words: Words) -> tuple[str, ...]:
        """Return what of the rails has to be tried."""
        start, end = words.the(self.start), words.the(self.end)
        bears = f"Take hold of each rail from {start} to {end}: does it bear your weight without moving"
        closes = "does the hand close round it all along, do its ends catch no sleeve"
        return (f"{bears}, {closes}? Whoever is in doubt has it judged by somebody who builds them.",)

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the way surely is the same and nothing beside its steps and slopes differs."""
        found, way = self.way_stays(verdict, was, now, words)
        if way is None or found is None or not crossed_kept(found, way):
            return False
        on = was.leaf_date(verdict.year)
        some = climbs(was.at(on), going(was.at(on), way), self.steps, 1 / self.run)
        return all(found.apart(c.shape, BESIDE_M + CLEAR_M, whole=True) for c in some)

    def along(self, walk: Walk, way: Way, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look beside its steps and steep pieces."""
        code = held_code(country_of(timeline.frame.place, words.style.currency), "handrail")
        return self._looked_at(walk, way, code, year, words)

    def _looked_at(self, walk: Walk, way: Way, code: Held, year: int, words: Words) -> Verdict:
        low, high = heights_m(code)
        scene = walk.scene
        found = [held(scene, c, low, high) for c in climbs(scene, going(scene, way), self.steps, 1 / self.run)]
        lacking = [c for c in found if len(c.sides) < (2 if self.sides == "both" else 1)]
        drawn = (way_figure(way), *(f for c in found for f in _figures(c, lacks=c in lacking)))
        tall = _tall(code, words)
        share = 1.0 - len(lacking) / max(len(found), 1)
        if not found:
            some = "no step" if self.steps == 1 else f"no flight of {self.steps} steps"
            text = f"{words.distance(way.length_m)} with {some} and no made way steeper than 1 in {self.run:g}."
            return Verdict(year, State.HOLDS, capital(text), evidence=drawn)
        if not lacking:
            text = f"A rail goes along {words.both(_owners(found))} ({tall})."
            return Verdict(year, State.HOLDS, text, share, 1.0, "share", 0.0, evidence=drawn)
        told = "; ".join(self._lack(c, words) for c in lacking[:MOST_TOLD])
        more = f"; and {len(lacking) - MOST_TOLD} more" if len(lacking) > MOST_TOLD else ""
        where = "a handrail" if self.sides == "one" else "a handrail on both sides"
        text = f"{told}{more}. Give {'it' if len(lacking) == 1 else 'each'} {where}, {tall}."
        return Verdict(year, State.FAILS, capital(text), share, 1.0, "share", share - 1.0, evidence=drawn)

    def _lack(self, climb: Climb, words: Words) -> str:
        name = words.the(climb.owner) if climb.owner else "a piece of the ground"
        what = f"{climb.steps} steps" if climb.steps > 1 else "1 step" if climb.steps else f"{words.slope(climb.grade)}"
        if climb.off_m is not None and not climb.sides:
            return f"the rail at {name} ({what}) is {words.length(climb.off_m)} high"
        if climb.sides:
            return f"there is a rail on one side only at {name} ({what})"
        return f"there is nothing to hold on at {name} ({what})"


def heights_m(code: Held) -> tuple[float, float]:
    """Return how low and how high a handrail may be [m]: by a country's row, what it leaves open by England's."""
    usual = codes()[USUAL].figures
    low = code.figures.get("low_m", usual["low_m"])
    return low, code.figures.get("high_m", max(usual["high_m"], low))


def _tall(code: Held, words: Words) -> str:
    """Say how high a handrail is to be, each height by whom it is asked for."""
    low, high = (words.length(m) for m in heights_m(code))
    other = codes()[USUAL].cited
    if "low_m" not in code.figures:
        return f"{low} to {high} high by {other}; of {code.cited()} our table has no height"
    if "high_m" not in code.figures:
        return f"{low} high or more by {code.cited()}, and no more than {high} by {other}"
    return f"{low} to {high} high by {code.cited()}"


def _owners(found: list[Climb]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(c.owner for c in found))


def _figures(climb: Climb, *, lacks: bool) -> tuple[Figure, ...]:
    """Draw a piece to hold on as a thick line, with words where a rail lacks."""
    piece = PathFigure((climb.start, climb.end), "evidence", climb.owner, weight="thick")
    at = ((climb.start[0] + climb.end[0]) / 2, (climb.start[1] + climb.end[1]) / 2)
    if not lacks:
        return (piece,)
    return (piece, TextFigure(at, "rail on one side" if climb.sides else "no rail", "evidence", climb.owner, "small"))
