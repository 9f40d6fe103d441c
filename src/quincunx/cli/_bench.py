"""``quincunx bench``: an engine against general-purpose libraries."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import click


def folder() -> Path:
    """Return where the benchmarks lie in a source tree."""
    return Path(__file__).resolve().parents[3] / "benches"


@click.command("bench", context_settings={"ignore_unknown_options": True})
@click.argument("name")
@click.argument("more", nargs=-1, type=click.UNPROCESSED)
@click.pass_context
def command(ctx: click.Context, name: str, more: tuple[str, ...]) -> None:
    """Measure the engine NAME; --small for a quick run, --json for one JSON object as the last line."""
    names = sorted(p.stem for p in folder().glob("*.py") if not p.stem.startswith("_")) if folder().is_dir() else []
    if not names:
        raise click.ClickException("The benchmarks come with the source tree, not with the installed package.")
    if name not in names:
        raise click.ClickException(f"There is no benchmark {name!r}. There are: {', '.join(names)}.")
    ctx.exit(subprocess.run([sys.executable, str(folder() / f"{name}.py"), *more], check=False).returncode)  # noqa: S603 - this project's own scripts
