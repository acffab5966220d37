"""A reduced image laid into the picture's disc of a section."""

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.ndimage import binary_erosion

from shop.picture.colours import Reduced, smoothed
from shop.picture.errors import NotRead, TooLarge
from shop.picture.regions import without_speckles
from shop.picture.shapes import OUTSIDE, Labels, Raster, Section
from shop.sentences import Sentence

LEAST_PIXELS, MOST_PIXELS = 320, 640
GRID_PIXELS = 480
# Ragged edges are smoothed over this many metres at the log, a tenth of that in a rod.
SMOOTH_M = 0.0012
# An edge is ragged where smoothing changes more than this share of the pixels along it.
# It is then smoothed over as many times the side.
RAGGED, RAGGED_SIDES = 0.1, 3


def lay_in(reduced: Reduced, section: Section, speckle_m2: float) -> Raster:
    """The image scaled so that all that is not background just fits into the picture's disc.

    `speckle_m2`: areas under this [m², log scale] take the colour round them. As fine as the
    image, up to MOST_PIXELS across the disc. Raises NotRead where there is nothing but
    background, TooLarge where casing and band leave no room.
    """
    radius = section.picture_radius_m
    if radius <= 0:
        around = (section.jacket_m + section.band_m) * 1000
        limit = section.log_diameter_m * 500
        raise TooLarge(
            Sentence("Casing and band"),
            around,
            limit,
            "mm",
            Sentence("make them thinner or the log wider"),
        )
    x, y, reach = _round_content(reduced)
    pixels = int(np.clip(2 * reach + 2, LEAST_PIXELS, MOST_PIXELS))
    metres = 2 * radius / pixels
    labels = _sampled(reduced, (x, y), 2 * reach / (pixels - 2), pixels)
    labels = _less_ragged(labels, 2 * round(SMOOTH_M / metres / 2) + 1)
    labels[~disc(pixels)] = OUTSIDE
    labels = without_speckles(labels, round(speckle_m2 / metres**2))
    return Raster(labels, metres, reduced.palette, reduced.background)


def lay_grid(reduced: Reduced, section: Section, pixels: int = GRID_PIXELS) -> Raster:
    """A square grid of the bench, its sides the disc's: what is drawn stays where and as large.

    Every square of the grid stays one; `pixels` [64–1024] across. Raises NotRead for a grid that
    is not square.
    """
    rows, columns = reduced.labels.shape
    if rows != columns:
        raise NotRead(
            Sentence("The grid is {columns} × {rows}", columns=columns, rows=rows),
            Sentence("a bench grid is as high as wide"),
        )
    at = ((np.arange(pixels) + 0.5) * rows / pixels).astype(int)
    labels = reduced.labels[np.ix_(at, at)].astype(np.int16)
    labels[~disc(pixels)] = OUTSIDE
    metres = 2 * section.picture_radius_m / pixels
    return Raster(labels, metres, reduced.palette, reduced.background)


def _less_ragged(labels: Labels, side: int) -> Labels:
    """Smoothed where edges are ragged, as a camera's are; a clean drawing keeps its corners."""
    smooth = smoothed(labels, side)
    along = (labels[1:] != labels[:-1]).sum() + (labels[:, 1:] != labels[:, :-1]).sum()
    is_ragged = (smooth != labels).sum() > RAGGED * along
    return smoothed(labels, RAGGED_SIDES * side) if is_ragged else labels


def disc(pixels: int) -> NDArray[np.bool_]:
    """Pixels whose middle lies in the disc that just fits the square."""
    from_middle = np.arange(pixels) - (pixels - 1) / 2
    return np.asarray(np.hypot(from_middle[:, None], from_middle) <= pixels / 2)


def _round_content(reduced: Reduced) -> tuple[float, float, float]:
    """Middle and radius, in pixels, of the least circle round all that is not background."""
    content = reduced.labels != reduced.background
    if not content.any():
        raise NotRead("The picture is background only", "draw something in another colour")
    edge = np.argwhere(content & ~binary_erosion(content))
    corners = (edge[:, None, ::-1] + np.array([[0, 0], [0, 1], [1, 0], [1, 1]])).reshape(-1, 2)
    hull = shapely.convex_hull(shapely.multipoints(corners))
    around = shapely.minimum_bounding_circle(hull)
    middle = around.centroid
    return middle.x, middle.y, float(shapely.minimum_bounding_radius(hull))


def _sampled(reduced: Reduced, middle: tuple[float, float], step: float, pixels: int) -> Labels:
    """The image sampled at the nearest pixel, `step` of its pixels apart; background beyond it."""
    rows, columns = reduced.labels.shape
    offsets = (np.arange(pixels) - (pixels - 1) / 2) * step
    at_row = np.floor(middle[1] + offsets).astype(int)
    at_column = np.floor(middle[0] + offsets).astype(int)
    inside = ((at_row >= 0) & (at_row < rows))[:, None] & (at_column >= 0) & (at_column < columns)
    taken = reduced.labels[np.clip(at_row, 0, rows - 1)][:, np.clip(at_column, 0, columns - 1)]
    return np.where(inside, taken, np.int16(reduced.background)).astype(np.int16)
