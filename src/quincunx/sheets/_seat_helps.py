"""What would help at a seat that has too little shade at midday: a parasol at once, a small tree in time."""

from __future__ import annotations

from quincunx.light.seats import parasol, small_tree
from quincunx.light.sky import Sky
from quincunx.scene import Scene
from quincunx.shapes import XY
from quincunx.units import format_length
from quincunx.units.style import Style

WORTH = 0.1
"""What keeps off no more than this share of the sun besides is not worth saying."""


def seat_helps(
    scene: Scene, seat: XY, sky: Sky, warm: tuple[int, ...], share: float, style: Style
) -> list[tuple[str, XY, float]]:
    """Return what would keep off more than the ``share`` kept off now: what, where it stands [m], the share then."""
    found: list[tuple[str, XY, float]] = []
    cloth, tree = parasol(scene, seat, sky, warm), small_tree(scene, seat, sky, warm)
    if cloth is not None and cloth.shade > share + WORTH:
        found.append((f"a parasol {format_length(2 * cloth.radius_m, style)} across", cloth.at, cloth.shade))
    if tree is not None and tree.shade > share + WORTH:
        crown = f"its crown {format_length(2 * tree.radius_m, style)} across, {format_length(tree.middle_m, style)} up"
        found.append((f"a small tree, once grown ({crown})", tree.at, tree.shade))
    return found
