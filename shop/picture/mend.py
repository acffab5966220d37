"""Repairs of thin places, each with what it would change, and the mending of a whole picture."""

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_dilation, distance_transform_edt
from skimage.graph import route_through_array
from skimage.measure import approximate_polygon

from shop.picture.regions import components, regions_of, without_speckles
from shop.picture.shapes import OUTSIDE, Labels, Limits, Offer, Raster, Repair, Section
from shop.picture.thin import Floats, Pixels, ThinPlace, thin_places

# Rounds in which each place gets its cheapest repair, then in which it may only be given up;
# afterwards whole areas are, and each such round leaves one area fewer.
FREE_ROUNDS, STRICT_ROUNDS = 4, 3
# A place goes whole to the colour that lies along more than this share of its border.
MOST_OF_BORDER = 0.6
# Areas under a square of this share of the thinnest strip are specks, not drawing.
SPECK = 1 / 3


class Change(NamedTuple):
    """New labels of some pixels."""

    repair: Repair
    pixels: Pixels
    labels: Labels


def changes(labels: Labels, place: ThinPlace) -> list[Change]:
    """Every repair of a place that changes anything, the one that changes least first."""
    found = [_given_up(labels, place), _thickened(labels, place, place.middle)]
    straight = _as_strips(labels, place)
    found += [straight] if straight else []
    counted = [(_count(labels, change), i) for i, change in enumerate(found)]
    return [found[i] for count, i in sorted(counted) if count]


def offers(raster: Raster, place: ThinPlace) -> tuple[Offer, ...]:
    """The repairs with the area they change [m²], cheapest first."""
    pixel = raster.metres_per_pixel**2
    found = changes(raster.labels, place)
    return tuple(Offer(c.repair, _count(raster.labels, c) * pixel) for c in found)


def _count(labels: Labels, change: Change) -> int:
    return int((labels[change.pixels.rows, change.pixels.columns] != change.labels).sum())


def _given_up(labels: Labels, place: ThinPlace) -> Change:
    """The colour beyond takes the place: a line is dropped, a gap is merged.

    One colour takes all of it if it lies along most of its border, else each pixel the nearest.
    """
    pixels = place.pixels
    top, left = (max(int(p.min()) - 1, 0) for p in pixels)
    window = (slice(top, int(pixels.rows.max()) + 2), slice(left, int(pixels.columns.max()) + 2))
    own = np.zeros(labels.shape, dtype=bool)
    own[pixels.rows, pixels.columns] = True
    near = labels[window]
    taken = own[window] | (near == OUTSIDE) | (near == place.region.label)
    if taken.all():
        return Change("drop", pixels, labels[pixels.rows, pixels.columns])
    at = distance_transform_edt(taken, return_distances=False, return_indices=True)
    new = near[at[0], at[1]][pixels.rows - top, pixels.columns - left].astype(np.int16)
    beyond = near[binary_dilation(own[window]) & ~taken]
    if len(beyond):
        counts = np.bincount(beyond)
        if counts.max() > MOST_OF_BORDER * counts.sum():
            new = np.full(len(new), counts.argmax(), dtype=np.int16)
    return Change("merge" if place.region.is_field else "drop", pixels, new)


def _thickened(labels: Labels, place: ThinPlace, along: Pixels) -> Change:
    """A round of the limit's width drawn along a line, inside the picture."""
    radius = place.limit / 2
    reach = int(np.ceil(radius))
    rows, columns = np.mgrid[-reach : reach + 1, -reach : reach + 1]
    inside = np.hypot(rows, columns) <= radius
    top, left = (int(p.min()) - reach for p in along)
    high, wide = (int(np.ptp(p)) + 2 * reach + 1 for p in along)
    painted = np.zeros(high * wide, dtype=bool)
    middles = (along.rows - top) * wide + along.columns - left
    painted[middles[:, None] + (rows * wide + columns)[inside]] = True
    r, c = np.nonzero(painted.reshape(high, wide))
    r, c = r + top, c + left
    within = (r >= 0) & (c >= 0) & (r < labels.shape[0]) & (c < labels.shape[1])
    r, c = r[within], c[within]
    seen = labels[r, c] != OUTSIDE
    pixels = Pixels(r[seen], c[seen])
    return Change("thicken", pixels, np.full(len(pixels.rows), place.region.label, dtype=np.int16))


def _as_strips(labels: Labels, place: ThinPlace) -> Change | None:
    """A bent line as straight strips of the limit's width; None where it is straight."""
    path = _path(place)
    bends = approximate_polygon(path, place.limit / 2)
    if len(bends) < 3:
        return None
    steps = [_straight(one, other) for one, other in pairwise(bends)]
    bent = _given_up(labels, place)
    laid = _thickened(labels, place, Pixels(*np.concatenate(steps).T)).pixels
    new = labels.copy()
    new[bent.pixels.rows, bent.pixels.columns] = bent.labels
    new[laid.rows, laid.columns] = place.region.label
    pixels = Pixels(*np.nonzero(new != labels))
    return Change("strips", pixels, new[pixels.rows, pixels.columns])


def _path(place: ThinPlace) -> Floats:
    """Along the skeleton from one end to the other, as rows and columns."""
    top, left = (int(p.min()) for p in place.middle)
    skeleton = np.zeros([int(p.max()) - int(p.min()) + 1 for p in place.middle], dtype=bool)
    skeleton[place.middle.rows - top, place.middle.columns - left] = True
    points = np.argwhere(skeleton)
    start = points[np.abs(points - points.mean(axis=0)).sum(axis=1).argmax()]
    end = points[np.abs(points - start).sum(axis=1).argmax()]
    costs = np.where(skeleton, 1.0, 1e4)
    path, _ = route_through_array(costs, start, end)
    return np.asarray(np.array(path) + np.array([top, left]), dtype=np.float64)


def _straight(one: Floats, other: Floats) -> NDArray[np.int64]:
    steps = int(np.abs(other - one).max()) + 1
    return np.rint(np.linspace(one, other, steps)).astype(np.int64)


def speck_pixels(raster: Raster, limits: Limits) -> int:
    """Areas of fewer pixels are specks: under a square of a share of the thinnest strip."""
    return round((SPECK * limits.strip_m / raster.metres_per_pixel) ** 2)


class Mended(NamedTuple):
    """A raster in which nothing is too small, what was done, and the pixels it changed."""

    raster: Raster
    done: tuple[Repair, ...]
    changed_m2: float


def mended(
    raster: Raster,
    section: Section,
    limits: Limits,
    places: Sequence[ThinPlace] | None = None,
) -> Mended:
    """The picture with every thin place repaired at the least change of area.

    It ends: a repair may make another place thin, so after some rounds places are only given up,
    and after some more the smallest area that has one is, which leaves one area fewer each time.
    `places`: the raster's thin places, where they are known already.
    """
    speck, now, round_ = speck_pixels(raster, limits), raster, 0
    done: list[Repair] = []
    if places is None:
        places = thin_places(now, section, limits)
    while places:
        round_ += 1
        labels, made = _one_round(now, places, round_)
        now = replace(now, labels=without_speckles(labels, speck))
        done += made
        places = thin_places(now, section, limits)
    changed = int((now.labels != raster.labels).sum())
    return Mended(now, tuple(done), changed * raster.metres_per_pixel**2)


def _cheapest(labels: Labels, place: ThinPlace) -> Change:
    found = changes(labels, place)
    return found[0] if found else _given_up(labels, place)


def _one_round(
    raster: Raster, places: Sequence[ThinPlace], round_: int
) -> tuple[Labels, list[Repair]]:
    """Each place mended that no earlier repair of this round has touched."""
    if round_ > FREE_ROUNDS + STRICT_ROUNDS:
        return _without_one_area(raster, places), ["drop"]
    choose = _cheapest if round_ <= FREE_ROUNDS else _given_up
    now = raster.labels.copy()
    done: list[Repair] = []
    for place in places:
        rows, columns = place.pixels
        if (now[rows, columns] != place.region.label).any():
            continue
        change = choose(now, place)
        now[change.pixels.rows, change.pixels.columns] = change.labels
        done.append(change.repair)
    return now, done


def _without_one_area(raster: Raster, places: Sequence[ThinPlace]) -> Labels:
    """The smallest area with a thin place takes the colour it borders longest."""
    regions = {region.id: region for region in regions_of(raster)}
    smallest = min({p.region.id for p in places}, key=lambda i: (regions[i].area_m2, i))
    beside = regions[smallest].neighbours
    into = max(beside, key=lambda i: (beside[i], -i))
    labels = raster.labels.copy()
    labels[components(labels) == smallest] = regions[into].label
    return labels
