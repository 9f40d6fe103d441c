"""``quincunx print``: the sheets as PDF, the plan as SVG and DXF, the works as a calendar and a workbook."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from quincunx.cli._called import id_of, pegs, things
from quincunx.cli._files import FILE, keeping, load, now
from quincunx.cli._progress import progress
from quincunx.cli._say import say

if TYPE_CHECKING:
    from quincunx.garden import Garden
    from quincunx.review import Review
    from quincunx.review.judging import Progress


@click.command("print")
@click.argument("file", type=FILE)
@click.option(
    "--out", type=FILE, default=Path("out"), show_default=True, help="Folder to write into; made if it is not there."
)
@click.option(
    "--paper", type=click.Choice(["A4", "A3", "Letter", "Tabloid"]), help="Paper; the garden's own if left out."
)
@click.option("--sheet", "sheets", multiple=True, help="Only this sheet; may be given again.")
@click.option(
    "--set",
    "few",
    help="Only a small set: to-carry (what to take outdoors for the next job, or the job of --about), or to-help (the"
    " same for whoever helps, without money).",
)
@click.option(
    "--about",
    default="",
    help="Only the thing, job, peg or must with this id, on sheets about one (the cane test, the same-spot book, how it comes"
    " true, with it and without).",
)
@click.option("--scale", type=click.FloatRange(1, 5000), help="Draw plans at 1 to this; tiled if they don't fit.")
def command(
    file: Path,
    out: Path,
    paper: str | None,
    sheets: tuple[str, ...],
    few: str | None,
    about: str,
    scale: float | None,
) -> None:
    """Write the sheets of the garden in FILE.

    Beside them come the plan of the last year as SVG and DXF, the works as a calendar (ICS), and the money and hours
    as a workbook (XLSX), and the bill of quantities as another.  For contractors come a drawing with a layer for each
    trade (DXF) and the requests for a price to fill in (XLSX and CSV).
    """
    if few is not None:
        if sheets:
            raise click.UsageError("Name sheets, or one small set with --set: not both.")
        say(write_few(file, out, few, paper, scale, about))
        _say_letters(file)
        return
    empty: list[str] = []
    for path in write(file, out, paper, sheets, scale, about=about, empty=empty):
        click.echo(path)
    _say_empty(empty)
    _say_letters(file)


def _say_empty(names: list[str]) -> None:
    """Say which sheets are left out because they would hold nothing."""
    if names:
        say(
            f"Left out, as there is nothing on them yet: {', '.join(names)}. Name one with --sheet to read what it needs.",
            err=True,
        )


def _say_letters(file: Path) -> None:
    """Say which names can't be printed as they are written."""
    from quincunx.garden.letters import REMEDY, unprinted

    words, _ = unprinted(load(file))
    if words:
        say(f"{words} {REMEDY}", err=True)


def write_few(
    file: Path, out: Path, name: str, paper: str | None = None, scale: float | None = None, about: str = ""
) -> Path:
    """Write the small set called ``name`` as one PDF into ``out`` and return its path; written whole or not at all."""
    from quincunx.sheets import prepare
    from quincunx.sheets.few import few_called, pdf_of

    few = few_called(name)
    garden = load(file)
    with progress() as tell, keeping(file) as keep:
        of = prepare(
            garden,
            paper=paper,
            judged=judged_by(garden, tell),
            tell=tell,
            keep=keep,
            about=known(garden, about),
            pictures=getattr(keep, "picture", None),
        ).since(now(garden))
        tell("Drawing", 0.5)
        data = pdf_of(of, few, scale, f"{garden.name}, printed from {file.name}")
    out.mkdir(parents=True, exist_ok=True)
    return put_whole(out / f"{file.stem}-{few.id}.pdf", data)


def write(
    file: Path,
    out: Path,
    paper: str | None = None,
    sheets: tuple[str, ...] = (),
    scale: float | None = None,
    judged: Review | None = None,
    about: str = "",
    empty: list[str] | None = None,
) -> list[Path]:
    """Write PDF, SVG, DXF, ICS and XLSX into ``out`` and return their paths; each is written whole or not at all.

    ``judged`` saves judging again what has been judged already; the names of sheets left out for holding nothing are
    added to ``empty``.
    """
    from quincunx.sheets import pdf, prepare, quotation
    from quincunx.sheets._builds import BUILDS
    from quincunx.sheets.asked_book import asked_book, asked_table
    from quincunx.sheets.bill_book import bill_book
    from quincunx.sheets.calendar_file import calendar_file
    from quincunx.sheets.care_calendar import care_calendar
    from quincunx.sheets.dxf import dxf
    from quincunx.sheets.money_book import money_book
    from quincunx.sheets.svg import Look, draw
    from quincunx.sheets.trades_dxf import trades_dxf

    garden = load(file)
    with progress() as tell, keeping(file) as keep:
        of = prepare(
            garden,
            paper=paper,
            judged=judged or judged_by(garden, tell),
            tell=tell,
            keep=keep,
            about=known(garden, about),
            pictures=getattr(keep, "picture", None),
        ).since(now(garden))
        tell("Drawing", 0.5)
        year = of.timeline.years[-1]
        figures = [*of.summer(year).figures, *of.frame(), *of.own_marks()]
        made = f"{garden.name}, printed from {file.name}"
        parts = {
            f"{file.stem}.pdf": pdf(of, sheets, scale, made, empty),
            f"{file.stem}-{year}.svg": draw(figures, of.bounds, Look(scale or 100.0, garden.style)).encode(),
            f"{file.stem}-{year}.dxf": dxf(figures, garden.style).encode(),
            f"{file.stem}.ics": calendar_file(of),
            f"{file.stem}-care.ics": care_calendar(of),
            f"{file.stem}-money.xlsx": money_book(of),
        }
        if not sheets or set(sheets) & {s.ID for s in BUILDS}:
            parts[f"{file.stem}-bill.xlsx"] = bill_book(of)
        if not sheets or quotation.ID in sheets:
            parts[f"{file.stem}-works.dxf"] = trades_dxf(of).encode()
            parts[f"{file.stem}-prices-asked.xlsx"] = asked_book(of)
            parts[f"{file.stem}-prices-asked.csv"] = asked_table(of).encode("utf-8-sig")
    out.mkdir(parents=True, exist_ok=True)
    return [put_whole(out / name, data) for name, data in parts.items()]


def judged_by(garden: Garden, tell: Progress) -> Review:
    """Return the garden judged, with what was found in earlier runs."""
    from quincunx.review import Verdicts, review

    known = Verdicts.of_user()
    result = review(garden, progress=tell, known=known, today=now(garden))
    known.close()
    return result


def known(garden: Garden, about: str) -> str:
    """Return the id of a thing, job, must or peg by its id or what it is called; a clear refusal if there is none."""
    if not about:
        return ""
    there = {m.id: m.id for m in garden.intents} | pegs(garden) | {j.id: j.name for j in garden.jobs} | things(garden)
    return id_of(about, there, else_="`quincunx export` lists the features and pegs by their ids.")


def put_whole(path: Path, data: bytes) -> Path:
    """Write a file whole or not at all; return it."""
    part = path.with_name(f".{path.name}.part")
    try:
        part.write_bytes(data)
        part.replace(path)
    finally:
        part.unlink(missing_ok=True)
    return path
