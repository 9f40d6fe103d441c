"""A photo as it may be kept or given away: upright, no larger than is of use, and without what the camera wrote into it.

Cameras write the place, the moment, their owner's name and more into a file; none of that is kept.
"""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import TYPE_CHECKING, Protocol

from quincunx.units.errors import PlainError

if TYPE_CHECKING:
    from PIL.Image import Image

MOST_POINTS = 60_000_000
"""A picture of more points than this is not opened."""
QUALITY = 90
GIVEN_QUALITY = 80
"""JPEG's own scale of how much is kept of a picture: kept as it is, and made smaller to give away (our own choice)."""
PNG_START = b"\x89PNG\r\n\x1a\n"
KINDS = {"JPEG": "image/jpeg", "PNG": "image/png"}
PLAIN = frozenset({
    "jfif", "jfif_version", "jfif_unit", "jfif_density", "dpi", "adobe", "adobe_transform", "progressive", "progression",
    "icc_profile", "srgb", "gamma", "transparency", "interlace", "chromaticity", "default_image",
})  # fmt: skip
"""What Pillow tells of a file and what says nothing of who took the picture, where and when."""
SEGMENTS = {"APP0": (b"JFIF\x00", 14), "APP14": (b"Adobe", 12)}
"""Segments of a JPEG that say how it is coded: how each begins and how long it is [bytes] (ITU-T T.871 and T.872; from memory).
One of another kind or length holds something else: old cameras put their own notes there."""
COLOURS = b"ICC_PROFILE\x00"
CHUNKS = frozenset({
    b"IHDR", b"PLTE", b"IDAT", b"IEND", b"tRNS", b"cHRM", b"gAMA", b"iCCP", b"sBIT", b"sRGB", b"cICP", b"bKGD", b"pHYs",
})  # fmt: skip
"""Parts of a PNG that say how it is drawn (W3C, PNG Specification, section 11; from memory); any other may say who and when."""
ENDS = {"JPEG": b"\xff\xd9", "PNG": b"IEND\xaeB\x60\x82"}
"""With what a file of each kind ends; what follows is something else, such as a film or a second picture of the same moment."""
DEEP = 257
"""A grey of 16 bits is so many times the same grey of 8 (65535 / 255)."""


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


def bare_or_none(data: bytes) -> tuple[str, bytes] | None:
    """Return a picture as :func:`bare` does; None where it can't be read."""
    try:
        return bare(data)
    except BadPhoto:
        return None


class Kept(Protocol):
    """Where photos are kept: the garden's file."""

    def unread(self) -> list[str]:
        """Return the ids of those that could not be read."""

    def clean(self, bare: Callable[[bytes], tuple[str, bytes] | None]) -> int:
        """Keep those of an older program as ``bare`` returns them; return how many were changed."""


def clean(kept: Kept) -> list[str]:
    """Clean the photos that an older program kept as they came; return what is to be said of it, a sentence or two each."""
    before = len(kept.unread())
    cleaned = kept.clean(bare_or_none)
    odd = len(kept.unread()) - before
    return [*([cleaned_words(cleaned)] if cleaned else []), *([unread_words(odd)] if odd > 0 else [])]


def cleaned_words(count: int) -> str:
    """Return what is said when photos that were kept before such things were taken out have been cleaned."""
    what = "a photo that was" if count == 1 else f"{count} photos that were"
    return (
        f"Taken out of {what} kept by an older program: the place, the moment and the names that cameras write into them."
        " Nothing else has changed; dated copies of the file made before still hold them."
    )


def unread_words(count: int) -> str:
    """Return what is said of photos that can't be read, and so were not cleaned."""
    one = count == 1
    return (
        f"{'A photo' if one else f'{count} photos'} in the file can’t be read, so nobody can say what the camera wrote into"
        f" {'it' if one else 'them'}: {'it stays' if one else 'they stay'} as {'it is' if one else 'they are'}, and"
        f" {'is' if one else 'are'} never printed or given away."
    )


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
    except Image.DecompressionBombError as error:
        raise _too_large() from error
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
        raise _too_large()


def _too_large() -> BadPhoto:
    return BadPhoto(f"The picture is larger than {MOST_POINTS // 1_000_000} million points. Make it smaller first.")


def _is_bare(image: Image, data: bytes) -> bool:
    end = ENDS[str(image.format)]
    known = _plain_chunks(data) if image.format == "PNG" else all(_plain(*one) for one in getattr(image, "applist", ()))
    return known and set(image.info) <= PLAIN and data.find(end) == len(data) - len(end)


def _plain(name: str, body: bytes) -> bool:
    """Return whether a segment of a JPEG says no more than how it is coded and what its colours are."""
    if name == "APP2":
        return body.startswith(COLOURS)
    start, long = SEGMENTS.get(name, (b"", -1))
    return len(body) == long and body.startswith(start)


def _plain_chunks(data: bytes) -> bool:
    """Return whether a PNG holds only such parts as draw it: Pillow passes over the others without a word."""
    at = len(PNG_START)
    while at + 8 <= len(data):
        if data[at + 4 : at + 8] not in CHUNKS:
            return False
        at += 12 + int.from_bytes(data[at : at + 4], "big")
    return True


def _saved(image: Image, kind: str, quality: int) -> tuple[str, bytes]:
    from PIL import Image

    more = {name: image.info[name] for name in ("icc_profile", "transparency") if image.info.get(name) is not None}
    if kind == "JPEG" and image.mode.startswith("I"):
        image = image.convert("I").point(lambda grey: grey * (1 / DEEP)).convert("L")
    if kind == "JPEG" and image.mode not in ("RGB", "L", "CMYK"):
        whole = image.convert("RGBA")
        image = Image.new("RGB", whole.size, "white")
        image.paste(whole, mask=whole.getchannel("A"))
    else:
        image = image.copy()
    image.info = {}
    out = io.BytesIO()
    if kind == "JPEG":
        more.pop("transparency", None)
        image.save(out, "JPEG", quality=quality, optimize=True, **more)
    else:
        image.save(out, "PNG", optimize=True, **more)
    return KINDS[kind], out.getvalue()
