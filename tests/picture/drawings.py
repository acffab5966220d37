"""Five pictures of different kinds, drawn for the tests at test time.

Every one returns PNG or JPEG bytes. Sizes in pixels; nothing is traced from anything.
"""

from collections.abc import Callable
from io import BytesIO

import numpy as np
from PIL import Image, ImageDraw, ImageFilter

YELLOW, BROWN, WINGS = "#f2c230", "#4a2811", "#cfe3ec"
RED, GREEN, BLUE = "#c8202c", "#2f8f4e", "#2a5fa8"
# Four times as fine, then shrunk: edges blend as a drawing program's do.
FINER = 4


def _canvas(side: int = 512) -> tuple[Image.Image, Callable[..., None], ImageDraw.ImageDraw]:
    """A white square; `box(left, top, right, bottom, fill)` and a pencil in 512ths of its side."""
    image = Image.new("RGB", (side * FINER, side * FINER), "white")
    draw = ImageDraw.Draw(image)
    unit = side * FINER / 512

    def box(left: float, top: float, right: float, bottom: float, fill: str) -> None:
        draw.rectangle([left * unit, top * unit, right * unit - 1, bottom * unit - 1], fill=fill)

    return image, box, draw


def _png(image: Image.Image) -> bytes:
    out = BytesIO()
    shrunk = image.resize((image.width // FINER, image.height // FINER), Image.Resampling.BOX)
    shrunk.save(out, "PNG")
    return out.getvalue()


def _round(draw: ImageDraw.ImageDraw, x: float, y: float, r: float, fill: str) -> None:
    box = [(x - r) * FINER, (y - r) * FINER, (x + r) * FINER, (y + r) * FINER]
    draw.ellipse(box, fill=fill)


def letters() -> bytes:
    """H, I and T in red, built of bars: every stroke a fifth of the height and more."""
    image, box, _ = _canvas()
    for left, top, right, bottom in (
        *((60, 170, 96, 350), (132, 170, 168, 350), (96, 242, 132, 278)),
        (216, 170, 252, 350),
        *((300, 170, 452, 206), (358, 206, 394, 350)),
    ):
        box(left, top, right, bottom, RED)
    return _png(image)


def symmetric() -> bytes:
    """A tree with two equal apples and a trunk: the same seen from either end."""
    image, box, draw = _canvas()
    _round(draw, 256, 200, 140, GREEN)
    box(226, 330, 286, 470, BROWN)
    for x in (196, 316):
        _round(draw, x, 190, 34, RED)
    return _png(image)


def photo() -> bytes:
    """Soft light on fruit, with a camera's noise, as JPEG: no two pixels alike."""
    image, _, draw = _canvas()
    _round(draw, 200, 280, 130, "#b3402f")
    _round(draw, 330, 220, 110, "#d8a63a")
    draw.polygon(
        [(x * FINER, y * FINER) for x, y in ((190, 150), (300, 60), (250, 150))], "#3c7a3f"
    )
    small = image.resize((512, 512), Image.Resampling.BOX).filter(ImageFilter.GaussianBlur(3))
    pixels = np.asarray(small).astype(float)
    shade = np.linspace(1.06, 0.86, 512)[:, None, None]
    noise = np.random.default_rng(7).normal(0, 9, pixels.shape)
    noisy = Image.fromarray(np.clip(pixels * shade + noise, 0, 255).astype(np.uint8))
    out = BytesIO()
    noisy.save(out, "JPEG", quality=80)
    return out.getvalue()


def impossible() -> bytes:
    """Hair lines, a mesh and confetti: nothing of it survives hands or rod."""
    image, _, draw = _canvas()
    for i in range(12):
        at = (40 + 38 * i) * FINER
        draw.line([at, 40 * FINER, 512 * FINER - at, 470 * FINER], fill=BLUE, width=2 * FINER)
    random = np.random.default_rng(3)
    for x, y in random.uniform(40, 470, (150, 2)):
        _round(draw, x, y, 3, RED)
    return _png(image)


def beehive() -> bytes:
    """The invented order's skep: three layers, two lines, a door, two bees that face each other."""
    image, _, draw = _canvas()
    mm = 512 * FINER / 130

    def at(x: float, y: float) -> tuple[float, float]:
        return (65 + x) * mm, (65 - y) * mm

    def block(x: float, y: float, width: float, height: float, fill: str) -> None:
        draw.rectangle([at(x, y + height), at(x + width, y)], fill=fill)

    def ball(x: float, y: float, r: float, fill: str) -> None:
        draw.ellipse([at(x - r, y + r), at(x + r, y - r)], fill=fill)

    for x, y, width, height in ((-28, -40, 56, 14), (-20, -20, 40, 11), (-11, -3, 22, 12)):
        block(x, y, width, height, YELLOW)
    for x, y, width in ((-22, -26, 44), (-13, -9, 26)):
        block(x, y, width, 6, BROWN)
    block(-6, -40, 12, 14, BROWN)
    for side in (-1, 1):
        ball(36 * side, 26, 11.3, YELLOW)
        block(39 * side - 3 * (1 + side) if side > 0 else -39, 17, 6, 18, BROWN)
        ball(40 * side, 41, 4.4, WINGS)
    return _png(image)


ALL = {
    "letters": letters,
    "symmetric": symmetric,
    "photo": photo,
    "impossible": impossible,
    "beehive": beehive,
}
