"""Drip lines as rows of words: what lies there, what it hangs on, whether its run and its tap are enough."""

from __future__ import annotations

from quincunx.intents import Words
from quincunx.scene import Scene

HEAD = ("drip line", "tube", "drippers", "in an hour", "hangs on", "asked of it an hour", "longest run", "may be")


def rows(scene: Scene, words: Words) -> tuple[tuple[str, ...], ...]:
    """Return a row for each drip line of a garden under :data:`HEAD`."""
    from quincunx.water.drip import asked_l_min, drips

    lines, out = drips(scene), []
    for one in lines:
        work, supply = one.work, one.supply
        asked = "–" if supply is None else words.water(60 * asked_l_min(lines, supply.owner))
        gives = "" if supply is None or supply.flow_l_min is None else f" of {words.water(60 * supply.flow_l_min)}"
        out.append((
            words.name(work.owner), words.distance(work.tube_m), f"{work.drippers}", words.water(work.flow_l_h),
            _hangs_on(work.fed_from, words) if supply is None else words.name(supply.owner), asked + gives,
            words.distance(work.longest_m), words.distance(one.longest_m),
        ))  # fmt: skip
    return tuple(out)


def _hangs_on(named: str, words: Words) -> str:
    return f"{words.name(named)}: gives no water" if named else "nobody has said"
