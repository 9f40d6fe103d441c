"""Months of the jobs, for the commands that find them: written, and kept in the garden file."""

from __future__ import annotations

import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from quincunx.cli._files import looks_like_json, saving
from quincunx.cli._say import say

if TYPE_CHECKING:
    from quincunx.years.problem import Problem


def month_of(problem: Problem, start: int | None) -> str | None:
    """Write a start month of a problem as ``2028-06``; None for a job that is not done."""
    if start is None:
        return None
    year, month = problem.calendar(start)
    return f"{year:04d}-{month:02d}"


def keep_edit(file: Path, edit: Any, one: str = "job has a new month", many: str = "jobs have new months") -> None:
    """Write an edit of the jobs' months, or of what ``one`` and ``many`` call it, into the garden file, as one step."""
    from quincunx.units.words import counted

    if looks_like_json(file):
        raise click.ClickException(
            f"{file.name} is JSON and has no history. Make a garden file of it with `quincunx import`, then order that."
        )
    if not edit.ops:
        say("The jobs already have these months.", err=True)
        return
    with saving(file) as store:
        store.commit(edit)
    sys.stderr.write(f"{counted(len(edit.ops), one, many)} in {file}; undo takes that back.\n")
