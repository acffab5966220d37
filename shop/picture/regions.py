"""Connected areas of one colour, who borders whom, and the smallest ones taken away."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import find_objects
from skimage.measure import label

from shop.picture.shapes import OUTSIDE, Labels, Raster, Region

Ids = NDArray[np.int64]


class Borders(NamedTuple):
    """Pairs of areas that touch, each once, `one` < `other`, and pixel sides along them."""

    one: Ids
    other: Ids
    sides: Ids


def components(labels: Labels, corners: bool = False) -> Ids:
    """Number of the connected area of each pixel, from 1; 0 outside.

    Sides connect; `corners` do where asked, so that a thin slanted line is one thing.
    """
    found = label(labels, background=OUTSIDE, connectivity=2 if corners else 1)
    return np.asarray(found, dtype=np.int64)


def borders(ids: Ids) -> Borders:
    """Which areas touch, and along how many pixel sides; what is outside (0) is left out."""
    pairs = np.concatenate(
        [
            np.stack([ids[:, :-1].ravel(), ids[:, 1:].ravel()]),
            np.stack([ids[:-1].ravel(), ids[1:].ravel()]),
        ],
        axis=1,
    )
    pairs = np.sort(pairs[:, (pairs[0] != pairs[1]) & (pairs.min(axis=0) > 0)], axis=0)
    most = int(ids.max()) + 1
    codes, sides = np.unique(pairs[0] * most + pairs[1], return_counts=True)
    return Borders(codes // most, codes % most, sides.astype(np.int64))


def without_speckles(labels: Labels, least: int) -> Labels:
    """Areas under `least` pixels take the colour they border longest, the smallest first.

    Rounds of all small areas that are smaller than their small neighbours, so that no two wait
    for each other; every round leaves fewer areas. Ties go to the larger, then the first area.
    """
    while True:
        ids = components(labels, corners=True)
        sizes = np.bincount(ids.ravel())
        small = (sizes < least) & (np.arange(len(sizes)) > 0)
        into = _longest_neighbour(ids, sizes, small)
        if not into.any():
            return labels
        first = np.zeros(len(sizes), dtype=np.int16)
        first[ids.ravel()] = labels.ravel()
        target = np.where(into > 0, first[into], first)
        labels = np.where(ids > 0, target[ids], OUTSIDE).astype(np.int16)


def _longest_neighbour(ids: Ids, sizes: Ids, small: NDArray[np.bool_]) -> Ids:
    """For each small area whose turn it is the area to merge into, else 0."""
    one, other, sides = borders(ids)
    left, right = np.concatenate([one, other]), np.concatenate([other, one])
    length = np.concatenate([sides, sides])
    rank = np.lexsort((np.arange(len(sizes)), sizes)).argsort()
    waits = np.zeros(len(sizes), dtype=bool)
    waits[left[small[right] & (rank[right] < rank[left])]] = True
    order = np.lexsort((right, -sizes[right], -length, left))
    starts = np.flatnonzero(np.r_[True, np.diff(left[order]) > 0]) if len(order) else order
    into = np.zeros(len(sizes), dtype=np.int64)
    into[left[order][starts]] = right[order][starts]
    return np.where(small & ~waits, into, 0)


def regions_of(raster: Raster) -> tuple[Region, ...]:
    """Every connected area, numbered from 1 as `components` does; borders along pixel sides."""
    ids = components(raster.labels)
    sizes = np.bincount(ids.ravel())
    touching: dict[int, dict[int, float]] = {i: {} for i in range(1, len(sizes))}
    for one, other, sides in zip(*borders(ids), strict=True):
        touching[int(one)][int(other)] = float(sides) * raster.metres_per_pixel
        touching[int(other)][int(one)] = float(sides) * raster.metres_per_pixel
    found = []
    for i, box in enumerate(find_objects(ids), 1):
        rows, columns = box
        value = int(raster.labels[box][ids[box] == i][0])
        found.append(
            Region(
                id=i,
                label=value,
                area_m2=float(sizes[i]) * raster.metres_per_pixel**2,
                box=(rows.start, columns.start, rows.stop, columns.stop),
                is_field=value == raster.background,
                neighbours=touching[i],
            )
        )
    return tuple(found)
