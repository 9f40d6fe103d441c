"""The question of age: how grown everything is, leaf and flower by month, when it closes and bears, what doesn't fit."""

from __future__ import annotations

from shapely import Point

from quincunx.board.asking import Answer, Given, Input, Lead, Offer, Option, Row, Table
from quincunx.board.clock import this_month
from quincunx.board.standing import Standing
from quincunx.garden.sources import compared, sources
from quincunx.garden.tending import set_aside, tending
from quincunx.grow.bearing import bearing
from quincunx.grow.looks import LOOKS, drawn, state
from quincunx.grow.plantings import Planting, plantings
from quincunx.grow.reached import closed, when
from quincunx.plants.growth import mature_spread
from quincunx.scene import Scene
from quincunx.shapes import XY, Figure, PathFigure, Pattern, Role
from quincunx.units import Style, counted, format_hours, format_length, format_money, own_marks
from quincunx.units.dates import MONTHS, format_month, month_from_index

NAME = "age"
WORDS = "Age"
ASKS = "How grown is it, and what is in leaf and flower?"


def inputs(at: Standing) -> tuple[Input, ...]:
    """Return what age is asked with: the month, and whether sizes or seasons are shown."""
    month = str(at.timeline.leaf_date(at.timeline.years[0]).month)
    show = (
        Option("season", "leaf and flower"), Option("size", "sizes, now and when grown"),
        Option("sources", "where plants could come from"),
    )  # fmt: skip
    coming = [Option(f, at.words.name(f)) for f in _coming(at)]
    return (
        Input("show", "Show", "choice", "season", show),
        Input("in_month", "In", "month", month, least=1, most=12, when=("show", ("season",))),
        Input("thing", "For", "feature", coming[0].id if coming else "", tuple(coming), when=("show", ("sources",))),
    )


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return each planting as wide as it is, washed by leaf and flower or by how much of its size it has."""
    month, season = round(given.value("in_month")), given.choice("show") == "season"
    standing = plantings(at.timeline, scene.on.year)
    figures: list[Figure] = []
    for one in standing:
        figures += _drawn(one, _season(at, one, month) if season else _grown(one))
    if given.choice("show") == "sources":
        return _sources(at, given, tuple(figures))
    said = f"in {MONTHS[month - 1]} {scene.on.year}" if season else f"in late summer {scene.on.year}"
    legend = SEASONS if season else SIZES
    kept, offers = _upkeep(at, scene.on.year)
    offers = (*offers, *_ready(at))
    return Answer(
        words=f"{counted(len(standing), 'planting')} {said}",
        legend=legend, figures=tuple(figures), below=(_table(at, standing, month), *kept), offers=offers,
        leads=tuple(_leads(at, standing)), how=HOW,
    )  # fmt: skip


def _coming(at: Standing) -> list[str]:
    """Return the plantings that are still to come."""
    begins = {f.id: at.timeline.span(f.id).begins for f in at.garden.features if f.plants_named()}
    return sorted((i for i, b in begins.items() if b is not None and b < FAR), key=lambda i: (begins[i], i))


FAR = 10**6
"""A month that never comes."""


def _sources(at: Standing, given: Given, figures: tuple[Figure, ...]) -> Answer:
    """Return where the plants of a planting could come from: bought in other sizes, or raised at home."""
    thing = given.texts["thing"]
    found = sources(at.garden, at.timeline, thing)
    if not found:
        words = "Touch a planting that is still to come and lasts more than a year."
        return Answer(words=words, figures=figures, how=HOW)
    style, drawn = at.garden.style, found[0]
    rows = [
        (
            one.words, "no price" if one.sum is None else format_money(one.sum, style, whole=True),
            format_hours(round(2 * one.hours) / 2, style), format_month(month_from_index(one.planted)),
            f"{one.what} {one.reached.words}", "" if one is drawn else compared(drawn, one, style), one.note,
        )
        for one in found
    ]  # fmt: skip
    name = at.words.name(thing)
    head = ("way", "plants cost", "hours", "stands from", "and", "against what is drawn", "how")
    offers = tuple(Offer(f"{one.words}: {compared(drawn, one, style)}", edit=one.edit) for one in found if one.edit)
    return Answer(
        words=f"{counted(len(found), 'way')} to have the plants of {name}", legend=SIZES, figures=figures,
        below=(Table(f"Where the plants of {name} could come from", head, tuple(rows)),), offers=offers,
        how=(*HOW, RAISED_HOW),
    )  # fmt: skip


RAISED_HOW = (
    "What can be raised at home, in which months, how many take and how long they stand in a nursery row is from memory of"
    " handbooks (common practice, no source). Other bought sizes are priced only where your list has a price for them:"
    " plant-NAME-whip, plant-NAME-large and so on; they change the height, not the years to the first crop. Named fruit"
    " trees are grafted and don't come true from seed."
)
WORDS_OF = {"in flower": "in flower", "in fruit": "in fruit", "in leaf": "in leaf", "bare": "bare or died back"}
SEASONS = tuple(Row(WORDS_OF[said], role=role, pattern=pattern) for said, (role, pattern) in LOOKS.items())
SIZES = (
    Row("grown: nearly its full width", 6, "grown"), Row("half grown", 4, "grown"), Row("young", 2, "grown"),
    Row("dashed: as wide as it is to be", role="grown"),
)  # fmt: skip
HOW = (
    (
        "Sizes come from published tree equations where there are any (Urban Tree Database, 2016), else from a general growth"
        " curve through the catalogue's figures; leaf and flower are the catalogue's months for a lowland garden at 45 to 52"
        " degrees, turned for the southern half of the world."
    ),
    "What the journal says was browsed, died back, lost or planted again is counted.",
    (
        "Hours of upkeep: minutes for one plant, one metre, one square metre or one litre, from memory of handbooks (common"
        " practice, no source); your own times are better. What is built is not in them."
    ),
    "Which figures were read in which publication, and which are from memory, stands with each plant.",
)


Look = tuple[int | None, Role, Pattern]
"""How a planting is drawn: a wash, or a role and its pattern."""


def _season(at: Standing, one: Planting, month: int) -> Look:
    return (None, *LOOKS[state(one, month, turned=at.timeline.southern)])


def _grown(one: Planting) -> Look:
    share = one.standing.spread_m[1] / max(mature_spread(one.plant).mid, 0.01)
    if one.standing.kept and one.standing.spacing_m:
        share = closed(one).mid
    return (6 if share >= 0.9 else 4 if share >= 0.5 else 2), "grown", "plain"


def _drawn(one: Planting, look: Look) -> list[Figure]:
    shade, role, pattern = look
    out = drawn(one, role, pattern, shade)
    if not one.standing.spacing_m:
        full = Point(one.standing.at[0]).buffer(mature_spread(one.plant).mid / 2, quad_segs=8).exterior.coords[:-1]
        out.append(
            PathFigure(tuple((float(a), float(b)) for a, b in full), "grown", one.owner, True, "fine", dash=True)
        )
    return out


def _table(at: Standing, standing: tuple[Planting, ...], month: int) -> Table:
    style, turned = at.garden.style, at.timeline.southern
    rows = []
    for one in sorted(standing, key=lambda p: at.words.name(p.owner)):
        size = f"{format_length(one.standing.height_m[1], style)} × {format_length(one.standing.spread_m[1], style)}"
        looks = state(one, month, turned=turned)
        rows.append((at.words.name(one.owner), one.plant.name, size, looks, _when(at, one)))
    return Table("What grows", ("planting", "plant", "high × wide", MONTHS[month - 1], "and then"), tuple(rows))


def _upkeep(at: Standing, year: int) -> tuple[tuple[Table, ...], tuple[Offer, ...]]:
    """Return the hours of upkeep of a year by month, and the offer to set those of every year aside."""
    found = tending(at.timeline, this_month(at.garden.site.place))
    one = found.get(year)
    if one is None or not one.lines:
        return (), ()
    means, style = at.garden.means, at.garden.style
    given, typed = sum(means.given(year)), sum(means.upkeep(year))
    rows = [
        (x.words, *(_hours(h, style) for h in x.months), format_hours(round(x.hours), style))
        for x in one.lines
        if round(x.hours, 1)
    ]
    rows.append(("in all", *(_hours(h, style) for h in one.months), format_hours(round(one.hours), style)))
    rows.append(("there are", *(_hours(h, style) for h in means.given(year)), format_hours(round(given), style)))
    left = f", which leaves {format_hours(round(max(given - one.hours, 0.0)), style)} for works" if given else ""
    words = f"Upkeep in {year}, hours by month: about {format_hours(round(one.hours), style)}{left}"
    table = Table(words, ("", *(m[:3] for m in MONTHS), "the year"), tuple(rows))
    if abs(typed - one.hours) < 1.0:
        return (table,), ()
    said = f"Set these hours aside in every year ({format_hours(round(typed), style)} are set aside in {year})"
    return (table,), (Offer(said, edit=set_aside(found)),)


def _ready(at: Standing) -> tuple[Offer, ...]:
    """Return the offers to make turf ready before it is planted."""
    from quincunx.garden.preparing import prepare, unready

    found = unready(at.garden, at.timeline)
    edits = [prepare(at.garden, at.timeline, one) for one in found]
    said = "smother the turf, improve the ground, let it settle, then plant"
    return tuple(Offer(f"{edit.label}: {said}", edit=edit) for edit in edits)


def _hours(hours: float, style: Style) -> str:
    return own_marks(f"{hours:.1f}", style) if hours >= 0.05 else ""


def _when(at: Standing, one: Planting) -> str:
    parts = []
    if one.standing.kept and one.standing.spacing_m:
        parts.append(f"closed {when(at.timeline, one.owner, closed, 1.0).words}")
    if one.plant.edible and one.plant.woody:
        found = bearing(at.timeline, one.owner)
        parts.append(f"bears {found.when.words}" if found.when.not_before is not None else found.why)
    return "; ".join(parts)


def _leads(at: Standing, standing: tuple[Planting, ...]) -> list[Lead]:
    from quincunx.grow.fit import misfits

    year = standing[0].on.year if standing else at.timeline.years[0]
    where = {p.owner: p.standing.at[0] for p in standing}
    found = misfits(at.timeline, year, at.garden.style.currency)
    length = at.words.length
    return [
        Lead(own_marks(m.said(at.words.name, length), at.garden.style), where[m.owner], m.owner)
        for m in found
        if m.owner in where
    ][:12]


def value(at: Standing, scene: Scene, given: Given, where: XY) -> str:  # noqa: ARG001 (every question is asked so)
    """Return what grows under the pointer: its plant, age and size now, and when grown."""
    style, point = at.garden.style, Point(where)
    near = [
        (min(point.distance(Point(p)) for p in one.standing.at), one) for one in plantings(at.timeline, scene.on.year)
    ]
    hit = [(d, one) for d, one in near if d <= max(one.standing.spread_m[1] / 2, 0.3)]
    if not hit:
        return "Nothing is planted here."
    one = min(hit, key=lambda pair: (pair[0], pair[1].owner))[1]
    low, mid, high = one.standing.height_m
    span = "" if high - low < 0.05 else f" (between {format_length(low, style)} and {format_length(high, style)})"
    age = f"{one.standing.age_years:.0f} years" if one.standing.age_years >= 1 else "in its first year"
    return f"{at.words.name(one.owner)}, {one.plant.name}, {age}: {format_length(mid, style)} high{span}."
