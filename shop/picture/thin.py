"""Thin places of a raster: what a round of the limit's width does not reach.

Each region is opened by a disc of its limit (mathematical morphology: Serra, Image Analysis and
Mathematical Morphology, 1982), by two Euclidean distance transforms; what is left over is thin,
unless it is no more than a corner. Its width is read along its skeleton. Exact to a pixel.
"""

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt, find_objects, label
from skimage.morphology import skeletonize

from shop.picture.regions import components, regions_of
from shop.picture.shapes import OUTSIDE, Limits, Raster, Region, Section

Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]
EIGHT = np.ones((3, 3), dtype=bool)
# How far a corner's tip lies from the round that fits into it, in radii: 1.41 at 90°, 2 at 60°.
# Sharper tips are thin.
CORNER = 2.05


class Pixels(NamedTuple):
    """Pixels of a raster by row and column."""

    rows: NDArray[np.int64]
    columns: NDArray[np.int64]


@dataclass(frozen=True, slots=True, eq=False)
class ThinPlace:
    """A thin place of one region: its pixels, their skeleton, width and limit [pixels]."""

    region: Region
    pixels: Pixels
    middle: Pixels
    width: float
    limit: float

    @property
    def at(self) -> tuple[int, int]:
        """Row and column of the skeleton's pixel that is nearest to the middle of the place."""
        rows, columns = self.middle
        far = np.hypot(rows - self.pixels.rows.mean(), columns - self.pixels.columns.mean())
        nearest = int(far.argmin())
        return int(rows[nearest]), int(columns[nearest])


def limit_of(region: Region, raster: Raster, section: Section, limits: Limits) -> float:
    """The least width of a region at the log [m]: the hands', the eye's, the eye's for holes."""
    ratio = section.diameter_ratio
    wanted = max(limits.strip_m, limits.line_m * ratio)
    return max(wanted, limits.hole_m * ratio) if is_hole(region, raster) else wanted


def is_hole(region: Region, raster: Raster) -> bool:
    """Background that one other area surrounds."""
    if not region.is_field or len(region.neighbours) != 1:
        return False
    top, left, bottom, right = region.box
    beyond = np.pad(raster.labels, 1, constant_values=OUTSIDE)[top : bottom + 2, left : right + 2]
    return not (beyond == OUTSIDE).any()


def thin_places(raster: Raster, section: Section, limits: Limits) -> tuple[ThinPlace, ...]:
    """Every thin place, region by region."""
    regions = regions_of(raster)
    widths = [limit_of(r, raster, section, limits) / raster.metres_per_pixel for r in regions]
    margin = int(np.ceil(max(widths))) + 2
    ids = np.pad(components(raster.labels), margin)
    if raster.palette[raster.background].treatment == "white":
        # The white band goes on round a white field: there is no edge between them.
        ids[ids == 0] = -1
    found: list[ThinPlace] = []
    for region, limit in zip(regions, widths, strict=True):
        top, left, bottom, right = region.box
        window = ids[top : bottom + 2 * margin, left : right + 2 * margin]
        mask = window == region.id
        whole = mask | (window == -1) if region.is_field else mask
        shift = top - margin, left - margin
        found += _thin_of(region, whole, mask, limit, shift)
    return tuple(found)


def _thin_of(
    region: Region, whole: Mask, own: Mask, limit: float, shift: tuple[int, int]
) -> list[ThinPlace]:
    """Thin places of one region in its window; `own` are the pixels that may be told of."""
    depth = np.asarray(distance_transform_edt(whole))
    radius = max(limit / 2 - 0.5, 1.0)
    core = depth >= radius
    away = _distance_to(core)
    thin = own & (away >= radius)
    if not thin.any():
        return []
    opened, _ = label(whole & ~thin, EIGHT)
    places, _ = label(thin, EIGHT)
    found = []
    for number, box in enumerate(find_objects(places), 1):
        place = places[box] == number
        wider = tuple(slice(max(s.start - 1, 0), s.stop + 1) for s in box)
        if away[box][place].max() <= CORNER * radius and not _joins(
            places[wider] == number, opened[wider]
        ):
            continue
        found.append(_place(region, place, depth[box], limit, (box, shift), bool(core.any())))
    return found


def _distance_to(core: Mask) -> Floats:
    if not core.any():
        return np.full(core.shape, np.inf)
    return np.asarray(distance_transform_edt(~core))


def _joins(place: Mask, opened: NDArray[np.int32]) -> bool:
    """Whether a place is all that holds two thicker ones together."""
    beside = np.zeros_like(place)
    beside[1:] |= place[:-1]
    beside[:-1] |= place[1:]
    beside[:, 1:] |= place[:, :-1]
    beside[:, :-1] |= place[:, 1:]
    touched = np.unique(opened[beside & ~place])
    return int((touched > 0).sum()) > 1


def _place(
    region: Region,
    place: Mask,
    depth: Floats,
    limit: float,
    where: tuple[tuple[slice, slice], tuple[int, int]],
    is_arm: bool,
) -> ThinPlace:
    """Its width: twice the depth, less the half pixel that rounds it up.

    The depth of an arm is the median along its skeleton, of a thing by itself its deepest.
    """
    (rows, columns), (down, across) = where
    skeleton = skeletonize(np.pad(place, 1))[1:-1, 1:-1]
    if not skeleton.any():
        skeleton = place & (depth == depth[place].max())
    deep = np.median(depth[skeleton]) if is_arm else depth[place].max()
    width = min(max(2 * float(deep) - 0.5, 1.0), limit)

    def pixels(mask: Mask) -> Pixels:
        r, c = np.nonzero(mask)
        return Pixels(r + rows.start + down, c + columns.start + across)

    return ThinPlace(region, pixels(place), pixels(skeleton), width, limit)
