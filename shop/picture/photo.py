"""A photo of a stranger's phone as it may be shown: its pixels alone, encoded anew.

Whatever else its file held stays behind: where and by what it was taken (EXIF, GPS), a second
picture, a script after the last pixel. Decoding a file made to do harm is dangerous in itself, so
`python -m shop.picture.photo` does it in a process that has little memory, little time and nothing
of the shop: the file on its standard input, the copy on its standard output.
"""

from __future__ import annotations

import sys
import warnings
from io import BytesIO

from PIL import Image, ImageOps

from shop.picture.errors import NotRead
from shop.picture.reading import MOST_PIXELS

KINDS = ("JPEG", "PNG", "WEBP")
MOST_SIDE = 2048
QUALITY = 85
SECONDS, BYTES = 20, 1_000_000_000
# What the process answers with where there is nothing to show.
NOTHING = 3


def clean_copy(data: bytes) -> bytes:
    """The photo in `data` (JPEG, PNG or WebP) as JPEG, as PNG where it came as one.

    Upright, no side over 2048 pixels, without metadata. Raises NotRead.
    """
    try:
        with warnings.catch_warnings(), Image.open(BytesIO(data), formats=KINDS) as image:
            # Broken metadata is no reason to refuse a photo whose pixels are whole.
            warnings.simplefilter("ignore")
            _check_header(image.size)
            kind = "PNG" if image.format == "PNG" else "JPEG"
            image.draft("RGB", (MOST_SIDE, MOST_SIDE))
            return _encoded(_upright(image, kind), kind)
    except Image.DecompressionBombError as error:
        raise NotRead("It unpacks to too many pixels", "it can't be shown") from error
    except (OSError, SyntaxError, ValueError, EOFError, MemoryError) as error:
        raise NotRead("The file is no whole photo", "it can't be shown") from error


def _check_header(size: tuple[int, int]) -> None:
    """Known before a pixel is decoded."""
    if size[0] * size[1] > MOST_PIXELS:
        pixels = f"{size[0] * size[1] / 1e6:.0f} megapixels"
        raise NotRead(f"It has {pixels}, more than {MOST_PIXELS / 1e6:.0f}", "it can't be shown")


def _upright(image: Image.Image, kind: str) -> Image.Image:
    clear = kind == "PNG" and image.has_transparency_data
    plain = image.convert("RGBA" if clear else "RGB")
    plain.thumbnail((MOST_SIDE, MOST_SIDE))
    turned = ImageOps.exif_transpose(plain)
    # A new image, so that nothing can come along but pixels.
    bare = Image.new(turned.mode, turned.size)
    bare.paste(turned)
    return bare


def _encoded(image: Image.Image, kind: str) -> bytes:
    out = BytesIO()
    image.save(out, kind, **({"quality": QUALITY} if kind == "JPEG" else {}))
    return out.getvalue()


def _hold_back() -> None:
    """Little memory and little time; where the system knows no such limits, the caller's waits."""
    if sys.platform == "win32":
        return
    import resource

    resource.setrlimit(resource.RLIMIT_AS, (BYTES, BYTES))
    resource.setrlimit(resource.RLIMIT_CPU, (SECONDS, SECONDS))
    # It writes no file of any size: only what was opened for it.
    resource.setrlimit(resource.RLIMIT_FSIZE, (0, 0))


def main() -> int:
    """One photo from standard input to standard output; the answer is the exit code."""
    _hold_back()
    try:
        copy = clean_copy(sys.stdin.buffer.read())
    except NotRead as wrong:
        print(wrong, file=sys.stderr)
        return NOTHING
    sys.stdout.buffer.write(copy)
    return 0


if __name__ == "__main__":
    sys.exit(main())
