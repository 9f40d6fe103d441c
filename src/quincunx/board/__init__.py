"""The drawing board's server: one garden, one person, this machine only."""

from __future__ import annotations

from pathlib import Path


def run(file: Path | None, *, port: int = 0, show: bool = True) -> None:
    """Serve the board for ``file`` (None: the start page) until Ctrl-C; ``port`` 0 lets the system choose."""
    from quincunx.board.launch import run as launch

    launch(file, port=port, show=show)


__all__ = ["run"]
