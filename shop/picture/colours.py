"""An image reduced to the shop's few colours.

Nearness is CIEDE2000 (CIE 142, Sharma, Wu and Dalal 2005) in CIELAB under D65, by scikit-image:
nearer to the eye than distances in sRGB. Pixels are gathered into small cubes of sRGB first, so
that a photo costs thousands of comparisons, not millions; each cube stands for its mean.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import convolve, maximum_filter, uniform_filter
from skimage.color import deltaE_ciede2000, rgb2lab
from skimage.filters.rank import median
from skimage.morphology import disk

from shop.craft.errors import check_range
from shop.picture.errors import PartWrong
from shop.picture.reading import Read
from shop.picture.shapes import Labels, PaletteColour
from shop.sentences import Sentence

Floats = NDArray[np.float64]
CUBE_BITS = 3
# A colour is used where at least this share of the image comes nearer to it by so much [ΔE00]:
# a feature of a fifth of a per cent is below what hands can lay, and 5 is plain to see.
LEAST_SHARE, PLAIN = 0.002, 5.0
# An edge spans more than this [0–255]; a soft one is some passes wide on either side.
EDGE, PASSES = 40, 2
# Above this an image is noisy [0–255]; hardly a camera is under it, no drawing program over it.
NOISE = 2.0
IMMERKAER = np.outer([1.0, -2.0, 1.0], [1.0, -2.0, 1.0])
MEDIAN_OF_NORMAL = 0.6745
SHIFTS = [(i, j) for i in (-1, 0, 1) for j in (-1, 0, 1) if i or j]


@dataclass(frozen=True, slots=True, eq=False)
class Reduced:
    """`labels` [rows, columns] index `palette`, of the colours used; `background` one of them."""

    labels: Labels
    palette: tuple[PaletteColour, ...]
    background: int


def lab_of(rgb: NDArray[np.uint8]) -> Floats:
    """CIELAB (D65, 2°) of sRGB [..., 3; 0–255]."""
    return np.asarray(rgb2lab(rgb), dtype=np.float64)


def difference(one: Floats, other: Floats) -> Floats:
    """CIEDE2000 between CIELAB colours [..., 3]; about 1 is just seen side by side."""
    return np.asarray(deltaE_ciede2000(one, other), dtype=np.float64)


def nearest_swatches(colour: str, swatches: Sequence[str]) -> list[str]:
    """Which of these swatches a colour means, the nearest first; all as `#rrggbb`.

    Those that are not plainly another colour; where there is none, the nearest alone.

    >>> nearest_swatches("#f4c430", ["#4a2811", "#f2c230", "#fdf8ec"])
    ['#f2c230']
    """
    if not swatches:
        return []
    asked, there = (
        lab_of(np.array([[rgb_of(text) for text in some]], dtype=np.uint8))[0]
        for some in ([colour], swatches)
    )
    far = difference(np.broadcast_to(asked, there.shape), there)
    order = np.argsort(far, kind="stable")
    plain = [swatches[i] for i in order if far[i] < PLAIN]
    return plain or [swatches[order[0]]]


def reduce_colours(
    read: Read,
    palette: Sequence[PaletteColour],
    *,
    most: int = 4,
    background: str | None = None,
    see_through: str | None = None,
    becomes: Mapping[str, str] | None = None,
) -> Reduced:
    """The image in white and at most `most` [1–12] other colours of the shop's `palette`.

    `background`: id of the colour the picture lies in; without it the commonest along the edge.
    `see_through`: id of what transparent places become; without it white. `becomes`: areas the
    maker gives another colour, by id, such as blue to clear. Raises PartWrong for an unknown id.
    """
    ids = [colour.id for colour in palette]
    bins, where = _cubes(sharpened(denoised(read.rgb)))
    errors = _errors(bins.means, palette)
    chosen = _choose(errors, bins.weights, _must(palette, ids, background), most)
    nearest = np.array(chosen)[errors[:, chosen].argmin(axis=1)]
    labels = nearest[where].reshape(read.rgb.shape[:2])
    if see_through is not None:
        labels[read.see_through] = _index(ids, see_through)
    for old, new in (becomes or {}).items():
        labels[labels == _index(ids, old)] = _index(ids, new)
    ground = _edge_colour(labels) if background is None else _index(ids, background)
    return _only_used(labels, palette, ground)


@dataclass(frozen=True, slots=True, eq=False)
class _Bins:
    means: NDArray[np.uint8]
    weights: Floats


def noise_of(rgb: NDArray[np.uint8]) -> float:
    """A camera's noise [0–255], one standard deviation; 0 for a clean drawing.

    Immerkær's mask (Computer Vision and Image Understanding 64, 1996), whose answer to noise of σ
    is 6 σ wide; by its median, so that edges do not count.
    """
    grey = rgb.mean(axis=2)
    return float(np.median(np.abs(convolve(grey, IMMERKAER)))) / (6 * MEDIAN_OF_NORMAL)


def denoised(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """Each channel's median over a small disc where the image is noisy; edges stay in place."""
    noise = noise_of(rgb)
    if noise <= NOISE:
        return rgb
    around = disk(1 if noise <= 3 * NOISE else 2)
    return np.stack([median(rgb[..., channel], around) for channel in range(3)], axis=2)


def sharpened(rgb: NDArray[np.uint8], passes: int = PASSES) -> NDArray[np.uint8]:
    """Blends along edges become the darker or the lighter side, whichever is nearer.

    The toggle mapping of Kramer and Bruckner (Pattern Recognition 7, 1975) by grey value in a
    3 × 3 window, where it spans more than EDGE. A line keeps its colour: it is its own extreme.
    """
    for _ in range(passes):
        grey = rgb.sum(axis=2, dtype=np.int16)
        low = high = grey
        dark = light = rgb
        for shift in SHIFTS:
            beside, moved = _moved(grey, shift), _moved(rgb, shift)
            lower, higher = beside < low, beside > high
            low, dark = np.where(lower, beside, low), np.where(lower[..., None], moved, dark)
            high, light = np.where(higher, beside, high), np.where(higher[..., None], moved, light)
        nearer = np.where((high - grey < grey - low)[..., None], light, dark)
        rgb = np.where((high - low > 3 * EDGE)[..., None], nearer, rgb)
    return rgb


def _moved(image: NDArray[Any], shift: tuple[int, int]) -> NDArray[Any]:
    """The image shifted by rows and columns of −1, 0 or 1, its edge repeated."""
    padded = np.pad(image, [(1, 1), (1, 1), (0, 0)][: image.ndim], mode="edge")
    rows, columns = image.shape[:2]
    return padded[1 + shift[0] : 1 + shift[0] + rows, 1 + shift[1] : 1 + shift[1] + columns]


def _cubes(rgb: NDArray[np.uint8]) -> tuple[_Bins, NDArray[np.intp]]:
    """Cubes of sRGB that hold pixels: their mean and share, and each pixel's cube."""
    flat = rgb.reshape(-1, 3)
    small = (flat >> CUBE_BITS).astype(np.int32)
    step = 8 - CUBE_BITS
    codes = (small[:, 0] << 2 * step) | (small[:, 1] << step) | small[:, 2]
    _, where, counts = np.unique(codes, return_inverse=True, return_counts=True)
    sums = [np.bincount(where, weights=flat[:, channel]) for channel in range(3)]
    means = np.rint(np.stack(sums, axis=1) / counts[:, None]).astype(np.uint8)
    return _Bins(means, counts / counts.sum()), where


def _errors(means: NDArray[np.uint8], palette: Sequence[PaletteColour]) -> Floats:
    """ΔE00 of every cube [rows] to every colour of the palette [columns]."""
    cubes = lab_of(means[:, None, :])
    shop = lab_of(np.array([[rgb_of(colour.hex) for colour in palette]], dtype=np.uint8))
    return difference(cubes, np.broadcast_to(shop, (len(means), len(palette), 3)))


def rgb_of(text: str) -> tuple[int, int, int]:
    """`#rrggbb` as three numbers.

    >>> rgb_of("#f2c230")
    (242, 194, 48)
    """
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


def _must(palette: Sequence[PaletteColour], ids: list[str], background: str | None) -> list[int]:
    """White is always there; so is the background the maker chose."""
    found = [i for i, colour in enumerate(palette) if colour.treatment == "white"]
    if len(found) != 1:
        raise PartWrong(
            "The palette",
            Sentence("has {count} whites", count=len(found)),
            Sentence("exactly one sugar must be white"),
        )
    if background is not None and _index(ids, background) not in found:
        found.append(_index(ids, background))
    return found


def _choose(errors: Floats, weights: Floats, start: list[int], most: int) -> list[int]:
    """Colours added one by one, each the one that lowers the mean error most and is worth it."""
    chosen = list(start)
    while len(chosen) < min(most + 1, errors.shape[1]):
        now = errors[:, chosen].min(axis=1)
        gains = np.maximum(now[:, None] - errors, 0.0)
        gains[:, weights @ (gains >= PLAIN) < LEAST_SHARE] = 0.0
        best = int((weights @ gains).argmax())
        if not gains[:, best].any():
            break
        chosen.append(best)
    return chosen


def _index(ids: list[str], wanted: str) -> int:
    if wanted not in ids:
        raise PartWrong(
            wanted, Sentence("is not a colour of this shop"), f"choose {', '.join(ids)}"
        )
    return ids.index(wanted)


def _edge_colour(labels: NDArray[np.intp]) -> int:
    edge = np.concatenate([labels[0], labels[-1], labels[:, 0], labels[:, -1]])
    return int(np.bincount(edge).argmax())


def _only_used(
    labels: NDArray[np.intp], palette: Sequence[PaletteColour], background: int
) -> Reduced:
    """The palette without what the picture does not use; white and the background stay."""
    whites = [i for i, colour in enumerate(palette) if colour.treatment == "white"]
    used = np.union1d(np.unique(labels), [background, *whites])
    renumbered = np.searchsorted(used, labels).astype(np.int16)
    kept = tuple(palette[int(i)] for i in used)
    return Reduced(renumbered, kept, int(np.searchsorted(used, background)))


def smoothed(labels: Labels, side: int) -> Labels:
    """The commonest label in a square of `side` pixels [odd] round each: ragged edges are gone.

    A line too thin to be commonest anywhere along it stays as it is, to be shown as too thin.
    """
    check_range("side", side % 2, "1", 1, 1, Sentence("a square round a pixel, which is odd,"))
    values = np.unique(labels)
    shares = np.stack(
        [uniform_filter((labels == v).astype(np.float32), side, mode="nearest") for v in values]
    )
    best = values[shares.argmax(axis=0)]
    kept = np.zeros(labels.shape, dtype=bool)
    for value in values:
        kept |= (labels == value) & ~maximum_filter(best == value, side)
    return np.where(kept, labels, best).astype(np.int16)
