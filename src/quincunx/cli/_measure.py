"""``quincunx measure``: readings in, places out, and what doesn't fit."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from threading import Timer
from typing import TYPE_CHECKING, Any, TextIO

import click

from quincunx.cli._files import FILE, load, looks_like_json, saving
from quincunx.cli._say import hand_on, say, terminal
from quincunx.units import capital, own_marks

if TYPE_CHECKING:
    from rich.console import Console
    from rich.table import Table

    from quincunx.garden import Edit, Garden
    from quincunx.review.ground import Measured


WIDEST = 500
"""A window as wide as no table is [columns]."""


@click.command("measure")
@click.argument("file", type=FILE)
@click.option(
    "--add",
    "readings",
    type=click.File("r", encoding="utf-8"),
    help="Readings, one a line (- reads what is typed or piped in), kept as one step that can be undone.",
)
@click.option("--by", "reader", metavar="NAME", default="", help="Who read them; kept with each that names nobody.")
@click.option("--boundary", metavar="STAKES", help='Draw the boundary through these stakes in order: "A B C D".')
@click.option(
    "--north",
    "sights",
    multiple=True,
    metavar="SIGHT",
    help='Say which way north is by a sight, such as "A>T shadow 2027-05-01 15:20"; may be given again.',
)
@click.option("--set-north", is_flag=True, help="Tell the plan what the sights say; nothing drawn moves.")
@click.option("--draw", metavar="WHAT: STAKES", help='Draw a thing through stakes, or one on each: "house: A B C D".')
@click.option(
    "--needle", is_flag=True, help="Count compass bearings from true north, by where the needle points today."
)
@click.option(
    "--lay",
    type=click.IntRange(1),
    metavar="WAY",
    help="Lay the stakes on the boundary as it was drawn before, in the way told by this number.",
)
@click.option(
    "--leave-out",
    "leave_out",
    metavar="CORNERS",
    help='Leave out the length that began the garden between two corners, "A B"; "all" for every one.',
)
@click.option("--json", "as_json", is_flag=True, help="One JSON document instead of the table.")
def command(
    file: Path,
    readings: TextIO | None,
    sights: tuple[str, ...],
    *,
    reader: str,
    set_north: bool,
    as_json: bool,
    **changes: Any,
) -> None:
    """Say where the stakes in FILE stand and how surely, which readings don't fit, and what to tape next.

    A reading is two stakes and a length, such as A B 12.34 or A B 12' 4 3/8"; others: A>B x 3.2 L 1.15 C (along,
    then left to C), A B C square, A B C straight, A>B sees C left, A B rises 0.12, A>B 134 deg, A>B 134 deg 12.34
    (one leg of a way walked by compass and tape).

    A sight for north is two stakes and the day: A>T shadow 2027-05-01 15:20 (the shadow of stake A ends at T),
    A>T noon 2027-05-01 (its shortest shadow), A>B compass 134.5 2027-05-01.
    """
    if readings is not None:
        _add(file, readings.read(), reader)
    for name, make in CHANGES.items():
        if changes[name] not in (None, False):
            make(file, changes[name])
    if sights:
        _north(file, sights, keep=set_north)
        return
    garden = load(file)
    if as_json:
        from quincunx.review.ground_report import ground_report

        hand_on(json.dumps(ground_report(garden), ensure_ascii=False, indent=1))
        return
    from quincunx.review.ground import measure

    with _patience():
        found = measure(garden)
    _say(garden, found)


@contextmanager
def _patience() -> Iterator[None]:
    """Say after a second, to a person who is there to read it, what takes so long and how to stop it."""
    words = "Working out where the stakes are; Ctrl+C stops it, and nothing is changed."
    timer = Timer(1.0, lambda: say(words, err=True))
    if sys.stderr.isatty():
        timer.start()
    try:
        yield
    finally:
        timer.cancel()


def _add(file: Path, text: str, reader: str) -> None:
    """Store the readings of ``text`` as one edit; a line that can't be read stops it, and nothing is stored."""
    from quincunx.review.ground_edits import with_readings
    from quincunx.survey.entry import reader_of, signed

    by = reader_of(reader)
    if reader and by != reader.strip():
        raise click.ClickException(
            f"A name is up to 24 letters, digits, spaces and dots, and begins with a letter; not {reader!r}."
        )
    text = "\n".join(signed(line, by) for line in text.splitlines())
    edit, problems = with_readings(load(file), text)
    if problems:
        lines = "\n".join(f"line {p.line}: {p.because}" for p in problems)
        raise click.ClickException(f"Nothing was stored. Mend these lines and try again:\n{lines}")
    if edit is None:
        raise click.ClickException("There is no reading in what was given. One is two stakes and a length: A B 12.34")
    commit(file, edit)


def _north(file: Path, sights: tuple[str, ...], *, keep: bool) -> None:
    """Say what each sight tells of north, and what they come to; keep it if asked."""
    from quincunx.review.true_north import COVERS, north_edit, northward

    garden = load(file)
    found = northward(garden, sights)
    for sight in found.sights:
        say(f"{sight.line}: {sight.words or sight.fault}")
    if found.turn_deg is None:
        raise click.ClickException(found.words)
    say(found.words)
    say(COVERS)
    if keep:
        edit = north_edit(garden, found)
        if edit is None:
            raise click.ClickException("The sights don't agree, so nothing was stored.")
        commit(file, edit)


def _bound(file: Path, said: str) -> None:
    from quincunx.review.ground_edits import boundary_edit

    commit(file, boundary_edit(load(file), said.replace(",", " ").split()))


def _lay(file: Path, way: int) -> None:
    from quincunx.review.laid import lay_edit, ways_to_lie

    garden = load(file)
    edit = lay_edit(garden, way - 1)
    if edit is None:
        count = len(ways_to_lie(garden))
        told = f"there are {count} ways to lay them" if count else "they lie so already, or fit no three of its corners"
        raise click.ClickException(f"The stakes can't be laid on the boundary in way {way}: {told}.")
    commit(file, edit)


def _leave_out(file: Path, said: str) -> None:
    from quincunx.review.begun_words import leave_out_said

    commit(file, leave_out_said(load(file), said))


def _draw(file: Path, said: str) -> None:
    from quincunx.review.from_stakes import drawn_edit

    what, colon, stakes = said.partition(":")
    if not colon:
        raise click.ClickException(f"{said!r} doesn't say what through which stakes. Write it so: house: A B C D")
    commit(file, drawn_edit(load(file), what.strip().lower(), stakes.replace(",", " ").split()))


def _needle(file: Path, _: object) -> None:
    from quincunx.board.clock import today
    from quincunx.review.true_north import needle_edit

    garden = load(file)
    edit = needle_edit(garden, today(garden.site.place))
    if edit is None:
        raise click.ClickException(
            "There is nothing to put right: the place isn't said, no bearing was read by a needle, or they are right."
        )
    commit(file, edit)


CHANGES: dict[str, Callable[[Path, Any], None]] = {
    "lay": _lay,
    "boundary": _bound,
    "draw": _draw,
    "needle": _needle,
    "leave_out": _leave_out,
}
"""What each option keeps in the file, in the order it is done."""


def commit(file: Path, edit: Edit) -> None:
    """Store an edit as one step that can be undone."""
    if looks_like_json(file):
        raise click.ClickException(
            f"{file.name} is JSON and keeps no history. Make a garden file of it: quincunx import."
        )

    with saving(file) as store:
        store.commit(edit)
    say(f"{edit.label}: stored as one step that can be undone.", err=True)


def _say(garden: Garden, m: Measured) -> None:
    """Print the stakes, then each sentence that asks for something."""
    from rich.text import Text

    from quincunx.review.ground import fall_words, summary
    from quincunx.review.laid import laid_words, turned_over, ways_to_lie

    console = terminal()
    console.print(Text(f"{garden.name}: {summary(m)}", style="bold"))
    if m.survey.stakes:
        _stakes(m, console)
    for sign, colour, words in _asks(garden, m):
        console.print(Text.assemble((f"{sign} ", colour), words))
    if over := turned_over(garden, m):
        console.print(Text.assemble(("! ", "red"), over))
    for n, way in enumerate(ways_to_lie(garden, m), start=1):
        words = f"{laid_words(garden, m, way)} Lay them on it: --lay {n}"
        console.print(Text.assemble(("? ", "yellow"), words))
    for words in (*_begun(m), *_told(m)):
        console.print(Text(words))
    for fall in m.falls:
        console.print(Text(f"  {fall_words(m, fall)}.", style="bright_black"))
    if not m.survey.readings:
        such = own_marks("A B 12.34", m.style) if m.style.system == "metric" else "A B 12' 4 3/8\""
        console.print(Text(f"Add readings, one a line such as {such}:"))
        sys.stdout.write("  quincunx measure FILE --add readings.txt\n")


def _begun(m: Measured) -> list[str]:
    """Return each length that began the garden beside what was taped since, and what is made of them."""
    from quincunx.review.begun_words import first_text, pair, since_text, state_words, together_words

    if not m.firsts:
        return []
    rows = []
    for f in m.firsts:
        a, b = pair(m, f.begun)
        since = f", since then {since_text(f, m.style)}" if f.since is not None else ""
        rows.append(f"  {a} to {b}: {first_text(f, m.style)}{since} ({state_words(f, m.style)})")
    return [f"The lengths that began the garden. {together_words(m)}".rstrip(), *rows]


def _told(m: Measured) -> list[str]:
    """Return what was walked by compass, leg by leg, and how the level book proves itself."""
    from quincunx.review.ground import book_words
    from quincunx.review.traversed import walked, walked_rows, walked_words

    out = list(book_words(m)) if any(b.book is not None for b in m.books) else []
    w = walked(m)
    if w is None:
        return out
    legs = [
        f"  {pair}: {turn} {far}, put right {better} {length}" for pair, turn, far, better, length in walked_rows(m, w)
    ]
    return [*walked_words(m, w), *legs, *out]


def _table(m: Measured, *, words: bool) -> Table:
    """Return where the stakes stand, with or without the words that say how surely."""
    from rich.table import Table

    from quincunx.units import format_length

    table = Table(box=None, pad_edge=False, padding=(0, 2), show_edge=False, header_style="bold")
    table.add_column("Stake")
    for head in ("east", "north", "level"):
        table.add_column(head, justify="right", no_wrap=True)
    if words:
        table.add_column("how surely", no_wrap=True)
    for s in m.survey.stakes:
        at, z = m.places.get(s.id), None if m.levels is None else m.levels.levels.get(s.id)
        lengths = ["–" if v is None else format_length(v, m.style, kind="tape") for v in (*(at or (None, None)), z)]
        table.add_row(s.name, *lengths, *([_surely(m, s.id)] if words else ()))
    return table


def _surely(m: Measured, stake: str) -> str:
    """Return in words how surely the place of a stake is known."""
    from quincunx.review.ground import sure_of

    return sure_of(m, stake) if stake in m.places else "has no place yet"


def _stakes(m: Measured, console: Console) -> None:
    """Print the table of stakes; where it is wider than the window, how surely each is known follows in lines."""
    wide = _table(m, words=True)
    fits = console.measure(wide, options=console.options.update(max_width=WIDEST)).maximum <= console.width
    console.print(wide if fits else _table(m, words=False))
    for s in () if fits else m.survey.stakes:
        console.print(f"  {s.name}: {_surely(m, s.id)}")


def _asks(garden: Garden, m: Measured) -> list[tuple[str, str, str]]:
    """Return sign, colour and sentence of all that asks for something, the gravest first."""
    from quincunx.review.begun_words import anew_words, apart_words, left_words
    from quincunx.review.ground import level_words, warm_words
    from quincunx.review.level_books import faults
    from quincunx.survey.words import mirror, next_tape, swing

    out = [
        ("!", "red", words)
        for words in (*m.suspects, *m.apart, *anew_words(garden, m), *apart_words(m), *level_words(m))
    ]
    out += [("i", "cyan", words) for words in warm_words(m)]
    for q in m.searched.adjusted.questions:
        start, end, point = (m.names[i] for i in (q.start, q.end, q.point))
        told = f"Answer with a reading: {start}>{end} sees {point} left, or right."
        out.append(("?", "yellow", f"{mirror(q, m.names)} {told}"))
    for s in m.searched.adjusted.swings:
        words = swing(s, m.names)
        out.append(("~", "yellow", f"{capital(words)}."))
    out += [("!", "red", words) for words in faults(m.books)]
    left = left_words(m)
    out += [("→", "green", left)] if left else []
    return out + [("→", "green", next_tape(n, m.names, m.style)) for n in m.next[:1]]
