"""``quincunx new``: the first ten minutes, in the terminal."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

import click

from quincunx.cli._files import FILE
from quincunx.cli._say import say

FIRST_SHEETS = ("years-table", "plan", "saturday")
"""What is printed at the end of the first ten minutes: an answer by year, the plan, the page for Saturday."""


@click.command("new")
@click.argument("file", type=FILE)
@click.option("--corners", type=FILE, help="A file with the corners of the ground, instead of taped sides.")
def command(file: Path, corners: Path | None) -> None:
    """Make the garden file FILE, asking six short questions.

    Nothing but the ground is compulsory: press Enter to leave a question for later.  At the end the garden is
    judged, and its plan and a page for Saturday are printed if wished.
    """
    from quincunx.cli._asking import Questions
    from quincunx.garden import GardenError
    from quincunx.garden.starting import begin
    from quincunx.store import Store, StoreError

    if file.exists():
        raise StoreError(f"There is already a file {file.name}. Choose another name, or open that one.")
    questions = Questions(file.stem.replace("-", " ").capitalize(), datetime.now().astimezone().date(), corners)
    questions.all()
    while True:
        try:
            garden = begin(questions.answers())
            break
        except GardenError as error:
            for fault in error.faults:
                say(f"  {fault.sentence}", err=True)
            say("Let's take that again; the rest is kept.\n", err=True)
            questions.again(error)
    Store.create(file, garden).close()
    say(f"\n{garden.name} is in {file}.\n")
    _answer(file)
    if click.confirm("\nPrint its plan and a page for Saturday now?", default=True):
        from quincunx.cli._print import write

        for path in write(file, file.parent / f"{file.stem}-papers", sheets=FIRST_SHEETS):
            if path.suffix == ".pdf":
                say(f"  {path}")
    say(f"Go on drawing:            quincunx open {file}")
    say(f"What it must do, by year: quincunx check {file}")


def _answer(file: Path) -> None:
    """Say what the garden must do and whether it does, year by year."""
    from quincunx.cli._check import show

    show(file)
