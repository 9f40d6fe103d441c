"""Quincunx plans a garden that takes years to build."""

from __future__ import annotations

__all__ = ["__version__", "version"]

__version__ = "0.1.0"
"""The one place that names the version; the package's metadata is built from it."""


def version() -> str:
    """Return the version of the package."""
    return __version__
