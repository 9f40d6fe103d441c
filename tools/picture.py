"""Draw the README's picture: ``python tools/picture.py``."""

from __future__ import annotations

from pathlib import Path

from quincunx.demos import demo_garden
from quincunx.review import Review
from quincunx.sheets import prepare
from quincunx.sheets.labels import spread_labels
from quincunx.sheets.svg import Look, draw


def picture() -> str:
    """Return the plan of Ropewalk Cottage in its last year."""
    garden = demo_garden("ropewalk")
    of = prepare(garden, judged=Review((), ()))
    look = Look(150.0, garden.style)
    figures = [*of.summer(of.timeline.years[-1]).figures, *of.frame()]
    return draw(spread_labels(figures, look, of.bounds), of.bounds, look)


if __name__ == "__main__":
    target = Path(__file__).resolve().parents[1] / "docs" / "ropewalk.svg"
    target.write_text(picture(), encoding="utf-8")
