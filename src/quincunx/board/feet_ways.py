"""Feet, by which way: the shortest way between two places and the easiest that month, what it is like, how far to the rest."""

from __future__ import annotations

from collections.abc import Iterator

from shapely import Point

from quincunx.board.asking import Answer, Given, Lead, Offer, Place as Asked, Row, Table
from quincunx.board.standing import Standing
from quincunx.garden import Edit, Op, free_id
from quincunx.intents import Words
from quincunx.intents._walking import across_figure, between_words, by_way_of, narrowest_between, why_not
from quincunx.scene import Scene
from quincunx.shapes import DimensionFigure, Figure, PathFigure, Surface
from quincunx.units import capital
from quincunx.units.dates import MONTHS
from quincunx.walk import Walk, Walker, walk_of
from quincunx.walk.distances import distance_table
from quincunx.walk.eased import Easy
from quincunx.walk.going import floor_share, going, walking_seconds
from quincunx.walk.places import Place, pieces_reached, place_of
from quincunx.walk.ways import Way, shortest_way

LOOK_M = 3.0
"""A way is not measured wider than this [m]."""
SAME_M = 0.3
"""Two ways no more different in length than this are one [m]."""
HOW = (
    "The shortest way keeps half a body's width from everything and goes round what is planted; it is exact on level "
    "ground. Minutes count the slope (W. Tobler, 1993, from memory), soft ground, steps and gates (common practice, "
    "without a source). The easiest way counts soft ground dearer; it is found on a grid and pulled straight."
)


def answer(at: Standing, scene: Scene, given: Given, who: Walker, *, rough: str = "") -> Answer:
    """Return the way from one place to another for somebody, in words and figures, and how far all else lies."""
    words, walk = at.words, walk_of(scene, who, polite=True)
    start, end = given.place("start"), given.place("end")
    a, b = _place(scene, start), _place(scene, end)
    pieces = pieces_reached(walk.free, a, who) & pieces_reached(walk.free, b, who)
    way = shortest_way(walk.free, who, a, b, pieces)
    far = () if rough else _far(walk, start, words)
    lead = f"{capital(who.name)} from {start.words} to {end.words}, {MONTHS[scene.on.month - 1]} {scene.on.year}"
    if way is None or len(way.points) < 2:
        why, drawn = why_not(walk, start.id, end.id, words) if start.id and end.id else ("no way leads there", ())
        there = "is there already" if way is not None else f"does not get there: {why}"
        return Answer(words=f"{lead}: {there}.", figures=tuple(drawn), below=far, how=(HOW,), rough=rough)
    easy = _easiest(walk, start, end)
    figures: list[Figure] = [PathFigure(way.points, "evidence", weight="thick", arrow=True)]
    legend = [Row("the shortest way", role="evidence")]
    if easy is not None and easy.length_m > way.length_m + SAME_M:
        figures.append(PathFigure(easy.points, "way", weight="normal", dash=True, arrow=True))
        legend.append(Row("the easiest way that month", role="way"))
    narrow = narrowest_between(walk, a, b, LOOK_M)
    across = None if narrow is None else across_figure(narrow)
    figures += [across] if across else []
    return Answer(
        words=f"{lead}: {words.distance(way.length_m)}, {words.minutes(walking_seconds(scene, who, way))}.",
        legend=tuple(legend),
        figures=tuple(figures),
        below=(_about(walk, way, easy, (start, end), words), *far),
        leads=() if across is None or narrow is None or narrow.width_m is None else (
            Lead(f"Narrowest: {words.length(narrow.width_m)}{between_words(scene, narrow, words)}.", _middle(across)),
        ),
        offers=tuple(_offers(at, start, end, who)),
        how=(HOW,), rough=rough,
    )  # fmt: skip


def _middle(across: DimensionFigure) -> tuple[float, float]:
    (ax, ay), (bx, by) = across.start, across.end
    return ((ax + bx) / 2, (ay + by) / 2)


def _place(scene: Scene, asked: Asked) -> Place:
    named = place_of(scene, asked.id) if asked.id else None
    return named or Place("", "spot", Point(asked.at))


def _easiest(walk: Walk, start: Asked, end: Asked) -> Way | None:
    """Return the easiest way that month where both places have names."""
    if not (start.id and end.id):
        return None
    month = walk.scene.on.month

    def cost(surface: Surface | None) -> float:
        firm = 0.6 if surface is None else surface.firmness[month - 1]
        return 1 / floor_share(firm, wheels=walk.walker.wheels)

    (found,) = Easy(walk, cost).ways([(start.id, end.id)])
    return found


def _about(walk: Walk, way: Way, easy: Way | None, ends: tuple[Asked, Asked], words: Words) -> Table:
    scene, who = walk.scene, walk.walker
    under = going(scene, way)
    steep = under.steepest
    rows = [
        ("far", words.distance(way.length_m)),
        ("takes", words.minutes(walking_seconds(scene, who, way))),
        ("climbs", words.length(under.climb_m)),
        ("steps", str(under.steps) if under.steps else "none"),
        ("steepest", "-" if steep is None else words.slope(steep.grade)),
        ("on ground that is not made", words.distance(under.soft_m) if under.soft_m > 0.5 else "nowhere"),
    ]
    by = by_way_of(walk, way, words, ends[1].id)
    rows += [("goes", by)] if by else []
    if easy is not None and easy.length_m > way.length_m + SAME_M:
        took = words.minutes(walking_seconds(scene, who, easy))
        rows.append(("the easiest way", f"{words.distance(easy.length_m)}, {took}"))
    return Table("The way", ("", ""), tuple(rows))


def _far(walk: Walk, start: Asked, words: Words) -> tuple[Table, ...]:
    """Return how far every spot lies from the start, the nearest first; a row shows the way there."""
    spots = [s for s in walk.scene.spots if s.id != start.id]
    if not spots or not start.id:
        return ()
    table = distance_table(walk, [start.id, *(s.id for s in spots)])
    found = sorted((float(table.length_m[0, k]), s.name, s.id) for k, s in enumerate(spots, start=1))
    rows = tuple((name, words.distance(far) if far < 1e6 else "no way") for far, name, _ in found)
    return (Table(f"From {start.words} to", ("", ""), rows, tuple({"end": i} for _, _, i in found)),)


def _offers(at: Standing, start: Asked, end: Asked, who: Walker) -> Iterator[Offer]:
    """Offer to write the walk down as one of every day, so that what it treads can be seen."""
    known = {(t.start, t.end, t.walker) for t in at.garden.trips}
    if not (start.id and end.id) or (start.id, end.id, who.id) in known:
        return
    name = free_id(f"{start.id}-to-{end.id}", {t.id for t in at.garden.trips})
    value = {"id": name, "start": start.id, "end": end.id, "walker": who.id, "a_week": 7.0}
    edit = Edit(label=f"Walk daily to {end.words}", ops=(Op(do="put", part="trips", id=name, value=value),))
    yield Offer("Count it as walked every day", edit)
