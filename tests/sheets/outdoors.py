"""Small gardens and ways to look at pages, for the tests of the outdoor sheets."""

from __future__ import annotations

from functools import cache
from typing import Any

from quincunx.demos import demo_garden
from quincunx.garden import Garden, garden_from, timeline
from quincunx.review import Review
from quincunx.review._view import View
from quincunx.review.noticing import notice
from quincunx.review.read import words_for
from quincunx.sheets import Page, Set, pages_of, prepare


def set_for(garden: Garden, *, noticed: bool = False) -> Set:
    through = timeline(garden)
    found = notice(View(garden, through, words_for(garden, through))) if noticed else ()
    return prepare(garden, through=through, judged=Review((), found))


@cache
def demo(name: str, *, noticed: bool = False) -> Set:
    return set_for(demo_garden(name), noticed=noticed)


def plot(*features: dict[str, Any], units: str = "metric", **more: Any) -> Garden:
    data = {
        "format": "quincunx/1",
        "name": "Plot",
        "writing": {"units": units},
        "boundary": [[0, 0], [20, 0], [20, 15], [0, 15]],
        "means": {"first_year": 2027, "years": 3},
        "features": list(features),
        **more,
    }
    return garden_from(data)


SHED = {"kind": "shed", "id": "den", "name": "Den", "at": [6, 5], "width": 3, "depth": 2.4}


def job(*does: str, id: str = "work", start: str | None = "2027-04", **more: Any) -> dict[str, Any]:
    return {"id": id, "name": id.capitalize(), "does": list(does), **({"start": start} if start else {}), **more}


def pages(of: Set, sheet: str) -> list[Page]:
    return list(pages_of(of, [sheet]))


def texts(value: Any) -> list[str]:
    """Return every piece of text on pages, blocks or cells, in order."""
    if isinstance(value, Page):
        return [value.title, value.note, *texts(value.blocks)]
    if isinstance(value, dict):
        if value.get("t") == "drawing" or "svg" in value:
            return []
        return [t for k, v in value.items() if k not in ("t", "align", "fill", "ink") for t in texts(v)]
    if isinstance(value, (list, tuple)):
        return [t for v in value for t in texts(v)]
    return [value.replace("\N{NO-BREAK SPACE}", " ")] if isinstance(value, str) else []


def said(value: Any) -> str:
    return "\n".join(texts(value))


def tables(page: Page) -> list[dict[str, Any]]:
    """Return a page's tables, those that stand beside something among them."""
    beside = ([b] if b["t"] != "row" else [x for cell in b["cells"] for x in cell] for b in page.blocks)
    return [b for group in beside for b in group if b["t"] == "table"]


def cells(row: list[Any]) -> list[str]:
    return [" ".join(texts(c)) for c in row]
