"""A photo that is kept or given away holds the picture and nothing else; what is no picture is refused in a sentence."""

from __future__ import annotations

import io
import struct
import zlib

import pytest
from PIL import Image, ImageCms
from PIL.PngImagePlugin import PngInfo

from quincunx.review import photo
from quincunx.review.photo import BadPhoto, bare, smaller
from tests.photos import OWNER, a_picture

GPS, ARTIST = 0x8825, 0x013B
"""Where a camera writes the place and its owner: tags 34853 and 315 of Exif (CIPA DC-008, the list of tags; from memory)."""


def opened(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def assert_silent(data: bytes) -> None:
    image = opened(data)
    assert not image.getexif()
    assert not image.getexif().get_ifd(GPS)
    assert "comment" not in image.info
    assert OWNER.encode() not in data
    assert b"Exif" not in data


def light(image: Image.Image, at: tuple[int, int]) -> int:
    return int(image.convert("L").tobytes()[at[1] * image.width + at[0]])


def test_place_and_owner_are_taken_out_and_the_picture_stands_upright() -> None:
    told = a_picture((60, 40), told=True, turned=True)
    assert opened(told).getexif()[ARTIST] == OWNER
    assert opened(told).getexif().get_ifd(GPS), "the camera wrote where it was"
    kind, data = bare(told)
    assert kind == "image/jpeg"
    assert_silent(data)
    turned = opened(data)
    assert turned.size == (40, 60)
    assert abs(light(turned, (20, 5)) - light(turned, (20, 55))) > 100, "what ran from left to right runs downwards"


def test_a_picture_in_which_nothing_is_written_stays_byte_for_byte() -> None:
    for kind in ("JPEG", "PNG"):
        data = a_picture(kind=kind)
        assert bare(data) == (f"image/{kind.lower()}", data)


def test_what_else_a_file_can_say_is_taken_out_too() -> None:
    image, out = opened(a_picture(kind="PNG")), io.BytesIO()
    words = PngInfo()
    words.add_text("Author", OWNER)
    image.save(out, "PNG", pnginfo=words)
    kind, data = bare(out.getvalue())
    assert kind == "image/png"
    assert_silent(data)
    assert opened(data).convert("RGB").tobytes() == image.tobytes(), "no point of it is changed"
    out = io.BytesIO()
    image.save(out, "JPEG", comment=OWNER.encode())
    assert_silent(bare(out.getvalue())[1])
    assert_silent(bare(a_picture() + b"a film of the same moment by " + OWNER.encode())[1])


def chunk(name: bytes, body: bytes) -> bytes:
    """Return a part of a PNG: length, name, body, check sum (W3C, PNG Specification, section 5.3; from memory)."""
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


@pytest.mark.parametrize("name", [b"tIME", b"caBX", b"prVt"], ids=["moment", "origin", "private"])
@pytest.mark.parametrize("last", [False, True], ids=["first", "last"])
def test_parts_of_a_png_that_are_passed_over_when_it_is_opened_are_taken_out(name: bytes, last: bool) -> None:
    data = a_picture(kind="PNG")
    at = data.rindex(b"IEND") - 4 if last else data.index(b"IHDR") + 4 + 13 + 4
    told = data[:at] + chunk(name, OWNER.encode()) + data[at:]
    assert opened(told).tobytes() == opened(data).tobytes()
    kept = bare(told)[1]
    assert name not in kept
    assert_silent(kept)
    assert opened(kept).tobytes() == opened(data).tobytes()


def test_what_stands_where_a_jpeg_says_how_it_is_coded_is_taken_out() -> None:
    data, body = a_picture(), b"HEAPJPGM" + OWNER.encode()
    notes = b"\xff\xe0" + struct.pack(">H", 2 + len(body)) + body
    assert_silent(bare(data[:20] + notes + data[20:])[1])
    assert_silent(bare(data + OWNER.encode() + data)[1])


def test_what_is_clear_stays_clear_when_words_are_taken_out() -> None:
    image, words, out = Image.new("P", (8, 6), 0), PngInfo(), io.BytesIO()
    image.putpalette([255, 0, 0, 0, 255, 0])
    words.add_text("Author", OWNER)
    image.save(out, "PNG", transparency=0, pnginfo=words)
    kept = bare(out.getvalue())[1]
    assert_silent(kept)
    assert opened(kept).convert("RGBA").getpixel((4, 3)) == (255, 0, 0, 0)


def test_a_grey_of_sixteen_bits_keeps_its_greys() -> None:
    out = io.BytesIO()
    Image.new("I;16", (8, 6), 100 * 257).save(out, "PNG")
    assert abs(light(opened(smaller(out.getvalue(), 100)[1]), (4, 3)) - 100) <= 2


def test_colours_of_a_wide_screen_are_kept() -> None:
    profile, out = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes(), io.BytesIO()
    opened(a_picture()).save(out, "JPEG", icc_profile=profile, comment=b"x")
    assert opened(bare(out.getvalue())[1]).info["icc_profile"] == profile


def test_what_is_given_away_is_smaller_and_says_nothing() -> None:
    kind, data = smaller(a_picture((3000, 2000), told=True), 1000)
    assert kind == "image/jpeg"
    assert opened(data).size == (1000, 667)
    assert_silent(data)
    assert opened(smaller(a_picture((60, 40)), 1000)[1]).size == (60, 40), "none is made larger"
    glass, out = Image.new("RGBA", (8, 8), (255, 0, 0, 0)), io.BytesIO()
    glass.save(out, "PNG")
    assert light(opened(smaller(out.getvalue(), 100)[1]), (4, 4)) > 250, "what is clear lies on white paper"


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"GIF89a",
        b"\xff\xd8\xff\xe0 a",
        b"\x89PNG\r\n\x1a\n",
        a_picture((600, 400))[:400],
        a_picture((600, 400), kind="PNG")[:200],
    ],
    ids=["nothing", "gif", "start", "png-start", "cut-jpeg", "cut-png"],
)
def test_what_is_no_picture_is_refused_in_a_sentence(data: bytes) -> None:
    for ask in (bare, lambda d: smaller(d, 100)):
        with pytest.raises(BadPhoto, match=r"^The picture can't be read: it is damaged, or no JPEG or PNG\.$"):
            ask(data)


def test_a_picture_beyond_all_bounds_is_not_opened(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(photo, "MOST_POINTS", 2000)
    with pytest.raises(BadPhoto, match="Make it smaller first"):
        bare(a_picture((60, 40)))


def test_a_picture_that_says_it_is_beyond_all_bounds_is_refused_in_a_sentence() -> None:
    size = chunk(b"IHDR", struct.pack(">IIBBBBB", 20_000, 20_000, 8, 2, 0, 0, 0))
    data = b"\x89PNG\r\n\x1a\n" + size + chunk(b"IDAT", zlib.compress(b"0")) + chunk(b"IEND", b"")
    for ask in (bare, lambda d: smaller(d, 100)):
        with pytest.raises(BadPhoto, match="Make it smaller first"):
            ask(data)
