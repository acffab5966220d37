"""Outlines painted into a raster: lettering, parts laid by hand, a section seen from either end."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, Polygon
from skimage.draw import polygon

from shop.picture.place import disc
from shop.picture.shapes import OUTSIDE, PaletteColour, Raster, Section

PIXELS = 512


def blank(
    section: Section, palette: Sequence[PaletteColour], background: int, pixels: int = PIXELS
) -> Raster:
    """The picture's disc with nothing in it, `pixels` across."""
    labels = np.full((pixels, pixels), background, dtype=np.int16)
    labels[~disc(pixels)] = OUTSIDE
    metres = 2 * section.picture_radius_m / pixels
    return Raster(labels, metres, tuple(palette), background)


def painted(raster: Raster, outlines: Iterable[tuple[Polygon, int]]) -> Raster:
    """The picture with outlines [m] over it in their labels, later ones over earlier ones."""
    labels = raster.labels.copy()
    for outline, label in outlines:
        labels[_mask(raster, outline) & (labels != OUTSIDE)] = label
    return replace(raster, labels=labels)


def _mask(raster: Raster, outline: Polygon) -> NDArray[np.bool_]:
    """Pixels whose middle lies in an outline and in none of its holes."""
    mask = np.zeros(raster.labels.shape, dtype=bool)
    mask[_inside(raster, outline.exterior)] = True
    for hole in outline.interiors:
        mask[_inside(raster, hole)] = False
    return mask


def _inside(raster: Raster, ring: LinearRing) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Rows and columns within a ring; metres become pixels by the inverse of `Raster.point`."""
    x, y = shapely.get_coordinates(ring).T / raster.metres_per_pixel
    half = len(raster.labels) / 2 - 0.5
    rows, columns = polygon(half - y, x + half, raster.labels.shape)
    return rows, columns
