"""What is still to be decided, weighed up: made, bought as a kit or built by others, of this or that."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from quincunx.garden.comparing import Weighed, weighed, worth_weighing
from quincunx.shapes import FrameWork
from quincunx.sheets._building import CARE, care, ended, kept_together
from quincunx.sheets._set import Set
from quincunx.sheets.book import Block, Page
from quincunx.units import Style, format_hours, format_mass, format_money, own_marks

ID = "weighed"
WORDS = "Weighed up: made, bought or hired"
NEEDS = "There is nothing to weigh up yet. Hold a place open with a shortlist, or draw a shelter, a pergola or a greenhouse."
LIVES = "Lives and upkeep are common practice, no source: weather, soil and care change them."
HEAD = ("", "money", "own hours", "hired", "lasts", "upkeep a year", "money a year it stands", "to carry", "looked up")


def pages(of: Set, wanted: float | None = None) -> Iterator[Page]:  # noqa: ARG001 - tables have no scale
    """Yield a page of tables for places still held open and structures that are not built yet."""
    done = {e.about for e in of.garden.journal if e.what == "done"}
    todo = {t.partition("/")[0] for c in of.costed if c.job.id not in done for t in c.job.does}
    things: list[list[Block]] = []
    demo = False
    for feature in of.garden.features:
        if feature.id not in todo or not worth_weighing(feature):
            continue
        place = feature.held_place()
        if place is None and "how" not in feature.weighed:
            continue
        found = weighed(of.garden, of.timeline, feature.id)
        if place is None and not any(isinstance(w, FrameWork) for one in found for w in one.works):
            continue
        head, rows, notes = rows_of(found, of.garden.style)
        demo = demo or any(w.reckoned.demo for w in found)
        told: list[Block] = [{"t": "heading", "s": of.words.name(feature.id)}, table_of(head, rows)]
        things.append([*told, *({"t": "small", "s": n} for n in notes)])
    if things:
        # Each thing is weighed up on one page; the last is kept with the caution.
        blocks = [*(kept_together(told) for told in things[:-1]), *things[-1]]
        closed = ended(blocks, [{"t": "small", "s": LIVES}, *care(of.garden, demo=demo)])
        yield Page(WORDS, closed, of.paper.size_mm, of.garden.name, foot=CARE)


def table_of(head: Sequence[str], rows: Sequence[Sequence[str]], size: float = 8.5) -> Block:
    """Return the table of ways as a block of a page."""
    cells: list[list[Any]] = [[{"s": r[0], "bold": n == 0}, *r[1:]] for n, r in enumerate(rows)]
    return {
        "t": "table", "head": list(head), "rows": cells, "widths": [2.3, 1.15, 0.8, 0.8, 0.95, 1.1, 1.05, 0.8, 1.35],
        "align": ["left", *["right"] * 7, "left"], "size": size, "inset": 1.2,
    }  # fmt: skip


def rows_of(found: Sequence[Weighed], style: Style) -> tuple[tuple[str, ...], list[tuple[str, ...]], list[str]]:
    """Return the head, a row for each way, and notes on what has no price, in the person's own units."""
    rows, notes = list[tuple[str, ...]](), list[str]()
    for w in found:
        r = w.reckoned
        rows.append((
            w.words, _money(r.sum, r.unpriced, style), format_hours(r.hours, style),
            format_hours(r.hired_hours, style) if r.hired_hours else "–", _life(w), _upkeep(w, style),
            "can't tell" if w.a_year is None else format_money(w.a_year, style, whole=True),
            format_mass(r.kg, style) if r.kg >= 1 else "not stated", _looked(w),
        ))  # fmt: skip
        if r.unpriced:
            many = f" and {len(r.unpriced) - 5} more" if len(r.unpriced) > 5 else ""
            notes.append(f"{w.words}: no price for {', '.join(r.unpriced[:5])}{many}.")
        if w.lasting.because:
            notes.append(f"{w.words}: how long it lasts can't be told: {w.lasting.because}.")
    return HEAD, rows, _few(notes)


def _few(notes: list[str]) -> list[str]:
    return (
        notes
        if len(notes) <= 6
        else [*notes[:6], f"And {len(notes) - 6} more such gaps: `quincunx cost --compare` names each."]
    )


def _money(sum_: int, unpriced: tuple[str, ...], style: Style) -> str:
    if not sum_:
        return "no price" if unpriced else "nothing"
    return format_money(sum_, style, whole=True) + (f" + {len(unpriced)} without a price" if unpriced else "")


def _life(w: Weighed) -> str:
    life = w.lasting.life
    if life is None:
        return "can't tell"
    return f"{life[0]} years" if life[0] == life[1] else f"{life[0]} to {life[1]} years"


def _upkeep(w: Weighed, style: Style) -> str:
    if not w.lasting.kept_known:
        return "can't tell"
    if not w.lasting.chores:
        return "next to none"
    money = format_money(w.upkeep_sum, style, whole=True) if w.upkeep_sum else ""
    return own_marks(f"{w.upkeep_hours:.1f} h", style) + (f", {money}" if money else "")


def _looked(w: Weighed) -> str:
    within, beyond, unknown = w.told
    said = [
        f"✗ {beyond} beyond" if beyond else "",
        f"? {unknown} can't tell" if unknown else "",
        f"✓ {within} within" if within else "",
    ]
    return ", ".join(s for s in said if s) or "–"
