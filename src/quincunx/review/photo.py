"""A photo as it may be kept or given away: upright, no larger than is of use, and without what the camera wrote into it.

Cameras write the place, the moment, their owner's name and more into a file; none of that is kept.
"""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from quincunx.units.errors import PlainError

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_POINTS = 60_000_000
"""A picture of more points than this is not opened."""
QUALITY = 90
GIVEN_QUALITY = 80
"""JPEG's own scale of how much is kept of a picture: kept as it is, and made smaller to give away (our own choice)."""
KINDS = {"JPEG": "image/jpeg", "PNG": "image/png"}
PLAIN = frozenset({
    "jfif", "jfif_version", "jfif_unit", "jfif_density", "dpi", "adobe", "adobe_transform", "progressive", "progression",
    "icc_profile", "srgb", "gamma", "transparency", "interlace", "chromaticity", "default_image",
})  # fmt: skip
"""What Pillow tells of a file and what says nothing of who took the picture, where and when."""
SEGMENTS = frozenset({"APP0", "APP14"})
COLOURS = b"ICC_PROFILE\x00"
ENDS = {"JPEG": b"\xff\xd9", "PNG": b"IEND\xaeB\x60\x82"}
"""With what a file of each kind ends; what follows is something else, such as a film of the same moment."""


class BadPhoto(PlainError, ValueError):
    """The picture can't be kept; the sentence says why."""


def bare(data: bytes) -> tuple[str, bytes]:
    """Return a JPEG or PNG as (MIME type, bytes) with nothing in it but the picture; :class:`BadPhoto` if it is none.

    One in which the camera wrote nothing stays as it is, byte for byte.
    """
    image = _opened(data)
    kind = str(image.format)
    if kind in KINDS and _is_bare(image, data):
        return KINDS[kind], data
    return _saved(image, "PNG" if kind == "PNG" else "JPEG", QUALITY)


def smaller(data: bytes, longest_px: int) -> tuple[str, bytes]:
    """Return a picture as a JPEG (MIME type, bytes), its longer side ``longest_px`` at most, with nothing else in it."""
    from PIL.Image import Resampling

    image = _opened(data)
    image.thumbnail((longest_px, longest_px), Resampling.LANCZOS)
    return _saved(image, "JPEG", GIVEN_QUALITY)


def _opened(data: bytes) -> Image:
    """Return the picture, turned upright and read whole."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        image = Image.open(io.BytesIO(data), formats=("JPEG", "PNG", "MPO"))
        _refuse_size(image)
        image.load()
        ImageOps.exif_transpose(image, in_place=True)
    except BadPhoto:
        raise
    except (
        UnidentifiedImageError,
        OSError,
        ValueError,
        SyntaxError,
        TypeError,
        KeyError,
        EOFError,
        OverflowError,
    ) as error:
        raise BadPhoto("The picture can't be read: it is damaged, or no JPEG or PNG.") from error
    return image


def _refuse_size(image: Image) -> None:
    if image.width * image.height > MOST_POINTS:
        raise BadPhoto(f"The picture is larger than {MOST_POINTS // 1_000_000} million points. Make it smaller first.")


def _is_bare(image: Image, data: bytes) -> bool:
    segments = getattr(image, "applist", ())
    strange = [
        name for name, body in segments if name not in SEGMENTS and not (name == "APP2" and body.startswith(COLOURS))
    ]
    return (
        not strange
        and set(image.info) <= PLAIN
        and not getattr(image, "text", None)
        and data.endswith(ENDS[str(image.format)])
    )


def _saved(image: Image, kind: str, quality: int) -> tuple[str, bytes]:
    from PIL import Image

    colours = image.info.get("icc_profile")
    if kind == "JPEG" and image.mode not in ("RGB", "L", "CMYK"):
        whole = image.convert("RGBA")
        image = Image.new("RGB", whole.size, "white")
        image.paste(whole, mask=whole.getchannel("A"))
    else:
        image = image.copy()
    image.info = {}
    out = io.BytesIO()
    more = {"icc_profile": colours} if colours else {}
    if kind == "JPEG":
        image.save(out, "JPEG", quality=quality, optimize=True, **more)
    else:
        image.save(out, "PNG", optimize=True, **more)
    return KINDS[kind], out.getvalue()
