"""Plants that get less sun, or more, than they are known to like, as the garden stands in the last year of the plan."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

import numpy as np

from quincunx.review._view import View
from quincunx.review.answers import Answers
from quincunx.scene import Scene, Timeline
from quincunx.shapes import Finding, Severity
from quincunx.units import capital

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from quincunx.grow.plantings import Planting
    from quincunx.light.many import PointSun

MONTHS_LOOKED_AT = (4, 5, 6, 7, 8, 9)
"""The growing months, northern; the same as on the page *Sun by season*."""
STEP_MIN = 30.0
ROUGH_MONTHS, ROUGH_MIN, ROUGH_H = (4, 6, 8), 60.0, 1.0
"""Fewer suns, for a first look; it is true to so many hours (tested on both demonstrations)."""
LEAST_M = 0.2
Lit = tuple[float, tuple[str, ...]]
"""The sun of one planting [h a day], and what keeps most of it off, the most first."""
LEAST_H = {"full": 6.0, "part": 4.0}
"""Hours of sun a day that go by the word: 6 for full sun, 4 for part sun in some sources and 3 in others (the same limits
as ``light/data/sun_classes.json``); the safer is used."""
MARGIN_H = 0.5
"""So much under the limit isn't worth a word: half an hour lies within a hedge clipped later or earlier."""
GRAVE_H = 2.0
MOST_H = 6.0
"""What likes shade alone is scorched in full sun."""
MOST_POINTS = 3
TO_ITS_HEIGHT = 0.5
"""A plant is asked at half its height: its leaves count, not its foot (common practice, no source)."""
SOURCE = (
    "hours of direct sun on clear days around the 15th of each growing month, at half the plant's height; full sun 6 hours and "
    "more, part sun 4 to 6 (3 to 6 in other sources); the light it likes: "
)


def check(view: View) -> Iterator[Finding]:
    """Yield a finding for each plant that is to be planted where its light isn't what it likes, told once for a plant."""
    groups: dict[tuple[str, bool], list[tuple[Planting, Lit]]] = {}
    for one, lit in light_of(view.timeline, view.timeline.years[-1], view.answers):
        wrong = misfit(one.plant.sun, lit[0])
        if wrong is not None:
            groups.setdefault((one.plant.id, wrong), []).append((one, lit))
    for (plant_id, dark), those in sorted(groups.items()):
        yield _finding(view, plant_id, those, dark=dark)


def misfit(likes: tuple[str, ...], hours: float) -> bool | None:
    """Return True where it is too dark for what a plant likes, False where it is too sunny, None where it suits."""
    least = min(LEAST_H.get(word, 0.0) for word in likes)
    if hours < least - MARGIN_H:
        return True
    return False if set(likes) == {"shade"} and hours >= MOST_H else None


def light_of(through: Timeline, year: int, answers: Answers | None = None) -> list[tuple[Planting, Lit]]:
    """Return the sun at the leaves of each planting to come that stands in ``year``, without what it shades itself.

    Climbers are left out: which side of their support they grow on isn't known.  What was found in an earlier run is
    taken from ``answers``: it goes by all that stands on that day, and by the sky.
    """
    from quincunx.grow.plantings import plantings

    asked = [
        p for p in plantings(through, year)
        if p.plant.sun and p.plant.form != "climber" and through.span(p.owner).begins is not None
    ]  # fmt: skip
    if not asked:
        return []
    frame = through.frame
    sky = repr((frame.place, frame.horizon, frame.north_offset_deg, frame.latitude_deg, frame.climate))
    near = " ".join(f"{p.owner}:{'/'.join(p.plant.sun)}" for p in asked)
    key = ("light of plants", through.at(through.leaf_date(year)).key, sky, near)
    found = None if answers is None else answers.get(key)
    if found is None:
        found = _looked_at(through, year, asked)
        if answers is not None:
            answers.put(key, found)
    return list(zip(asked, found, strict=True))


def _looked_at(through: Timeline, year: int, asked: list[Planting]) -> list[Lit]:
    """Look roughly first, and again with more suns at whatever comes near a limit."""
    rough = _suns(through, year, asked, ROUGH_MONTHS, ROUGH_MIN)
    near = [p for p, lit in zip(asked, rough, strict=True) if _near(p.plant.sun, lit.hours)]
    fine = dict(zip((p.owner for p in near), _suns(through, year, near, MONTHS_LOOKED_AT, STEP_MIN), strict=True))
    found = (fine.get(p.owner, lit) for p, lit in zip(asked, rough, strict=True))
    return [(lit.hours, lit.by) for lit in found]


def _near(likes: tuple[str, ...], hours: float) -> bool:
    return misfit(likes, hours - ROUGH_H) is not None or misfit(likes, hours + ROUGH_H) is not None


def _suns(
    through: Timeline, year: int, those: list[Planting], months: tuple[int, ...], step_min: float
) -> list[PointSun]:
    """Return the sun of each planting: the mean over up to three of its plants."""
    from quincunx.light.many import mean_of, suns_at
    from quincunx.light.sky import Sky

    scene, sky = through.at(through.leaf_date(year)), Sky.over(through.frame)
    turned = tuple((m + 5) % 12 + 1 for m in months) if through.southern else months
    at = [_leaves(one, scene) for one in those]
    if not at:
        return []
    owners = [one.owner for one, points in zip(those, at, strict=True) for _ in points]
    found = iter(suns_at(scene, np.vstack(at), owners, months=turned, step_min=step_min, sky=sky))
    return [mean_of([next(found) for _ in points]) for points in at]


def _leaves(one: Planting, scene: Scene) -> NDArray[np.float64]:
    at = one.standing.at
    some = [at[k] for k in sorted({0, len(at) // 2, len(at) - 1})][:MOST_POINTS]
    height = max(TO_ITS_HEIGHT * one.standing.height_m[1], LEAST_M)
    return np.array([[x, y, scene.ground_z_m(x, y) + height] for x, y in some])


def _finding(view: View, plant_id: str, those: list[tuple[Planting, Lit]], *, dark: bool) -> Finding:
    one, lit = min(those, key=lambda t: t[1][0]) if dark else max(those, key=lambda t: t[1][0])
    plant, owners = one.plant, tuple(sorted(p.owner for p, _ in those))
    rest = tuple(o for o in owners if o != one.owner)
    likes = " or ".join({"full": "full sun", "part": "part sun", "shade": "shade"}[w] for w in plant.sun)
    by = f", shaded mostly by {view.words.both(lit[1])}" if dark and lit[1] else ""
    words = (
        f"{view.called(one.owner)} ({plant.name}) likes {likes} and gets {view.words.hours(lit[0])} of sun a day{by}."
    )
    more = f" So is it with {view.words.both(rest)}." if rest else ""
    least = min(LEAST_H.get(word, 0.0) for word in plant.sun)
    grave = Severity.CARE if not dark or least - lit[0] >= GRAVE_H else Severity.HINT
    remedy = (
        "Plant it where the sun page shows more, clip or thin what shades it, or choose what bears less light: it grows thin, "
        "flowers and bears less."
        if dark
        else "Plant it where something taller shades it at midday, or choose what bears sun."
    )
    return Finding(
        f"light-{plant_id}", grave, capital(words) + more, remedy, SOURCE + plant.known("sun"), owners,
        one.standing.at[0], view.timeline.years[-1],
    )  # fmt: skip
