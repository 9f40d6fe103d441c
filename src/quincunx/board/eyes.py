"""The question of eyes: what of the garden is seen from a place, how much of a thing, and what hides it."""

from __future__ import annotations

import numpy as np

from quincunx.board.asking import Answer, Bars, Given, Input, Lead, Option, Row, Table
from quincunx.board.standing import Standing
from quincunx.board.under_roofs import indoors
from quincunx.intents._seeing import hiders, percent, posture_of, sight_figures
from quincunx.scene import Scene
from quincunx.shapes import XY, Amounts, Band, Figure, PathFigure, TextFigure
from quincunx.sight import Eye, Seen, View, eye_at, eye_over, least_raise, lowest, screens, seen, target_of
from quincunx.sight.enclosure import mix
from quincunx.sight.eyes import EYE_M, Target
from quincunx.sight.viewshed import view_of, view_plainly
from quincunx.units import capital, format_day

NAME = "eyes"
WORDS = "Eyes"
ASKS = "What is seen from here?"

ROUGH_M, FINE_M = 1.0, 0.25
BANDS = (
    Band(0.0, "not seen", 0),
    Band(10.0, "seen dimly, through twigs or bars", 2),
    Band(50.0, "half seen", 4),
    Band(90.0, "seen clearly", 6),
)
EYES = (
    Option("as-marked", "as the spot is marked"),
    Option("standing", "standing"),
    Option("seated", "seated"),
    Option("child", "a child of six"),
)
LINES = (
    "Straight lines from the eye to each cell of the ground, over the ground as it lies and through what is porous: a "
    "hedge or crown lets through as much as its leaves do that month, a fence as much as its gaps."
)
HEIGHTS = (
    f"An eye stands {EYE_M['standing']:.2f} m over the ground, {EYE_M['seated']:.2f} m seated, {EYE_M['child']:.2f} m for "
    "a child of six (rounded means, from memory); a spot may say its own height. Gates stand open."
)
POINTS = "Of a thing, 45 points over its width and height are looked at; of ground, about as many over its surface."


def inputs(at: Standing) -> tuple[Input, ...]:
    """Return what eyes are asked with: from where, how high, and what is looked for."""
    spots = tuple(Option(s.id, s.name, s.at) for s in at.timeline.frame.spots)
    marked = [s.id for s in at.timeline.frame.spots if s.height_m > 0]
    first = (marked or [o.id for o in spots] or [""])[0]
    middle = at.timeline.frame.boundary.representative_point()
    return (
        Input("eye", "From", "place", first or f"{middle.x:.2f},{middle.y:.2f}", spots),
        Input("posture", "Eye", "choice", "as-marked", EYES),
        Input("target", "Looking for", "choice", "all", (Option("all", "all of the ground"), *_targets(at))),
    )


def _targets(at: Standing) -> tuple[Option, ...]:
    """Return what can be looked for: rooms, spots and things, by name."""
    frame = at.timeline.frame
    named = [(r.id, r.name) for r in frame.rooms] + [(s.id, s.name) for s in frame.spots]
    named += [(f.id, f.name) for f in at.timeline.features if f.name]
    return tuple(Option(i, words) for i, words in sorted(dict(named).items(), key=lambda pair: pair[1].lower()))


def _eye(scene: Scene, given: Given) -> Eye:
    place, posture = given.place("eye"), posture_of(given.choice("posture"))
    found = eye_at(scene, place.id, posture) if place.id else None
    return found or eye_over(scene, place.at, EYE_M[posture or "standing"])


def rough(at: Standing, scene: Scene, given: Given) -> Answer | None:
    """Return a coarse answer while what is compiled is not loaded yet; None once it is."""
    if _READY:
        return None
    view = view_plainly(scene, _eye(scene, given), cell_m=ROUGH_M)
    return _answer(at, scene, given, view, "A first look in wide steps; a finer one follows.")


_READY: list[bool] = []


def ready() -> None:
    """Load, or on a new machine compile, what a fine answer needs."""
    from quincunx.board.compiling import make_ready
    from quincunx.scene.spread import behind_ground, from_point

    make_ready(from_point, behind_ground)
    _READY[:] = [True]


def answer(at: Standing, scene: Scene, given: Given) -> Answer:
    """Return the ground seen, and of what is looked for how much, by year."""
    return _answer(at, scene, given, view_of(scene, _eye(scene, given), cell_m=FINE_M))


def _answer(at: Standing, scene: Scene, given: Given, view: View, why_rough: str = "") -> Answer:
    grid, place = view.grid, given.place("eye")
    values = (100.0 * view.share).astype(np.float32)
    field = Amounts(grid.x0_m, grid.y0_m, grid.cell_m, values, "%", BANDS, 0).within(scene.boundary, indoors(scene))
    share = float(np.nanmean(field.values)) / 100.0 if np.isfinite(field.values).any() else 0.0
    name = at.words.the(place.id) if place.id else place.words
    words = f"From {name} {percent(share)} of the garden's ground is seen, as it stands on {format_day(scene.on)}"
    figures: list[Figure] = list(_mark(view.eye))
    below: tuple[Table | Bars, ...] = () if why_rough else (_fills(scene, view.eye),)
    leads: list[Lead] = []
    wanted = given.choice("target")
    if wanted != "all":
        goal = target_of(scene, wanted, view.eye)
        if goal is None:
            words += f"; {at.words.the(wanted)} does not stand then"
        else:
            got = seen(scene, view.eye, goal)
            words += f"; of {at.words.the(wanted)}, {percent(got.share)}"
            figures += sight_figures(got, scene)
            leads = _leads(at, scene, got)
        below = (_by_year(at, given, wanted), *below)
    legend = (Row("the eye, and the edges of what is looked for", role="evidence"),)
    return Answer(
        words=words, legend=legend, figures=tuple(figures), field=field, below=below, leads=tuple(leads), how=(LINES, HEIGHTS, POINTS),
        rough=why_rough,
    )  # fmt: skip


def _fills(scene: Scene, eye: Eye) -> Bars:
    """Return what fills the view all round, as lengths side by side."""
    found = mix(scene, eye)
    rows = (("plants", found.plants), ("built", found.built), ("ground", found.ground), ("sky", found.sky))
    told = tuple((words, 100.0 * share, percent(share)) for words, share in rows)
    return Bars("What fills the view all round, from 20° below level to 27° above", told)


def _mark(eye: Eye) -> tuple[Figure, ...]:
    """Return an eye as it is drawn: a small cross in a ring of straight lines, with a word."""
    (x, y), r = eye.at, 0.3
    ring = tuple((x + r * float(np.cos(a)), y + r * float(np.sin(a))) for a in np.arange(8) * np.pi / 4)
    return (
        PathFigure(ring, "evidence", "eye", closed=True),
        PathFigure(((x - r / 2, y), (x + r / 2, y)), "evidence", "eye"),
        PathFigure(((x, y - r / 2), (x, y + r / 2)), "evidence", "eye"),
        TextFigure((x, y + 1.6 * r), "eye", "evidence", "eye", "small"),
    )


def _leads(at: Standing, scene: Scene, view: Seen) -> list[Lead]:
    """Return what hides the target, and what would hide the rest."""
    out = []
    if view.hides:
        owner = view.hides[0][0]
        shape = scene.area_of(owner) if owner else None
        point = shape.representative_point() if shape is not None else None
        where = (point.x, point.y) if point is not None else view.target.middle
        out.append(Lead(f"{capital(hiders(view, at.words))} stands in the way.", where, owner))
    up = least_raise(scene, view)
    if up is not None:
        shape = scene.area_of(up.owner)
        point = None if shape is None else shape.representative_point()
        high, now = at.words.length(up.height_m), at.words.length(up.now_m)
        text = f"{capital(at.words.the(up.owner))} would hide all of it at {high}, closed; it stands {now} high."
        out.append(Lead(text, view.target.middle if point is None else (point.x, point.y), up.owner))
    low = lowest(screens(scene, view))
    if low is not None:
        size = f"{at.words.length(low.width_m)} wide and {at.words.length(low.height_m)} high"
        out.append(Lead(f"The lowest screen that would hide it, inside the boundary: {size}.", low.middle))
    return out


def _by_year(at: Standing, given: Given, wanted: str) -> Table:
    """Return the share of a target seen in each year, in leaf and bare."""
    rows = []
    for year in at.timeline.years:
        told = []
        for on in (at.timeline.leaf_date(year), at.timeline.bare_date(year)):
            scene = at.timeline.at(on)
            eye = _eye(scene, given)
            goal: Target | None = target_of(scene, wanted, eye)
            told.append("not there" if goal is None else percent(seen(scene, eye, goal).share))
        rows.append((str(year), *told))
    return Table(f"How much of {at.words.the(wanted)} is seen", ("Year", "in leaf", "bare"), tuple(rows))


def value(at: Standing, scene: Scene, given: Given, where: XY) -> str:
    """Return how much of the ground at a point is seen, and what hides the rest."""
    eye = _eye(scene, given)
    goal = Target("", np.array([[[*where, scene.ground_z_m(*where) + 0.02]]]), flat=True)
    view = seen(scene, eye, goal)
    if view.share > 0.995:
        return "Seen from there."
    behind = hiders(view, at.words)
    much = "Not seen from there" if view.share < 0.05 else f"Seen dimly from there ({percent(view.share)})"
    return f"{much}: {behind} {'stand' if ' and ' in behind else 'stands'} in the way."
