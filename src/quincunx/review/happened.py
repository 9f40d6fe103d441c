"""What the journal says of a year, at its places on the sheet and in one line each."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from quincunx.garden import Garden
from quincunx.plants.setbacks import TAKES_YEARS
from quincunx.scene import Timeline
from quincunx.shapes import XY, Figure, PathFigure, TextFigure
from quincunx.units import Style, format_hours, format_money
from quincunx.units.dates import MONTHS
from quincunx.works import Entry

WORDS: dict[str, str] = {
    "done": "done", "harvest": "picked", "browsed": "browsed", "died-back": "died back", "lost": "lost",
    "replanted": "planted again", "measured": "measured", "note": "note",
}  # fmt: skip
"""What a line of the journal is called beside its mark."""
NO_PLACE: dict[str, str] = {"begun": "begun", "spent": "", "hours": ""}
"""Lines that are told in the table of years and have no mark on the sheet; ticks are in neither."""
NOTHING = (0.0, 0.0, 0.0)
SIZE_M = 0.18
"""Half the size of a mark [m]."""


@dataclass(frozen=True, slots=True)
class Happened:
    """One line of the journal: where it was [m] (None: nowhere on the plan), the word at its mark, the line in full."""

    id: str
    what: str
    at: XY | None
    word: str
    line: str


def happened(garden: Garden, through: Timeline, year: int) -> tuple[Happened, ...]:
    """Return what happened in a year, by day; ticks and single tapes of a setting out are left out."""
    found = (
        e
        for e in garden.journal
        if e.day[:4] == f"{year:04d}"
        and (e.what in WORDS or e.what in NO_PLACE)
        and not (e.what == "measured" and e.points)
    )
    return tuple(_one(garden, through, e) for e in sorted(found, key=lambda e: (e.day, e.id)))


def _one(garden: Garden, through: Timeline, entry: Entry) -> Happened:
    name = dict(through.frame.names).get((entry.about or "").partition("/")[0], "")
    much = _much(entry, garden.style)
    word = f"{(WORDS | NO_PLACE)[entry.what]} {much}".strip()
    day = date.fromisoformat(entry.day)
    when = f"{day.day} {MONTHS[day.month - 1][:3]}"
    gone = TAKES_YEARS.get(entry.what, NOTHING)[1]
    costs = [f"about {'a year' if gone == 1 else f'{gone:g} years'} of growth gone"] if gone else []
    said = (
        ""
        if entry.what == "note" and entry.text
        else ", ".join(p for p in (word, *costs, *_works(entry, garden.style)) if p)
    )
    what = " ".join(p for p in (name, said) if p)
    line = ": ".join(p for p in (when, what, entry.text) if p)
    return Happened(entry.id, entry.what, None if entry.what in NO_PLACE else _place(garden, entry), word, line)


def _works(entry: Entry, style: Style) -> list[str]:
    """Return the money and the hours of a line, where its word has not said them."""
    money = (
        f"{format_money(entry.sum, style, whole=True)} spent" if entry.sum is not None and entry.what != "done" else ""
    )
    return [money, f"{format_hours(entry.hours, style)} of work" if entry.hours is not None else ""]


def _much(entry: Entry, style: Style) -> str:
    if entry.amount is not None:
        amount = f"{entry.amount:g}".replace(".", style.decimal_mark)
        return f"{amount} {entry.unit or ''}".strip()
    return format_money(entry.sum, style, whole=True) if entry.sum is not None and entry.what == "done" else ""


def _place(garden: Garden, entry: Entry) -> XY | None:
    about = (entry.about or "").partition("/")[0]
    job = next((j for j in garden.jobs if j.id == about), None)
    things = [t.partition("/")[0] for t in job.does] if job else [about]
    points = [h.at for f in garden.features if f.id in things[:1] for h in f.handles()]
    if not points:
        return None
    xs, ys = [p[0] for p in points], [p[1] for p in points]
    return ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)


def happened_figures(told: Iterable[Happened]) -> tuple[Figure, ...]:
    """Return the marks of what happened: a square with its word; what was lost or died back is crossed out."""
    out: list[Figure] = []
    at: dict[XY, int] = {}
    for one in told:
        if one.at is None:
            continue
        # Several at one place stand under each other.
        x, y = one.at[0], one.at[1] - 3.2 * SIZE_M * at.get(one.at, 0)
        at[one.at] = at.get(one.at, 0) + 1
        s = SIZE_M
        square = ((x - s, y - s), (x + s, y - s), (x + s, y + s), (x - s, y + s))
        out.append(PathFigure(square, "pin", one.id, closed=True, weight="thin"))
        if one.what in ("lost", "died-back"):
            out.append(PathFigure((square[0], square[2]), "pin", one.id, weight="thin"))
            out.append(PathFigure((square[1], square[3]), "pin", one.id, weight="thin"))
        out.append(TextFigure((x + 1.5 * s, y), one.word, "pin", one.id, "small", 0.0, "start"))
    return tuple(out)
