"""Views from the pegs: what the plan says would be seen from there, as drawings; shared by sheet, tags and board."""

from __future__ import annotations

from datetime import date

from quincunx.garden.seen import Peg, looked_at
from quincunx.intents import Words
from quincunx.scene import Scene, Timeline
from quincunx.sheets.svg import Look, draw, inner
from quincunx.sight.outlook import Camera, Outlook, outlook
from quincunx.units import Style, compass_words

JUNE, DECEMBER = 6, 12
LEAST = 0.005
"""What takes at least this share of a view belongs to it."""
SHADE, WHOLE, HALF = "#1c2b4a", 0.3, 0.15
"""The wash of what lies in shade, and how much of it covers what is under it, in whole shade and in half."""
COVERS = (
    "The drawing shows sizes as the plan has them at the end of that month, drawn from the ground's levels; how leaves and "
    "branches will really hang it cannot know."
)


def photo_day(through: Timeline, year: int) -> date:
    """Return the day for which a year's view is drawn: the end of June (in the south, of December)."""
    return date(year, DECEMBER, 31) if through.southern else date(year, JUNE, 30)


def camera_of(peg: Peg, scene: Scene) -> Camera:
    """Return the camera that stands on a peg."""
    return Camera(peg.place, scene.ground_z_m(*peg.place) + float(peg.height), peg.bearing_deg)


def look_from(peg: Peg, scene: Scene) -> Outlook:
    """Return what is seen from a peg as the garden stands."""
    return outlook(scene, camera_of(peg, scene))


def in_view(found: Outlook) -> tuple[str, ...]:
    """Return the ids of what makes a view, the largest first."""
    return found.owners(LEAST)


def drawn(found: Outlook, wide_mm: float, style: Style, *, words: bool = True) -> tuple[str, float]:
    """Return a view as SVG, ``wide_mm`` wide, and its height [mm]."""
    left, low, right, high = found.bounds
    look = Look((right - left) * 1000 / wide_mm, style, words=words, thin=0.7)
    svg = draw(found.figures, found.bounds, look, over=_shaded(found) + inner(found.stems, found.bounds, look))
    return svg, wide_mm * (high - low) / (right - left)


def _shaded(found: Outlook) -> str:
    """Return what lies in shade as one wash over the drawing, half as dark where half the sun comes through."""
    top = found.bounds[3]
    out = []
    for whole, dark in ((True, WHOLE), (False, HALF)):
        rings = [ring for shade in found.shades if shade.whole == whole for ring in shade.rings]
        d = "".join("M" + "L".join(f"{x:.4f} {top - y:.4f}" for x, y in ring) + "Z" for ring in rings)
        out += [f'<path d="{d}" fill="{SHADE}" fill-opacity="{dark}" fill-rule="evenodd" stroke="none"/>'] if d else []
    return "".join(out)


def standing_words(peg: Peg, scene: Scene, words: Words, north_offset_deg: float = 0.0) -> str:
    """Return how the photo is taken: stand on the peg, how high the camera, what to look at."""
    goal = looked_at(peg, scene)
    true = (peg.bearing_deg + north_offset_deg) % 360
    towards = f"at {words.the(goal)}" if goal is not None else f"{compass_words(true)} ({true:.0f}°)"
    return f"Stand on the peg, the camera {words.length(float(peg.height))} above the ground, and look {towards}."
