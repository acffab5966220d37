"""What a piece is called at the bench: strip, bar, wedge, half-round, round or sheet.

The nearest of the shapes sugar is made in, by area; the piece keeps its own outline.
"""

import itertools
import math

import numpy as np
import shapely
from shapely import Polygon

from shop.picture.shapes import Kind

# A strip is at least so many times as wide as it is thick; a bar is less.
STRIP = 3.0
ROUND, TRIANGLE, BOX = 0.88, 0.85, 0.85
MOST_CORNERS = 16


def kind_of(piece: Polygon) -> Kind:
    """The kind of a piece without regard to its colour.

    >>> kind_of(shapely.box(0, 0, 4, 1)), kind_of(shapely.Point(0, 0).buffer(1))
    ('strip', 'round')
    """
    if piece.interiors:
        return "sheet"
    if piece.area > ROUND * math.pi * shapely.minimum_bounding_radius(piece) ** 2:
        return "round"
    long, short = sides_of(piece)
    if _is_half_round(piece.area, long, short):
        return "half-round"
    if piece.area > BOX * long * short:
        return "strip" if long >= STRIP * short else "bar"
    if _triangle_area(piece) > TRIANGLE * piece.area:
        return "wedge"
    return "strip" if long >= STRIP * short else "bar"


def sides_of(piece: Polygon) -> tuple[float, float]:
    """Longer and shorter side of the least box round a piece.

    >>> sides_of(shapely.box(0, 0, 3, 1))
    (3.0, 1.0)
    """
    corners = shapely.get_coordinates(shapely.minimum_rotated_rectangle(piece))
    one, other = (float(np.hypot(*(corners[i + 1] - corners[i]))) for i in (0, 1))
    return max(one, other), min(one, other)


def narrowest_of(piece: Polygon) -> float:
    """The widest round that fits into a piece; for a sheet its thinnest place.

    >>> round(narrowest_of(shapely.box(0, 0, 0.03, 0.006)), 4)
    0.006
    """
    if piece.interiors:
        return float(min(piece.exterior.distance(ring) for ring in piece.interiors))
    return 2 * float(shapely.maximum_inscribed_circle(piece, tolerance=2e-5).length)


def _is_half_round(area: float, long: float, short: float) -> bool:
    """A half disc fills π/4 of a box twice as long as it is high."""
    return 1.7 <= long / short <= 2.3 and abs(area / (long * short) - math.pi / 4) < 0.05


def _triangle_area(piece: Polygon) -> float:
    """The largest triangle on the corners of its hull."""
    corners = shapely.get_coordinates(piece.convex_hull.exterior)[:-1]
    corners = corners[:: math.ceil(len(corners) / MOST_CORNERS)]
    triples = np.array(list(itertools.combinations(range(len(corners)), 3)))
    if not len(triples):
        return 0.0
    a, b, c = (corners[triples[:, i]] for i in range(3))
    u, v = b - a, c - a
    return float(np.abs(u[:, 0] * v[:, 1] - u[:, 1] * v[:, 0]).max() / 2)
