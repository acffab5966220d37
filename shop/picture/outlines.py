"""Regions of a raster as polygons that share their borders, simplified together.

Pixel sides are traced exactly, then every border is simplified once for both sides of it
(Visvalingam and Whyatt, The Cartographic Journal 30, 1993, as GEOS does for coverages), so that
nothing gapes or overlaps. The edge of the picture is a polygon of the disc's own area.
"""

import math
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.ndimage import distance_transform_edt

from shop.picture.regions import Ids, components
from shop.picture.shapes import OUTSIDE, Raster

Polygons = dict[int, shapely.Polygon]
# Half a strip's width may go wrong by a sixth on a bench: finer outlines are not laid.
TOLERANCE_M = 0.0009
SIDES = 256
BEYOND = 4


def disc_of(radius_m: float, sides: int = SIDES) -> shapely.Polygon:
    """A regular polygon with the area of a circle of `radius_m` [m].

    >>> abs(disc_of(0.075).area - math.pi * 0.075**2) < 1e-12
    True
    """
    angle = 2 * math.pi / sides
    across = radius_m * math.sqrt(angle / math.sin(angle))
    turns = np.arange(sides) * angle
    return shapely.Polygon(np.column_stack([np.cos(turns), np.sin(turns)]) * across)


def outlines_of(raster: Raster, tolerance_m: float = TOLERANCE_M) -> Polygons:
    """The polygons of a raster's regions [m] by region id: they cover the disc once each.

    A region that the simplification tears is its largest piece; what falls off joins the piece
    it touches longest.
    """
    ids = _grown(components(raster.labels), raster.labels == OUTSIDE)
    traced = _traced(ids, raster.metres_per_pixel, len(raster.labels))
    names = list(traced)
    simple = shapely.coverage_simplify(list(traced.values()), tolerance_m)
    disc = disc_of(len(raster.labels) * raster.metres_per_pixel / 2)
    return in_one_piece(dict(zip(names, shapely.intersection(simple, disc), strict=True)))


def _grown(ids: Ids, outside: NDArray[np.bool_]) -> Ids:
    """Regions grown past the disc, so that its edge cuts them and not their pixels."""
    ids, outside = np.pad(ids, BEYOND), np.pad(outside, BEYOND, constant_values=True)
    at = distance_transform_edt(outside, return_distances=False, return_indices=True)
    return np.asarray(ids[at[0], at[1]])


def _traced(ids: Ids, metres: float, pixels: int) -> Polygons:
    """Exact outlines along pixel sides, every corner of a pixel on a border a vertex."""
    framed = np.pad(ids, 1)
    rows, columns = np.nonzero(framed[1:, 1:-1] != framed[:-1, 1:-1])
    level = np.stack([columns, rows, columns + 1, rows], axis=1)
    rows, columns = np.nonzero(framed[1:-1, 1:] != framed[1:-1, :-1])
    upright = np.stack([columns, rows, columns, rows + 1], axis=1)
    sides = np.concatenate([level, upright]).reshape(-1, 2, 2)
    lines = shapely.linestrings((sides - BEYOND - pixels / 2) * [metres, -metres])
    faces = shapely.get_parts(shapely.polygonize(lines))
    within = shapely.get_coordinates(shapely.point_on_surface(faces)) / [metres, -metres]
    at = np.floor(within + pixels / 2 + BEYOND).astype(int)
    found: dict[int, list[Any]] = {}
    for face, number in zip(faces, ids[at[:, 1], at[:, 0]], strict=True):
        found.setdefault(int(number), []).append(face)
    return {n: shapely.union_all(faces) for n, faces in sorted(found.items())}


def in_one_piece(torn: dict[int, Any]) -> Polygons:
    """Each region one polygon; loose bits go to the polygon they share most border with."""
    whole, bits = {}, []
    for number, shape in torn.items():
        pieces = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon" and p.area > 0]
        pieces.sort(key=lambda p: -p.area)
        if pieces:
            whole[number] = pieces[0]
            bits += pieces[1:]
    for bit in bits:
        near = max(
            whole, key=lambda n: shapely.intersection(whole[n].boundary, bit.boundary).length
        )
        whole[near] = shapely.union(whole[near], bit)
    return whole
