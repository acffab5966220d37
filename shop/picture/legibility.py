"""Can the picture be read: how like the drawing the cut face looks to an eye that holds the sweet.

The score is the structural similarity of lightness (SSIM: Wang, Bovik, Sheikh and Simoncelli, IEEE
Trans. Image Processing 13 (2004) 600) between the drawing, seen large, and the face as blurred as
an eye sees it at the rod's size, averaged where there is something to see. What is lost is told
beside it and not mixed in.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import label, rotate, shift
from skimage.metrics import structural_similarity
from skimage.registration import phase_cross_correlation

from shop.craft.errors import check_range
from shop.picture.face import Face, rendered
from shop.picture.flow import Floats

# One minute of arc is what a normal eye resolves (ISO 8596, visual acuity 1.0): taken as the width
# at half height of the blur of a point, 2.355 σ.
ARC_MINUTE, HALF_HEIGHT = math.radians(1 / 60), 2.355
# Wang's window: a Gaussian of σ 1.5 pixels, 11 pixels wide, for pictures of about 256 pixels a side
# (theirs are shrunk by the rounded ratio, here 1). Lightness runs from 0 to 100.
SIGMA, WINDOW, LIGHTEST = 1.5, 11, 100.0
TURNS_DEG = (0.0, -2.0, 2.0, -4.0, 4.0, -6.0, 6.0)
# Sugar that keeps less of its place is lost; what has fewer cells never was to be seen.
KEPT, LEAST_CELLS = 0.5, 6
TOLD = 12


@dataclass(frozen=True, slots=True)
class Lost:
    """Something of the drawing that is not there any more: its colour, place, and what is left.

    colour: `#rrggbb`. place: x, y in rod radii from the middle. kept: share of its area [1].
    """

    colour: str
    place: tuple[float, float]
    kept: float


@dataclass(frozen=True, slots=True)
class Legibility:
    """Score [1, −1 – 1; 1: the drawing seen large], whether that reads by the shop, what is lost.

    plain_score: the same averaged over the whole face, as published.
    """

    score: float
    plain_score: float
    reads: bool
    lost: tuple[Lost, ...]

    def as_json(self) -> dict[str, Any]:
        """`score plain_score reads metric lost_count lost`, the first twelve of what is lost."""
        return {
            "score": round(self.score, 3),
            "plain_score": round(self.plain_score, 3),
            "reads": self.reads,
            "metric": "SSIM of lightness as an eye sees it (Wang et al. 2004), at the edges",
            "lost_count": len(self.lost),
            "lost": [
                {
                    "colour": lost.colour,
                    "place": [round(v, 2) for v in lost.place],
                    "kept": round(lost.kept, 2),
                }
                for lost in self.lost[:TOLD]
            ],
        }


def legibility(
    drawing: Face, seen: Face, numbers: Mapping[str, int], bleed_mm: float = 0.0
) -> Legibility:
    """How well `seen` reads as `drawing`: two faces of one rod, `bleed_mm` [mm] run on the second.

    The eye forgives a picture that is turned a little or off the middle: of cells turns and shifts
    the best counts. `reading_distance` and `legible` are the shop's numbers.
    """
    eye = eye_blur_mm(numbers["reading_distance"] / 1e3)
    wanted = lightness(rendered(drawing))
    found = lightness(rendered(seen, math.hypot(bleed_mm, 2 * eye)))
    plain = similarity_map(wanted, found).mean()
    best = max(_scores(wanted, found, _picture(drawing)))
    limit = numbers["legible"] / 1e6
    return Legibility(best, float(plain), best >= limit, losses(drawing, seen))


def eye_blur_mm(distance_mm: float) -> float:
    """σ of the blur of an eye [mm] on what it holds at a distance [mm, 50–2000].

    >>> round(eye_blur_mm(300.0), 3)
    0.037
    """
    check_range("reading distance", distance_mm, "mm", 50, 2000, "an eye without a glass")
    return distance_mm * ARC_MINUTE / HALF_HEIGHT


def lightness(pixels: NDArray[np.uint8]) -> Floats:
    """CIE 1976 lightness L* [0–100] of sRGB pixels, white D65.

    >>> [round(float(lightness(np.full((1, 1, 3), v, np.uint8))[0, 0]), 1) for v in (0, 119, 255)]
    [0.0, 50.0, 100.0]
    """
    value = pixels.astype(float) / 255
    linear = np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)
    y = linear @ np.array([0.2126, 0.7152, 0.0722])
    return np.asarray(np.where(y > 216 / 24389, 116 * np.cbrt(y) - 16, y * 24389 / 27))


def similarity_map(one: Floats, other: Floats) -> Floats:
    """SSIM of every pixel's window, with the constants of the paper."""
    _, whole = structural_similarity(
        one,
        other,
        data_range=LIGHTEST,
        gaussian_weights=True,
        sigma=SIGMA,
        use_sample_covariance=False,
        full=True,
    )
    return np.asarray(whole, dtype=float)


def _picture(face: Face) -> NDArray[np.bool_]:
    """Pixels whose window holds an edge of the drawing, casing and rim apart.

    An even field is alike in every window and says nothing; averaged in, it would hide a lost eye
    (weighting by content: Wang and Li, IEEE Trans. Image Processing 20 (2011) 1185).
    """
    cells = face.cells.astype(int)
    casing = (cells < 0) | (cells == len(face.colours) - 1)
    edge = np.zeros_like(casing)
    edge[1:] |= cells[1:] != cells[:-1]
    edge[:, 1:] |= cells[:, 1:] != cells[:, :-1]
    edge &= ~_near(casing, 2)
    return _near(edge, WINDOW // 2) & ~_near(casing, 2)


def _near(mask: NDArray[np.bool_], reach: int) -> NDArray[np.bool_]:
    """The mask grown by so many pixels each way."""
    grown = mask.copy()
    for _ in range(reach):
        wider = grown.copy()
        wider[1:] |= grown[:-1]
        wider[:-1] |= grown[1:]
        wider[:, 1:] |= grown[:, :-1]
        wider[:, :-1] |= grown[:, 1:]
        grown = wider
    return grown


def _scores(wanted: Floats, found: Floats, within: NDArray[np.bool_]) -> list[float]:
    """The score at each cells turn, as it lies and moved to fit; 1 where nothing is to be seen."""
    if not within.any():
        return [1.0]
    scores = []
    for turn in TURNS_DEG:
        turned = rotate(found, turn, reshape=False, order=1, mode="nearest") if turn else found
        by, _, _ = phase_cross_correlation(wanted, turned, upsample_factor=8, normalization=None)
        moved = shift(turned, np.clip(by, -8, 8), order=1, mode="nearest")
        scores += [float(similarity_map(wanted, x)[within].mean()) for x in (turned, moved)]
    return scores


def losses(drawing: Face, seen: Face) -> tuple[Lost, ...]:
    """Connected parts of the drawing whose colour has left more than half of their place.

    Read a few cells round each, so that a picture a little off the middle has lost nothing.
    """
    found = []
    middle, radius = len(drawing.cells) / 2 - 0.5, drawing.across / 2
    for index, colour in enumerate(drawing.colours):
        things, count = label(drawing.cells == index)
        there = _near(seen.cells == index, 4)
        for number in range(1, count + 1):
            own = things == number
            if own.sum() < LEAST_CELLS:
                continue
            kept = float(there[own].mean())
            if kept < KEPT:
                y, x = (float(v.mean()) for v in np.nonzero(own))
                place = ((x - middle) / radius, (middle - y) / radius)
                found.append(Lost(colour, place, kept))
    return tuple(found)
