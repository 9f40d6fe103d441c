"""``quincunx open``: the drawing board; without a file, the start page."""

from __future__ import annotations

from pathlib import Path

import click

from quincunx.cli._files import FILE


@click.command("open")
@click.argument("file", type=FILE)
@click.option("--port", type=click.IntRange(0, 65535), default=0, help="Port to serve on; 0 lets the system choose.")
@click.option("--show/--no-show", default=True, help="Open the browser.")
@click.option("--copies", is_flag=True, help="List the dated copies of FILE instead.")
def command(file: Path, port: int, show: bool, copies: bool) -> None:
    """Open the garden in FILE on the drawing board."""
    if copies:
        from quincunx.store import list_copies

        for path in list_copies(file):
            click.echo(path)
        return
    show_file(file, port=port, show=show)


def show_file(file: Path | None, *, port: int = 0, show: bool = True) -> None:
    """Serve the board for a file (None: the start page) until Ctrl-C."""
    from quincunx.board import run

    run(file, port=port, show=show)


def start() -> None:
    """Serve the start page until Ctrl-C."""
    show_file(None)
