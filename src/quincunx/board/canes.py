"""The question of canes: where to push them and how high to tie the string, to see a thing to come full size."""

from __future__ import annotations

import math

from quincunx.board.asking import Answer, Given, Input, Lead, Option, Row, Table
from quincunx.board.replies import Refused
from quincunx.board.standing import Standing
from quincunx.scene import Scene, Spot
from quincunx.shapes import XY, AreaFigure, Figure, PathFigure, TextFigure
from quincunx.sheets._canes import EYE_M, Trial, coming, trial
from quincunx.sheets.cane_test import CARE, COVERS
from quincunx.survey.canes import LONG_M
from quincunx.units import capital
from quincunx.units.dates import format_month, month_of

NAME = "canes"
WORDS = "Canes"
ASKS = "How big will it really be?"

MARK_M = 0.14
"""Size of a cane on the sheet [m]."""


def inputs(at: Standing) -> tuple[Input, ...]:
    """Return what canes are asked with: the thing to come, and where to stand."""
    things = coming(at.timeline, at.garden.features)
    spots = at.timeline.frame.spots
    return (
        Input("thing", "What", "feature", things[0] if things else "", tuple(Option(i, at.words.name(i)) for i in things)),
        Input("stand", "Stand at", "place", "best", (Option("best", "the best spot", (0.0, 0.0)), *(Option(s.id, s.name, s.at) for s in spots))),
    )  # fmt: skip


def _stand(at: Standing, given: Given) -> Spot | None:
    if given.texts["stand"] == "best":
        return None
    place = given.place("stand")
    known = next((s for s in at.timeline.frame.spots if s.id == place.id), None)
    return known or Spot("touched", place.words, place.at, EYE_M)


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return the canes of the thing as it stands on the day shown, with their strings, and the nearer ones."""
    owner = given.texts["thing"]
    if not owner:
        raise Refused(404, "Nothing in the plan rises that doesn't stand already. Draw what is to come first.")
    if owner not in {f.id for f in at.garden.features}:
        raise Refused(404, "There is no such thing. Choose one of the list.")
    one = trial(scene, owner, _stand(at, given))
    name = at.words.the(owner)
    if not one.canes:
        words = f"In this month {name} is not there yet, or lower than a string. Touch a later year."
        return Answer(words)
    stand = "" if one.stand is None else f", seen from {one.stand.name}, your eye {at.words.length(one.eye_m)} up"
    return Answer(
        f"{capital(name)} full size, as in {format_month(month_of(scene.on))}{stand}. Another month or year shows it younger or grown.",
        (Row("a cane and its string", role="evidence"), Row("a lower string, nearer to you", role="way")),
        tuple(_figures(one)),
        below=(_table(at, one),),
        leads=_leads(at, one),
        how=(CARE, COVERS),
    )


def _figures(one: Trial) -> list[Figure]:
    out: list[Figure] = [PathFigure(tuple(c.at for c in one.canes), "evidence", one.owner, weight="thin", dash=True)]
    for n, (cane, near) in enumerate(zip(one.canes, one.nearer, strict=True), 1):
        out += [AreaFigure((_ring(cane.at),), "evidence", one.owner)]
        out += [TextFigure((cane.at[0] + 2 * MARK_M, cane.at[1] + 2 * MARK_M), str(n), "evidence", one.owner, "large")]
        if near is not None and one.stand is not None:
            out += [PathFigure((one.stand.at, cane.at), "way", one.owner, weight="fine", dash=True)]
            out += [AreaFigure((_ring(near.at),), "way", one.owner)]
    return out


def _ring(at: XY) -> tuple[XY, ...]:
    turns = [2 * math.pi * k / 12 for k in range(12)]
    return tuple((at[0] + MARK_M * math.sin(t), at[1] + MARK_M * math.cos(t)) for t in turns)


def _table(at: Standing, one: Trial) -> Table:
    rows = []
    for n, (cane, near) in enumerate(zip(one.canes, one.nearer, strict=True), 1):
        instead = ""
        if near is not None and one.stand is not None:
            instead = f"{at.words.length(near.string_m)}, {at.words.length(near.from_eye_m)} from {one.stand.name}"
        elif cane.string_m > LONG_M:
            instead = "too high for a cane: mark its place"
        under = "" if cane.under_m is None else at.words.length(cane.under_m)
        rows.append((str(n), at.words.length(cane.string_m), under, instead))
    return Table("Canes and strings", ("Cane", "String at", "Underside", "Or, nearer to you"), tuple(rows))


def _leads(at: Standing, one: Trial) -> tuple[Lead, ...]:
    tallest = max(range(len(one.canes)), key=lambda i: one.canes[i].string_m)
    cane = one.canes[tallest]
    words = f"Tallest at cane {tallest + 1}: {at.words.length(cane.string_m)}. Too tall, or in the way? Change or move it here."
    return (Lead(words, cane.at, one.owner),)
