"""Files of strangers: what is opened, what is refused, and how it is said.

PNG's layout of chunks is from its specification (W3C, 2003, section 5).
"""

import struct
import zlib
from io import BytesIO

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from shop.picture.errors import NotRead, PictureError, TooLarge
from shop.picture.reading import MOST_BYTES, read_image


def _bytes(image: Image.Image, kind: str = "PNG", **options: object) -> bytes:
    out = BytesIO()
    image.save(out, kind, **options)
    return out.getvalue()


def _corners() -> Image.Image:
    """40 × 20, red at the upper left, blue at the lower right, else white."""
    image = Image.new("RGB", (40, 20), "white")
    image.paste((255, 0, 0), (0, 0, 10, 10))
    image.paste((0, 0, 255), (30, 10, 40, 20))
    return image


def _chunk(name: bytes, data: bytes) -> bytes:
    check = struct.pack(">I", zlib.crc32(name + data))
    return struct.pack(">I", len(data)) + name + data + check


def _png_of(width: int, height: int, pixels: bytes) -> bytes:
    header = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    chunks = _chunk(b"IHDR", header) + _chunk(b"IDAT", zlib.compress(pixels)) + _chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + chunks


def test_png_comes_as_drawn() -> None:
    read = read_image(_bytes(_corners()))
    assert read.rgb.shape == (20, 40, 3)
    assert read.rgb[0, 0].tolist() == [255, 0, 0]
    assert read.rgb[19, 39].tolist() == [0, 0, 255]
    assert not read.see_through.any()


def test_a_jpeg_of_a_turned_camera_stands_upright() -> None:
    exif = Image.Exif()
    exif[0x0112] = 6  # EXIF 2.3, 4.6.4 A: row 0 is the right side, so turn a quarter clockwise
    read = read_image(_bytes(_corners(), "JPEG", exif=exif, quality=95, subsampling=0))
    assert read.rgb.shape == (40, 20, 3)
    assert read.rgb[2, 17, 0] > 200 and read.rgb[2, 17, 1] < 60
    assert read.rgb[37, 2, 2] > 200


def test_cmyk_and_palettes_become_rgb() -> None:
    cmyk = _bytes(_corners().convert("CMYK"), "JPEG", quality=95, subsampling=0)
    for data in (cmyk, _bytes(_corners().convert("P", palette=Image.Palette.ADAPTIVE))):
        read = read_image(data)
        assert read.rgb[3, 3, 0] > 230 and read.rgb[3, 3, 2] < 40
        assert read.rgb[16, 36, 2] > 230


def test_transparent_places_are_white_and_remembered() -> None:
    image = Image.new("RGBA", (20, 20), (255, 0, 0, 255))
    image.paste((0, 0, 0, 0), (0, 0, 10, 20))
    read = read_image(_bytes(image))
    assert read.rgb[5, 2].tolist() == [255, 255, 255]
    assert read.rgb[5, 15].tolist() == [255, 0, 0]
    assert read.see_through[:, :10].all() and not read.see_through[:, 10:].any()


def test_a_large_picture_is_shrunk_on_the_way_in() -> None:
    read = read_image(_bytes(Image.new("RGB", (3000, 1500), "green"), "JPEG"), 512)
    assert read.rgb.shape == (256, 512, 3)
    assert read_image(_bytes(Image.new("1", (900, 300))), 300).rgb.shape == (100, 300, 3)


def test_a_bomb_is_refused_by_its_header() -> None:
    bomb = _png_of(30_000, 30_000, bytes(3751 * 300))
    assert len(bomb) < 10_000
    with pytest.raises(NotRead, match="too many pixels; save it smaller"):
        read_image(bomb)
    with pytest.raises(TooLarge, match="A side is 13000 pixels; at most 12000"):
        read_image(_png_of(13_000, 1_000, bytes(1626)))
    with pytest.raises(TooLarge, match="megapixels"):
        read_image(_png_of(11_000, 11_000, bytes(1376)))


def test_what_is_no_picture_is_said_in_a_sentence() -> None:
    whole = _bytes(_corners().resize((400, 400)))
    with pytest.raises(NotRead, match="neither PNG nor JPEG; export it again"):
        read_image(b"GIF89a" + bytes(50))
    with pytest.raises(NotRead, match="broken or cut short"):
        read_image(whole[: len(whole) // 2])
    with pytest.raises(NotRead, match="broken or cut short"):
        read_image(_bytes(_corners().resize((400, 400)), "JPEG")[:600])
    with pytest.raises(NotRead, match="4 × 4 pixels"):
        read_image(_bytes(Image.new("L", (4, 4))))
    with pytest.raises(TooLarge, match="MB; at most 20 MB"):
        read_image(whole + bytes(MOST_BYTES))


def test_a_picture_that_moves_is_refused() -> None:
    frames = [Image.new("RGB", (20, 20), colour) for colour in ("red", "blue")]
    moving = _bytes(frames[0], save_all=True, append_images=frames[1:])
    with pytest.raises(NotRead, match="moves; hand over one still picture"):
        read_image(moving)


def test_a_camera_s_second_view_is_left_out() -> None:
    two = _bytes(_corners(), "MPO", save_all=True, append_images=[_corners()], quality=95)
    assert read_image(two).rgb[3, 3, 0] > 230


@given(st.binary(max_size=300), st.integers(0, 300), st.sampled_from(["PNG", "JPEG"]))
def test_any_damage_is_read_or_refused_with_our_own_error(noise: bytes, at: int, kind: str) -> None:
    whole = bytearray(_bytes(_corners(), kind))
    whole[at : at + len(noise)] = noise
    try:
        read = read_image(bytes(whole))
    except PictureError:
        return
    assert read.rgb.dtype == np.uint8 and read.rgb.shape[:2] == read.see_through.shape
