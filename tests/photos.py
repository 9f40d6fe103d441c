"""Photos as a camera writes them, with the place and its owner's name in them; invented ones."""

from __future__ import annotations

import base64
import io

from PIL import Image

OWNER = "Wren Hallam"


def a_picture(
    size: tuple[int, int] = (60, 40), kind: str = "JPEG", *, told: bool = False, turned: bool = False
) -> bytes:
    """Return a picture file: brighter to the right; ``told`` writes place and owner into it, ``turned`` that it lies on its side."""
    image = Image.linear_gradient("L").rotate(90).resize(size).convert("RGB")
    out, more = io.BytesIO(), {}
    if told or turned:
        exif = Image.Exif()
        exif[0x0112] = 6 if turned else 1
        if told:
            exif[0x013B] = OWNER
            where = exif.get_ifd(0x8825)
            where[1], where[2] = "N", (52.0, 12.0, 34.0)
        more = {"exif": exif}
    image.save(out, kind, **more)
    return out.getvalue()


def a_photo(size: tuple[int, int] = (60, 40), kind: str = "JPEG", *, told: bool = False) -> str:
    """Return a picture as a data address."""
    return f"data:image/{kind.lower()};base64,{base64.b64encode(a_picture(size, kind, told=told)).decode()}"
