"""Photos of strangers' phones: what is shown holds their pixels and nothing else of them."""

import struct
import subprocess
import sys
import zlib
from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from shop.picture.errors import NotRead
from shop.picture.photo import MOST_SIDE, NOTHING, clean_copy
from tests.programs import ROOT

SECRET = b"<script>alert(1)</script>"
# EXIF tags (JEITA CP-3451): orientation 6 = turned a quarter to the right; camera; GPS directory.
ORIENTATION, MAKE, GPS = 0x0112, 0x010F, 0x8825


def a_photo(kind: str = "JPEG", size: tuple[int, int] = (60, 40), **more: object) -> bytes:
    """Red on the left, blue on the right."""
    image = Image.new("RGB", size, "blue")
    image.paste((255, 0, 0), (0, 0, size[0] // 2, size[1]))
    out = BytesIO()
    image.save(out, kind, **more)
    return out.getvalue()


def opened(data: bytes) -> Image.Image:
    return Image.open(BytesIO(data))


def with_place_and_camera() -> bytes:
    """As a phone writes it that was held upright: lying pixels and a word on how to turn them."""
    exif = Image.Exif()
    exif[ORIENTATION], exif[MAKE] = 6, "Sugarcam"
    exif.get_ifd(GPS)[2] = (51.0, 30.0, 12.0)
    return a_photo(exif=exif, comment=b"Maren at the kettle")


def test_where_and_by_what_it_was_taken_stays_behind() -> None:
    before = with_place_and_camera()
    assert b"Sugarcam" in before
    assert b"Maren" in before
    copy = clean_copy(before + SECRET)
    assert [secret for secret in (b"Sugarcam", b"Maren", b"Exif", SECRET) if secret in copy] == []
    assert dict(opened(copy).getexif()) == {}
    assert opened(copy).info.keys() <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}


def test_it_stands_upright() -> None:
    """Turned a quarter to the right, the left half is above."""
    upright = opened(clean_copy(with_place_and_camera()))
    assert upright.size == (40, 60)
    pixels = np.asarray(upright.convert("RGB")).astype(int)
    assert pixels[5, 20, 0] > 200 > 60 > pixels[5, 20, 2]
    assert pixels[55, 20, 2] > 200 > 60 > pixels[55, 20, 0]


@pytest.mark.parametrize(("kind", "becomes"), [("JPEG", "JPEG"), ("PNG", "PNG"), ("WEBP", "JPEG")])
def test_each_kind_becomes_one_that_every_browser_shows(kind: str, becomes: str) -> None:
    copy = opened(clean_copy(a_photo(kind)))
    assert (copy.format, copy.size) == (becomes, (60, 40))


def test_a_large_one_is_made_smaller_and_keeps_its_shape() -> None:
    copy = opened(clean_copy(a_photo(size=(5000, 2500))))
    assert copy.size == (MOST_SIDE, MOST_SIDE // 2)


def test_the_pixels_of_a_drawing_are_the_same() -> None:
    before = a_photo("PNG")
    assert np.array_equal(np.asarray(opened(clean_copy(before))), np.asarray(opened(before)))


def a_png_bomb(side: int = 60_000) -> bytes:
    """A few kilobytes that say they have side × side pixels (PNG, W3C 2003, section 11.2.2)."""

    def chunk(name: bytes, data: bytes) -> bytes:
        return (
            struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))
        )

    header = chunk(b"IHDR", struct.pack(">IIBBBBB", side, side, 8, 0, 0, 0, 0))
    rows = zlib.compress(bytes(4_000_000), 9)
    return b"\x89PNG\r\n\x1a\n" + header + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize(
    "data",
    [
        b"",
        b"a face",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>alert(1)</script></svg>",
        b"%PDF-1.7 and so on",
        b"\xff\xd8\xff\xe0 no more",
        a_photo()[:-200],
        a_photo("GIF"),
        a_photo("TIFF"),
        a_png_bomb(),
        a_png_bomb(8_000),
    ],
    ids=[
        "nothing",
        "text",
        "svg",
        "pdf",
        "head",
        "cut short",
        "gif",
        "tiff",
        "bomb",
        "smaller bomb",
    ],
)
def test_what_is_no_whole_photo_is_refused_in_a_sentence(data: bytes) -> None:
    with pytest.raises(NotRead, match=r"can't be shown"):
        clean_copy(data)


def child(data: bytes) -> subprocess.CompletedProcess[bytes]:
    command = [sys.executable, "-m", "shop.picture.photo"]
    return subprocess.run(command, input=data, capture_output=True, cwd=ROOT, check=False)


def test_the_process_answers_with_the_copy_or_with_a_sentence() -> None:
    good, bad = child(a_photo()), child(a_png_bomb(8_000))
    assert (good.returncode, good.stdout) == (0, clean_copy(a_photo()))
    assert (bad.returncode, bad.stdout) == (NOTHING, b"")
    assert b"It has 64 megapixels, more than 40" in bad.stderr


HELD_BACK = """
import sys
from shop.picture import photo
photo._hold_back()
try:
    bytes(2_000_000_000)
except MemoryError:
    print("no memory")
try:
    open(sys.argv[1], "wb", buffering=0).write(b"x")
except OSError as error:
    print("no file")
"""


def test_the_process_has_little_memory_and_writes_no_file(tmp_path: object) -> None:
    command = [sys.executable, "-c", HELD_BACK, f"{tmp_path}/x"]
    done = subprocess.run(command, capture_output=True, text=True, cwd=ROOT, check=False)
    # A write over the limit ends with SIGXFSZ, unless Python has it ignored: then with an error.
    assert done.stdout.split("\n")[:2] == ["no memory", "no file"], done.stderr
