"""Photos for paper and pages: made small, and never with anything in them but the picture."""

from __future__ import annotations

import base64
from hashlib import blake2b

from quincunx.review.latest import Latest
from quincunx.review.photo import BadPhoto, smaller
from quincunx.sheets.book import Block

PRINTED_PX = 1600
"""The longer side of a photo on paper [pixels]: 300 to the inch, 135 mm wide (our own choice); a wider one is coarser."""
_MADE: Latest[tuple[str, bytes]] = Latest(160)
"""Photos made small lately, by what was in them and how large they are; no bytes where one can't be read."""


def small(data: bytes, longest_px: int) -> tuple[str, bytes] | None:
    """Return a photo as (MIME type, bytes), its longer side ``longest_px`` at most; None if it can't be read.

    One that can't be read is never given as it is: nobody could say what its camera wrote into it.  Each is made once.
    """
    key = (blake2b(data, digest_size=16).digest(), longest_px)
    made = _MADE.get(key)
    if made is None:
        try:
            made = smaller(data, longest_px)
        except BadPhoto:
            made = ("", b"")
        _MADE.put(key, made)
    return made if made[1] else None


def address_in(kind: str, data: bytes) -> str:
    """Return a picture as an address that holds it."""
    return f"data:{kind};base64,{base64.b64encode(data).decode()}"


def photo(data: bytes, size_mm: tuple[float, float]) -> Block | None:
    """Return a photo as a drawing, as large as its room lets it be [mm]; None if it can't be read."""
    made = small(data, PRINTED_PX)
    if made is None:
        return None
    wide, high = size_mm
    picture = f'<image href="{address_in(*made)}" width="{wide}" height="{high}" preserveAspectRatio="xMidYMid meet"/>'
    svg = f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {wide} {high}">{picture}</svg>'
    return {"t": "drawing", "svg": svg, "w": wide, "h": high}
