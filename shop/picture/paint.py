"""Outlines painted into a raster: lettering, parts laid by hand, a section seen from either end."""

from collections.abc import Iterable, Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from PIL import Image, ImageDraw
from shapely import LinearRing, Polygon

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
    image = Image.new("1", raster.labels.shape[::-1], 0)
    draw = ImageDraw.Draw(image)
    draw.polygon(_points(raster, outline.exterior), fill=1)
    for hole in outline.interiors:
        draw.polygon(_points(raster, hole), fill=0)
    return np.asarray(image)


def _points(raster: Raster, ring: LinearRing) -> list[tuple[float, float]]:
    """Metres as columns and rows: the inverse of `Raster.point`."""
    half = len(raster.labels) / 2 - 0.5
    step = raster.metres_per_pixel
    return [(x / step + half, half - y / step) for x, y in ring.coords]
