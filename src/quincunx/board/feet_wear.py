"""Feet, where they will go: the walks written down, the lines they tread off the paths, what wants a path."""

from __future__ import annotations

from quincunx.board.asking import Answer, Lead, Row, Table
from quincunx.board.standing import Standing
from quincunx.intents._treading import advice, middle_of, no_ways, trodden_figures, trodden_words, way_figures
from quincunx.scene import Scene
from quincunx.units import capital, write_count, write_plain
from quincunx.units.dates import MONTHS
from quincunx.walk.desire import BARE_PASSES, SEEN_PASSES, Feet, feet
from quincunx.walk.eased import UNMADE

HOW = (
    f"People keep to made ground unless that way is {UNMADE - 1:.0%} longer (D. Helbing, J. Keltsch and P. Molnár, Nature "
    f"388, 1997, from memory). A line shows from {SEEN_PASSES:.0f} times a year and grass goes from {BARE_PASSES:,.0f} "
    "(common practice, without a source). Widths: what each walks on with ease, and half a foot more beside a wall."
)


def answer(at: Standing, scene: Scene) -> Answer:
    """Return where the walks go and what they tread, with what wants a path."""
    when = f"{MONTHS[scene.on.month - 1]} {scene.on.year}"
    if not at.garden.trips:
        return Answer(
            words="No walks are written down yet. Show a way between two places and count it as walked every day, or "
            "write walks down among what is given."
        )
    found = feet(scene, at.garden.trips, at.words.walker)
    bare = [t for t in found.trodden if t.passes >= BARE_PASSES]
    lines = "no line is trodden off the paths" if not found.trodden else (
        f"{len(found.trodden)} {'line is' if len(found.trodden) == 1 else 'lines are'} trodden off the paths, "
        f"{len(bare) or 'none'} of them bare"
    )  # fmt: skip
    leads = tuple(
        Lead(
            f"{capital(trodden_words(t, found, at.words))}, {write_count(t.passes, at.garden.style)} times a year.",
            middle_of(t.line),
        )
        for t in found.trodden
    )
    return Answer(
        words=f"Where feet will go, {when}: {lines}.",
        legend=(Row("trodden off the paths", role="evidence"), Row("a walk of every week", role="note")),
        figures=(*way_figures(found), *trodden_figures(found, at.words)),
        below=_tables(at, scene, found),
        leads=leads,
        how=(HOW,),
    )


def _tables(at: Standing, scene: Scene, found: Feet) -> tuple[Table, ...]:
    words = at.words
    rows = tuple(
        (
            f"{words.name(t.start)} to {words.name(t.end)}",
            f"{write_plain(t.a_week, at.garden.style)} a week",
            "no way" if way is None else words.distance(way.length_m),
        )
        for t, way in found.ways
    )
    given = tuple({"show": "ways", "start": t.start, "end": t.end, "walker": t.walker} for t, _ in found.ways)
    walks = Table("Walks", ("", "", ""), rows, given)
    more = (("No way yet", no_ways(found, scene, words)), ("What wants a path", advice(found, scene, words)))
    return (walks, *(Table(head, ("",), tuple((line,) for line in said)) for head, said in more if said))
