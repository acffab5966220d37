"""PNG and JPEG bytes to an upright RGB array, safely.

The header is read before any pixel is: what is not one of the two kinds, too large, animated or
cut short is refused with a sentence, and never decoded further. Pillow decodes; its own guard
against decompression bombs stays on behind ours.
"""

import warnings
from dataclasses import dataclass
from io import BytesIO

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageFile, ImageOps

from shop.picture.errors import NotRead, TooLarge
from shop.sentences import Sentence

KINDS = ("PNG", "JPEG")
MOST_BYTES = 20_000_000
MOST_PIXELS = 40_000_000
MOST_SIDE = 12_000
LEAST_SIDE = 8
SIGNATURES = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff")
ANOTHER = Sentence("export it again as PNG or JPEG")


@dataclass(frozen=True, slots=True, eq=False)
class Read:
    """An image as it was drawn: `rgb` sRGB [rows, columns, 3; 0–255], seen on white.

    `see_through` [rows, columns]: where it is more than half transparent.
    """

    rgb: NDArray[np.uint8]
    see_through: NDArray[np.bool_]


def read_image(data: bytes, most_side: int = 512) -> Read:
    """The image in `data`, upright, no side over `most_side` pixels [8–12 000].

    CMYK and palettes become sRGB, the camera's orientation is applied, transparent places are
    shown on white and remembered. Raises NotRead or TooLarge.
    """
    _check_bytes(data)
    with warnings.catch_warnings():
        # Our own limits are lower than the size at which Pillow warns, and broken metadata is
        # no reason to refuse a picture whose pixels are whole.
        warnings.simplefilter("ignore")
        return _decode(data, most_side)


def _check_bytes(data: bytes) -> None:
    if len(data) > MOST_BYTES:
        megabytes = len(data) / 1e6
        raise TooLarge("The file", megabytes, MOST_BYTES / 1e6, "MB", Sentence("save it smaller"))
    if not data.startswith(SIGNATURES):
        raise NotRead(Sentence("The file is neither PNG nor JPEG"), ANOTHER)


def _decode(data: bytes, most_side: int) -> Read:
    try:
        with Image.open(BytesIO(data), formats=KINDS) as image:
            _check_header(image)
            image.draft("RGB", (most_side, most_side))
            image.load()
            return _upright(image, most_side)
    except Image.DecompressionBombError as error:
        raise NotRead(
            Sentence("The picture unpacks to too many pixels"), Sentence("save it smaller")
        ) from error
    except (OSError, SyntaxError, ValueError, EOFError, MemoryError) as error:
        raise NotRead(Sentence("The file is broken or cut short"), ANOTHER) from error


def _check_header(image: ImageFile.ImageFile) -> None:
    """Size and frames, known before a pixel is decoded."""
    width, height = image.size
    if max(width, height) > MOST_SIDE:
        raise TooLarge(
            "A side", max(width, height), MOST_SIDE, "pixels", Sentence("save it smaller")
        )
    if width * height > MOST_PIXELS:
        pixels = width * height / 1e6
        raise TooLarge(
            "The picture", pixels, MOST_PIXELS / 1e6, "megapixels", Sentence("save it smaller")
        )
    if min(width, height) < LEAST_SIDE:
        raise NotRead(
            Sentence("The picture is {width} × {height} pixels", width=width, height=height),
            Sentence("draw it at {LEAST_SIDE} up", LEAST_SIDE=LEAST_SIDE),
        )
    # A camera's JPEG may carry a second view behind the first; that is no film.
    if image.format == "PNG" and getattr(image, "is_animated", False):
        raise NotRead(Sentence("The picture moves"), Sentence("hand over one still picture"))


def _as_held(image: Image.Image) -> Image.Image:
    """Turned as the camera was held; as it lies where nothing readable says so."""
    try:
        return ImageOps.exif_transpose(image)
    except Exception:
        # Pillow raises whatever a broken tag leads to (`struct.error` among others).
        return image


def _upright(image: Image.Image, most_side: int) -> Read:
    # Shrunk first of all: every later copy is then a small one.
    mode = "RGBA" if image.has_transparency_data else "RGB"
    small = image if image.mode == mode else image.convert(mode)
    small.thumbnail((most_side, most_side), Image.Resampling.BOX)
    turned = _as_held(small)
    opaque = Image.new("L", turned.size, 255)
    if turned.mode == "RGBA":
        opaque = turned.getchannel("A")
        white = Image.new("RGBA", turned.size, "white")
        turned = Image.alpha_composite(white, turned).convert("RGB")
    return Read(np.asarray(turned), np.asarray(opaque) < 128)
