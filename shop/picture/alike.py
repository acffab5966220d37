"""When one thing is another, shifted, flipped or turned by half: images and outlines compared."""

from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from shop.picture.parts import polygon_of
from shop.picture.shapes import PicturePart

Image = NDArray[np.int16]
# Two things are alike where so much of what either covers is of one colour in both.
ALIKE = 0.90
NOTHING = -1


class Turn(NamedTuple):
    """How a copy differs from what it is cut from."""

    flipped: bool
    half_turn: bool

    def of(self, image: Image) -> Image:
        """The image turned so."""
        turned = image[:, ::-1] if self.flipped else image
        return turned[::-1, ::-1] if self.half_turn else turned

    @property
    def signs(self) -> tuple[int, int]:
        """What x and y are multiplied by."""
        return -1 if self.flipped != self.half_turn else 1, -1 if self.half_turn else 1


TURNS = [Turn(flip, half) for flip in (False, True) for half in (False, True)]


def trimmed(image: Image) -> Image:
    """The image without rows and columns of nothing round it."""
    rows, columns = np.nonzero(image != NOTHING)
    if not len(rows):
        return np.full((1, 1), NOTHING, dtype=np.int16)
    return image[rows.min() : rows.max() + 1, columns.min() : columns.max() + 1].astype(np.int16)


def likeness(one: Image, other: Image) -> float:
    """Share of what either covers that is of one colour in both, trimmed boxes laid together."""
    size = max(one.shape[0], other.shape[0]), max(one.shape[1], other.shape[1])
    if min(one.shape[0], other.shape[0]) < 0.8 * size[0]:
        return 0.0
    if min(one.shape[1], other.shape[1]) < 0.8 * size[1]:
        return 0.0
    a, b = _framed(one, size), _framed(other, size)
    either = (a != NOTHING) | (b != NOTHING)
    return float((a == b)[either].mean()) if either.any() else 1.0


def _framed(image: Image, size: tuple[int, int]) -> Image:
    spare = [size[i] - image.shape[i] for i in (0, 1)]
    pads = [(s // 2, s - s // 2) for s in spare]
    return np.pad(image, pads, constant_values=NOTHING)


def turn_of(one: PicturePart, other: PicturePart) -> Turn | None:
    """The turn that lays one part over another, if any does."""
    if not sizes_agree(one, other):
        return None
    shape, wanted = (_centred(part) for part in (one, other))
    for turn in TURNS:
        turned = shapely.transform(shape, lambda xy, by=turn.signs: xy * by)
        if turned.intersection(wanted).area >= ALIKE * turned.union(wanted).area:
            return turn
    return None


def _centred(part: PicturePart) -> shapely.Polygon:
    shape = polygon_of(part)
    middle = shape.centroid
    return shapely.transform(shape, lambda xy: xy - [middle.x, middle.y])


def sizes_agree(one: PicturePart, other: PicturePart) -> bool:
    """Whether two parts are of one sugar and nearly one area."""
    if one.portion != other.portion:
        return False
    return ALIKE * 0.9 <= one.area_m2 / other.area_m2 <= 1 / (ALIKE * 0.9)
