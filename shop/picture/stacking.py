"""A part with a curve as stacked rods: one roll drawn out, cut in n, pressed together.

The trade's way to a berry: fifteen equal rods of one roll, stacked. Soft rods press to cells
without gaps, so the part is divided into n cells of nearly one size (a centroidal Voronoi
tessellation by Lloyd's rule, IEEE Transactions on Information Theory 28, 1982).
"""

import math
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.stats.qmc import Halton
from shapely import Polygon

from shop.craft.assemble import built_length
from shop.craft.errors import check_range
from shop.picture.editing import Parts, find_part, instead_of
from shop.picture.errors import PartWrong
from shop.picture.parts import polygon_of, reshaped, settled, slug
from shop.picture.shapes import MadeFrom, Motif, PicturePart, Section
from shop.picture.sums import log_length

ROUNDS = 60
SCALE = 2.0
# Cells that differ more than this from their mean are no equal rods.
UNEQUAL = 0.25


def stacked(
    parts: Sequence[PicturePart], section: Section, part: str, rods: int, thin_m: float
) -> tuple[Parts, Motif]:
    """The parts with one of them as `rods` [2–40] rods, and how the rods are made.

    `thin_m`: the thinnest that can be laid [m]. One roll at double size, as long as n L/k².
    Raises PartWrong for a part that is not there, is no solid piece of the picture, or whose rods
    would be thinner than that or too unequal.
    """
    check_range("rods", rods, "1", 2, 40, "a stack")
    old = find_part(parts, part)
    if old.holes or old.kind in ("filler", "jacket", "sheet"):
        raise PartWrong(old.name, f"is a {old.kind}", "stack a solid piece of the picture")
    new = [_rod(old, cell, n) for n, cell in enumerate(_cells(polygon_of(old), rods), 1)]
    _check(old, new, thin_m)
    made = MadeFrom(new[0].id, SCALE, flipped=False, half_turn=False)
    copies = [new[0], *(replace(rod, made_from=made) for rod in new[1:])]
    found = settled(instead_of(parts, [old], copies), section)
    length = log_length(found, section)
    return found, Motif(
        id=f"{old.id}-rods",
        parts=(new[0].id,),
        copies=rods,
        flips=0,
        scale=SCALE,
        build_m=built_length(rods, length, SCALE),
        drawn_m=rods * length,
        minutes_saved=0.0,
    )


def _rod(old: PicturePart, cell: Polygon, number: int) -> PicturePart:
    name = f"{old.name} rod {number}"
    return replace(reshaped(old, cell), id=slug(name), name=name, kind="round", made_from=None)


def _check(old: PicturePart, rods: Sequence[PicturePart], thin_m: float) -> None:
    mean = old.area_m2 / len(rods)
    across = 2 * math.sqrt(mean / math.pi)
    if across < thin_m:
        why = f"gives rods of {across * 1000:.1f} mm, under {thin_m * 1000:g}"
        raise PartWrong(old.name, why, "take fewer rods")
    if max(abs(rod.area_m2 / mean - 1) for rod in rods) > UNEQUAL:
        raise PartWrong(old.name, "does not divide into equal rods", "take another number of them")


def _cells(shape: Polygon, count: int) -> list[Polygon]:
    """Cells of nearly one area round points that lie in their middles, from the top down."""
    points = _spread(shape, count)
    for _ in range(ROUNDS):
        middles = shapely.centroid(_voronoi(shape, points))
        points = np.column_stack([shapely.get_x(middles), shapely.get_y(middles)])
    return sorted(_voronoi(shape, points), key=lambda p: (-round(p.centroid.y, 5), p.centroid.x))


def _spread(shape: Polygon, count: int) -> NDArray[np.float64]:
    """Points spread over a shape: the Halton sequence in its box, the first ones within."""
    left, low, right, high = shape.bounds
    share = shape.area / ((right - left) * (high - low))
    sequence = Halton(2, scramble=False).random(math.ceil(4 * count / share) + 16)
    points = sequence * [right - left, high - low] + [left, low]
    within = shapely.contains_xy(shape, points[:, 0], points[:, 1])
    return np.asarray(points[within][:count])


def _voronoi(shape: Polygon, points: NDArray[np.float64]) -> list[Polygon]:
    """The largest piece of the shape nearest to each point; loose bits join what they touch."""
    around = shapely.voronoi_polygons(shapely.multipoints(points), extend_to=shape)
    found, bits = [], []
    for cell in shapely.get_parts(around):
        inside = [
            p for p in shapely.get_parts(cell.intersection(shape)) if p.geom_type == "Polygon"
        ]
        inside.sort(key=lambda p: -p.area)
        found += inside[:1]
        bits += inside[1:]
    for bit in bits:
        near = max(range(len(found)), key=lambda i: found[i].buffer(1e-7).intersection(bit).area)
        found[near] = max(shapely.get_parts(shapely.union(found[near], bit)), key=lambda p: p.area)
    return found
