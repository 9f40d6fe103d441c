"""Sentences on a terminal: folded between words where it is narrow, whole where something else reads them."""

from __future__ import annotations

import os
import shutil
import sys
import textwrap
from typing import TYPE_CHECKING, Any

import click

if TYPE_CHECKING:
    from rich.console import Console

LEAST = 40
"""Nothing is folded narrower than this [columns]."""


def columns(*, err: bool = False) -> int | None:
    """Return how wide the terminal is; None where the words go to a file or another program that told no width."""
    stream = sys.stderr if err else sys.stdout
    if not os.environ.get("COLUMNS", "").isdecimal() and not stream.isatty():
        return None
    return max(shutil.get_terminal_size().columns, LEAST)


def folded(text: str, wide: int | None, used: int = 0) -> str:
    """Return text in lines no wider than ``wide``, what is folded a little further in; ``used`` columns stand before it."""
    if wide is None:
        return text
    out = []
    for n, line in enumerate(text.split("\n")):
        before = used if n == 0 else 0
        inset = len(line) - len(line.lstrip(" "))
        further = " " * min(inset + 2, wide // 2)
        rows = textwrap.wrap(
            line.lstrip(" "), wide, initial_indent=" " * (inset + before), subsequent_indent=further,
            break_long_words=False, break_on_hyphens=False,
        )  # fmt: skip
        out.append("\n".join(rows)[before:] if rows else "")
    return "\n".join(out)


def say(text: Any = "", *, err: bool = False) -> None:
    """Write text, folded to the terminal."""
    click.echo(folded(str(text), columns(err=err)), err=err)


def hand_on(text: str, end: str = "\n") -> None:
    """Write a document for other programs: whole, and in UTF-8 whatever alphabet the system's own files have."""
    text += end
    click.echo(text if sys.stdout.isatty() else text.encode(), nl=False)


def terminal() -> Console:
    """Return the terminal for tables: names are written as they are, whatever brackets are in them."""
    from rich.console import Console

    return Console(highlight=False, markup=False)
