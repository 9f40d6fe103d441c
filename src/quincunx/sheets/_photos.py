"""A photo on paper."""

from __future__ import annotations

import base64

from quincunx.sheets.book import Block


def photo(kind: str, data: bytes, size_mm: tuple[float, float]) -> Block:
    """Return a photo (MIME type, bytes) as a drawing, as large as its room lets it be [mm]."""
    wide, high = size_mm
    address = f"data:{kind};base64,{base64.b64encode(data).decode()}"
    picture = f'<image href="{address}" width="{wide}" height="{high}" preserveAspectRatio="xMidYMid meet"/>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}">{picture}</svg>'
    return {"t": "drawing", "svg": svg, "w": wide, "h": high}
