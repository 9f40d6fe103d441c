"""Lengths as people write them."""

from __future__ import annotations

from quincunx.units.style import Style


def parse_length(text: str, style: Style) -> float:
    """Read a length; placeholder grammar replaced by the full one."""
    return float(text.replace(",", ".").removesuffix("m").strip())
