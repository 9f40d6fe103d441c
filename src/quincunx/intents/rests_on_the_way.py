"""Whoever walks a way finds somewhere to sit down every so often."""

from __future__ import annotations

import math
from typing import ClassVar, Literal

from shapely import LineString

from quincunx.intents._along import Along
from quincunx.intents._base import Words
from quincunx.intents._walking import way_figure
from quincunx.scene import Timeline
from quincunx.shapes import Figure, PathFigure, State, TextFigure, Verdict
from quincunx.units import capital, listed
from quincunx.units.fields import Length, field, length
from quincunx.units.sides import apart
from quincunx.walk.reach import Walk
from quincunx.walk.resting import SIT_M, Rest, Stretch, longest_without, rests
from quincunx.walk.untouched import CLEAR_M, line_of
from quincunx.walk.ways import Way

EVERY_M = 30.0
"""On ways over 100 ft (30 m) people who walk with difficulty are apt to rest often: rules of the United States as told in
Inclusive Mobility, Department for Transport, London 2002, 2.4 (read).  Seats at most 50 m apart where many walk: 3.4."""
BESIDE_M = 2.0
"""So near a way a seat lies beside it [m] (common practice, no source)."""
MOST_SEATS = 8
"""No more places for a seat are drawn at once; how many are wanted is told all the same."""


class RestsOnTheWay(Along):
    """There is somewhere to sit down at least every so many metres along the way between two places."""

    words: ClassVar[str] = "somewhere to sit on the way"
    about: ClassVar[str] = (
        "Along the shortest way a bench, a low wall or a block lies beside it at least every so often, with nothing between:"
        " whole, flat, 25 cm deep or more (common practice, no source) and 17 to 19 in (43 to 48 cm) high (2010 ADA Standards"
        " 903.5). Both ends count as rests, but there and back the last piece is walked twice unless one can sit at its end."
        " 30 m: people who walk with difficulty are apt to rest on ways longer than 100 ft (rules of the United States, told in"
        " Inclusive Mobility, Department for Transport 2002, 2.4); where many walk, seats stand at most 50 m apart (there, 3.4)."
        " Arms and a back help to get up: look whether your seat has them. Slopes and steps tire sooner."
    )
    eases: ClassVar[bool] = True
    reads: ClassVar[frozenset[str]] = frozenset({"walk"})
    example: ClassVar = {"id": "sit-on-the-way", "start": "kitchen-door", "end": "compost", "every": 30}

    kind: Literal["rests-on-the-way"] = "rests-on-the-way"
    every: Length = length("No farther without a seat than", EVERY_M, ge=2.0, le=500.0)
    beside: Length = length("A seat lies beside the way within", BESIDE_M, ge=0.2, le=20.0)
    back: bool = field("There and back", True)

    def sentence(self, words: Words) -> str:
        """Say how often one can sit down."""
        start, end, every = words.the(self.start), words.the(self.end), words.distance(float(self.every))
        who = "" if self.walker == "person" else f" for {w.name if (w := words.walker(self.walker)) else self.walker}"
        way = f"from {start} to {end}{' and back' if self.back else ''}"
        return f"On the way {way} there is somewhere to sit down{who} at least every {every}."

    def asks(self, words: Words) -> tuple[str, ...]:
        """Return what of the seats has to be tried."""
        start, end = words.the(self.start), words.the(self.end)
        return (
            f"Sit down on each seat from {start} to {end}: are there arms to push up from, and a back? Does it rock?",
        )

    def stands(self, verdict: Verdict, was: Timeline, now: Timeline, words: Words) -> bool:
        """Return whether the way surely is the same and nothing beside it differs."""
        found, way = self.way_stays(verdict, was, now, words)
        return (
            way is not None
            and found is not None
            and found.apart(line_of(way), float(self.beside) + CLEAR_M, whole=True)
        )

    def along(self, walk: Walk, way: Way, timeline: Timeline, year: int, words: Words) -> Verdict:
        """Look for the longest piece without a seat."""
        return self._measured(way, rests(walk, way, float(self.beside)), year, words)

    def _measured(self, way: Way, found: tuple[Rest, ...], year: int, words: Words) -> Verdict:
        longest, target = longest_without(way, found, back=self.back), float(self.every)
        holds = longest.length_m <= target + 1e-9
        drawn = (way_figure(way), *_seat_figures(found, words))
        fit = tuple(dict.fromkeys(r.owner for r in found if r.fit == "well"))
        margin = target - longest.length_m
        if holds:
            sat = f"; one sits on {words.both(fit)}" if fit else ", short enough"
            text = capital(f"the longest piece without a seat is {words.distance(longest.length_m)}{sat}.")
            return Verdict(
                year, State.HOLDS, text, longest.length_m, target, "m", margin, evidence=(*drawn, *_piece(way, longest))
            )
        told = apart(longest.length_m, target, words.distance, words.length)
        offered = _offered(way, longest, target)
        text = f"{told} {self._from(longest, words)} without anything to sit on{_unfit(found, words)}: "
        text += _remedy(longest, offered, words)
        drawn = (
            *drawn,
            *_piece(way, longest),
            *(TextFigure(at, "a seat here", "evidence", size="small") for at in offered[:MOST_SEATS]),
        )
        return Verdict(year, State.FAILS, capital(text), longest.length_m, target, "m", margin, evidence=drawn)

    def _from(self, piece: Stretch, words: Words) -> str:
        after, before = words.the(piece.after or self.start), words.the(piece.before or self.end)
        if _twice(piece):
            return f"from {after} to {before} and back"
        return f"from {after} to {before}"


def _twice(piece: Stretch) -> bool:
    """Return whether a piece is walked there and back on end."""
    return piece.length_m > (piece.end_m - piece.start_m) * 1.5


def _offered(way: Way, piece: Stretch, most_m: float) -> tuple[tuple[float, float], ...]:
    """Return where seats would part a piece into shares no longer than ``most_m`` [m], evenly spaced."""
    long = piece.end_m - piece.start_m
    shares = max(math.ceil(long / most_m - 1e-9), 1)
    line = LineString(way.points)
    steps = range(1, shares + 1 if _twice(piece) else shares)  # at the end too, where one turns round
    found = (line.interpolate(piece.start_m + long * k / shares) for k in steps)
    return tuple((at.x, at.y) for at in found)


def _remedy(piece: Stretch, offered: tuple[tuple[float, float], ...], words: Words) -> str:
    ends = " at the end" if _twice(piece) else ""
    if len(offered) == 1:
        half = (piece.end_m - piece.start_m) / 2
        where = ends or f" half way, {words.distance(half)} on,"
        return f"a seat{where} would do."
    if ends:
        return f"{len(offered)} seats, the last at the end, would do, evenly spaced."
    return f"{len(offered)} seats evenly spaced would do."


def _unfit(found: tuple[Rest, ...], words: Words) -> str:
    """Return what lies beside the way but is too low or too high, as an aside."""
    told = [f"{words.the(r.owner)} is {words.length(r.high_m)}" for r in found if r.fit != "well"]
    if not told:
        return ""
    low, high = (words.length(x) for x in SIT_M)
    return f" ({listed(told[:2])} high, and {low} to {high} is right)"


def _piece(way: Way, piece: Stretch) -> tuple[Figure, ...]:
    """Draw the longest piece dashed beside the way's own line."""
    from shapely.ops import substring

    if len(way.points) < 2 or piece.end_m - piece.start_m < 1e-6:
        return ()
    part = substring(LineString(way.points), piece.start_m, piece.end_m)
    return (PathFigure(tuple((x, y) for x, y in part.coords), "evidence", dash=True),) if part.length else ()


def _seat_figures(found: tuple[Rest, ...], words: Words) -> tuple[Figure, ...]:
    said = {"well": "to sit on", "low": "too low", "high": "too high"}
    return tuple(
        TextFigure(
            r.at,
            said[r.fit] if r.fit == "well" else f"{said[r.fit]}: {words.length(r.high_m)}",
            "evidence",
            r.owner,
            "small",
        )
        for r in found
    )
