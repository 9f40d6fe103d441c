"""What is asked about on the command line, by its id or by what the person calls it."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

import click

if TYPE_CHECKING:
    from quincunx.garden import Garden


class NoSuchError(click.ClickException):
    """Nothing is called so: what was typed is at fault."""

    exit_code = 2


def id_of(word: str, there: Mapping[str, str], what: str = "thing", else_: str = "") -> str:
    """Return the id of what ``word`` names among ``there`` (names by id); a clear refusal that names near ones."""
    from quincunx.garden.called import CalledError, called

    try:
        return called(word, there, what, else_)
    except CalledError as error:
        raise NoSuchError(str(error)) from error


def job_of(garden: Garden, word: str) -> str:
    """Return the id of a job named by its id or its name."""
    return id_of(word, {j.id: j.name for j in garden.jobs}, "job")


def things(garden: Garden) -> dict[str, str]:
    """Return what each feature is called, by id."""
    return {f.id: f.called for f in garden.features}


def pegs(garden: Garden) -> dict[str, str]:
    """Return what each peg is called, by id."""
    return {p.id: p.name for p in garden.pegs}
