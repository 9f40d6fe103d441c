"""The command line: thin; each command imports what it needs when it runs."""

from __future__ import annotations

import click

from quincunx import __version__


@click.group(invoke_without_command=True)
@click.version_option(__version__, message="quincunx %(version)s")
def main() -> None:
    """Plan a garden that takes years to build."""
