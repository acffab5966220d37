"""A cut face: cells of colour at the rod's size, as pixels or as outlines.

Right-reading or mirrored: a prism seen from its other end has left and right changed.
"""

from dataclasses import dataclass, replace
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter
from skimage.measure import approximate_polygon, find_contours

from shop.craft.errors import check_range
from shop.picture.flow import Cells, Floats
from shop.picture.shapes import OUTSIDE, Drawn, Raster

Pixels: TypeAlias = NDArray[np.uint8]
PAPER = (250, 247, 241)
# Cells across a rod, and room beside it: an oval of 10 % is 16 cells wider.
GRID, MARGIN = 320, 8
# Outlines of cells are stairs: a blur of so many cells makes edges of them and keeps a line of one
# cell. Then they are simplified to a sixth of a cell, 7 µm in a 14 mm rod.
SMOOTH, SIMPLER, ROOM = 0.7, 0.15, 3


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """A cut face: colour of every cell, −1 outside, row 0 on top, seen from the reading end.

    colours: `#rrggbb` by index. mm_per_cell: at the rod's size [mm]. margin: cells of room on each
    side of a round rod, for an oval one.
    """

    cells: Cells
    colours: tuple[str, ...]
    mm_per_cell: float
    margin: int = 0

    @property
    def across(self) -> int:
        """Cells across a round rod."""
        return len(self.cells) - 2 * self.margin

    @property
    def mirrored(self) -> "Face":
        """The other face of the same sweet: left and right change."""
        return replace(self, cells=np.fliplr(self.cells))


def face_of(drawn: Drawn, casing: str, raster: Raster | None = None) -> Face:
    """The section as it is planned, with band and casing, at the rod's size.

    `casing`: `#rrggbb`. `raster`: another than the one that is built, such as `drawn.before`.
    """
    section, picture = drawn.section, raster or drawn.raster
    white = next(n for n, c in enumerate(picture.palette) if c.treatment == "white")
    step = section.log_diameter_m / GRID
    size = GRID + 2 * MARGIN
    middles: Floats = (np.arange(size, dtype=float) - (size - 1) / 2) * step
    far = np.hypot(middles[:, None], middles)
    cells = _sampled(picture, middles)
    cells[(cells == OUTSIDE) | (far > section.picture_radius_m)] = white
    cells[far > section.log_diameter_m / 2 - section.jacket_m] = len(picture.palette)
    cells[far > section.log_diameter_m / 2] = OUTSIDE
    colours = (*(colour.hex for colour in picture.palette), casing)
    return Face(cells, colours, section.rod_diameter_m * 1000 / GRID, MARGIN)


def _sampled(picture: Raster, middles: Floats) -> Cells:
    """The raster at these places [m]; OUTSIDE beyond it."""
    rows, columns = picture.labels.shape
    x = np.floor(middles / picture.metres_per_pixel + columns / 2).astype(int)
    y = np.floor(middles / picture.metres_per_pixel + rows / 2).astype(int)
    cells = np.full((len(y), len(x)), OUTSIDE, dtype=np.int16)
    held = np.ix_((y >= 0) & (y < rows), (x >= 0) & (x < columns))
    within = np.ix_(y[(y >= 0) & (y < rows)], x[(x >= 0) & (x < columns)])
    cells[held] = picture.labels[within]
    return cells


def rendered(face: Face, bleed_mm: float = 0.0, pixels: int = 0) -> Pixels:
    """A face and its margin as sRGB, colours run together over `bleed_mm` [mm, rod].

    `pixels`: a side [16–2000]; one a cell where nothing is said. Blended in linear light (IEC
    61966-2-1), as thin layers of sugar and eyes do it.
    """
    pixels = pixels or len(face.cells)
    check_range("pixels", pixels, "1", 16, 2000, "a picture of a face")
    table = np.array([*map(_linear, face.colours), _linear_rgb(PAPER)])
    light = table[face.cells]
    if bleed_mm:
        inside = (face.cells != OUTSIDE)[..., None]
        sigma = (bleed_mm / 2 / face.mm_per_cell,) * 2 + (0,)
        weight = gaussian_filter(inside.astype(float), sigma)
        run = gaussian_filter(light * inside, sigma) / np.maximum(weight, 1e-9)
        light = np.where(inside, run, light)
    return _srgb(_resized(light, pixels))


def _resized(light: Floats, pixels: int) -> Floats:
    """Every pixel the mean of the cells it covers, whole and in part."""
    size = len(light)
    edges = np.arange(pixels + 1) * size / pixels
    cells = np.arange(size)
    ends = np.minimum(edges[1:, None], cells + 1)
    covered = np.clip(ends - np.maximum(edges[:-1, None], cells), 0, None) * pixels / size
    return np.asarray(np.einsum("ab,bcd,ec->aed", covered, light, covered, optimize=True))


def _linear(hex_: str) -> Floats:
    return _linear_rgb(tuple(int(hex_[n : n + 2], 16) for n in (1, 3, 5)))


def _linear_rgb(rgb: tuple[int, ...]) -> Floats:
    value = np.asarray(rgb, dtype=float) / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def _srgb(light: Floats) -> Pixels:
    value = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return np.asarray(np.clip(np.round(value * 255), 0, 255), dtype=np.uint8)


def face_svg(face: Face, wide_mm: float | None = None) -> str:
    """A face as SVG outlines, a round rod `wide_mm` [mm] wide; at the rod's size without.

    One path a colour, in the face's own unit of a cell.
    """
    wide, m, size = wide_mm or face.across * face.mm_per_cell, face.margin, face.across
    head = f'width="{wide:g}mm" height="{wide:g}mm" viewBox="{m} {m} {size} {size}" role="img"'
    paths = [
        f'<path d="{path}" fill="{colour}" stroke="{colour}" stroke-width="0.7" '
        'stroke-linejoin="round" fill-rule="evenodd"/>'
        for index, colour in enumerate(face.colours)
        if (path := _outline(face.cells == index))
    ]
    # An oval face reaches out of the round it was to be.
    opens = f'<svg xmlns="http://www.w3.org/2000/svg" {head} overflow="visible">'
    return f"{opens}{''.join(paths)}</svg>"


def _outline(mask: NDArray[np.bool_]) -> str:
    """The edges of a mask as SVG path data."""
    room = np.pad(mask, ROOM).astype(float)
    rings = [
        approximate_polygon(ring - ROOM + 0.5, SIMPLER)
        for ring in find_contours(gaussian_filter(room, SMOOTH), 0.5)
    ]
    return "".join(
        "M" + "L".join(f"{x:.1f} {y:.1f}" for y, x in ring[:-1]) + "Z"
        for ring in rings
        if len(ring) > 3
    )
