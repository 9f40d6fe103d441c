"""The command line: thin.  Each command lives in its own file and is loaded only when asked for."""

from __future__ import annotations

import atexit
import gc
import importlib
import os
import sys
import threading
from typing import Any

import click

from quincunx.cli._plainly import write_plainly
from quincunx.cli._say import say
from quincunx.units.errors import PlainError

COMMANDS: dict[str, str] = {
    "new": "Make a new garden file, asking six short questions.",
    "open": "Open a garden on the drawing board.",
    "measure": "Say where the stakes stand, which readings don't fit, and what to tape next.",
    "points": "Take in a file of corners or points: the boundary, the house, stakes.",
    "level": "Say how the ground lies by its levels, and what making a place level takes.",
    "outdoors": "Make a page of a job that works alone outdoors, and take in what comes back.",
    "check": "Judge what the garden must do, in every year.",
    "order": "Find the order of works that gives most for the money and hours.",
    "cost": "Work out what each job comes to: parts, cuts, money, hours.",
    "upkeep": "Say what keeps the built things falls due in which year; take it into the plan.",
    "prices": "Read a price list (CSV) into a garden, or write one to fill in.",
    "matters": "Say how much each job counts for; compare two jobs.",
    "soon": "List what to order, begin and go on with this month and the next.",
    "towards": "Say what must be done, and by when, for a thing or a view to come true.",
    "picture": "Draw one view with a job or a thing and without it, to send to somebody.",
    "give": "Write the garden as one page for somebody without the program.",
    "replan": "Plan again from today with the least change, as the journal says things went.",
    "print": "Write the sheets: PDF, SVG and DXF, the calendar and the cash table.",
    "plants": "Find plants by name, need or use; take in a table of your own.",
    "weather": "Take a place's climate from a table of days or a weather file of hours.",
    "water": "Say what must be watered, bed by bed, and how long the tanks last.",
    "raise": "Compare where plants could come from: bought, cuttings, divisions, a nursery row.",
    "prepare": "Make turf ready before it is planted: smother, improve, settle.",
    "hours": "Add up the hours that all that stands and grows takes to keep; set them aside.",
    "export": "Write a garden as JSON.",
    "import": "Make a garden file from JSON.",
    "schema": "Write the JSON Schema of a garden.",
    "demo": "Make a demonstration garden, check it, print it, show it.",
    "bench": "Measure an engine against general-purpose libraries.",
}
"""Every command with its one line of help; ``cli/_NAME.py`` holds it as ``command``."""

ALL_PLANS = frozenset({"new", "open", "schema", "demo", "bench"})
"""Commands that read no plan, or (the board) show every alternative of it; all others can be told which one to read."""


class _Lazy(click.Group):
    """A group that imports a command's file when the command is used."""

    def list_commands(self, ctx: click.Context) -> list[str]:
        """Return the commands in the order a person meets them."""
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, name: str) -> click.Command | None:
        """Return one command, or None if there is none of that name."""
        if name not in COMMANDS:
            return None
        command: click.Command = importlib.import_module(f"quincunx.cli._{name}").command
        if name not in ALL_PLANS and not any(p.name == "alternative" for p in command.params):
            command.params.append(importlib.import_module("quincunx.cli._files").alternative_option())
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the list of commands without importing any."""
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.command(cls=_Lazy, invoke_without_command=True, context_settings={"help_option_names": ["-h", "--help"]})
@click.option("--version", is_flag=True, help="Show the version and leave.")
@click.pass_context
def quincunx(ctx: click.Context, version: bool) -> None:
    """Plan a garden that takes years to build.

    Without a command the start page opens in the browser.
    """
    if version:
        from quincunx import __version__

        click.echo(f"quincunx {__version__}")
        ctx.exit()
    if ctx.invoked_subcommand is None:
        importlib.import_module("quincunx.cli._open").start()


def run() -> None:
    """Run the command line as a program, and leave without taking apart what the system takes back whole."""
    # Almost all that is made stays in use; looking through it for rubbish every 700 objects finds none.
    gc.set_threshold(100_000, 20, 100)
    write_plainly()
    code: int | str | None = 0
    try:
        main()
    except SystemExit as left:
        code = left.code
    if threading.active_count() > 1 or not isinstance(code, int):
        sys.exit(code)
    atexit._run_exitfuncs()  # noqa: SLF001 (there is no other way to call them)
    os._exit(code if _flushed() else 2)


def _flushed() -> bool:
    """Send off what was written; say so where it can't be, unless whoever reads has gone."""
    try:
        sys.stdout.flush()
        sys.stderr.flush()
    except BrokenPipeError:
        return True
    except OSError as error:
        os.write(2, f"quincunx: {error.strerror}.\n".encode())
        return False
    return True


def main(args: list[str] | None = None) -> None:
    """Run the command line; what a person did wrong is one sentence on stderr and exit code 2."""
    # Small matrices: the linear algebra's own threads only wait on each other.
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    try:
        code = quincunx.main(args=args, prog_name="quincunx", standalone_mode=False)
    except click.ClickException as error:
        _show(error)
        sys.exit(2)
    except (click.Abort, KeyboardInterrupt):
        say("Stopped. Nothing more was written.", err=True)
        sys.exit(130)
    except BrokenPipeError:
        sys.exit(0)
    except (PlainError, OSError) as error:
        for line in _sentences(error):
            say(line, err=True)
        sys.exit(2)
    sys.exit(code if isinstance(code, int) else 0)


def _show(error: click.ClickException) -> None:
    """Write what click found wrong, its sentence folded to the terminal."""
    if isinstance(error, click.UsageError) and error.ctx is not None:
        say(f"{error.ctx.get_usage()}\nTry “{error.ctx.command_path} --help”.\n", err=True)
    say(f"Error: {error.format_message()}", err=True)


def _sentences(error: Any) -> list[str]:
    faults = getattr(error, "faults", None)
    if faults:
        return [f"quincunx: {fault}" for fault in faults]
    if isinstance(error, OSError) and error.strerror:
        what = f"{error.filename}" if error.filename else "A file could not be written or read"
        return [f"quincunx: {what}: {error.strerror}."]
    return [f"quincunx: {error}"]
