"""What the tests of this room share: the shop's colours, one section, rasters of all sorts."""

from dataclasses import replace

import numpy as np
from hypothesis import strategies as st

from shop.picture.draw import Shop
from shop.picture.motifs import Bench
from shop.picture.place import disc
from shop.picture.shapes import OUTSIDE, Labels, Limits, PaletteColour, Raster, Section

PALETTE = (
    PaletteColour("white", "White", "#fdf8ec", "white"),
    PaletteColour("yellow", "Yellow", "#f2c230", "light"),
    PaletteColour("orange", "Orange", "#e5792a", "light"),
    PaletteColour("red", "Red", "#c8202c", "light"),
    PaletteColour("green", "Green", "#2f8f4e", "light"),
    PaletteColour("blue", "Blue", "#2a5fa8", "light"),
    PaletteColour("brown", "Brown", "#4a2811", "clear"),
    PaletteColour("clear", "Clear", "#cfe3ec", "clear"),
)
SECTION = Section(
    log_kg=11.0,
    log_diameter_m=0.150,
    rod_diameter_m=0.014,
    jacket_m=0.006,
    band_m=0.008,
    densities={"clear": 1450.0, "light": 1300.0, "white": 1250.0},
)
LIMITS = Limits(strip_m=0.006, line_m=0.00045, hole_m=0.0007, letter_m=0.0025)
CASING = PaletteColour("jacket", "Casing", "#e0982c", "clear")
SHOP = Shop(LIMITS, Bench(part_s=52.0, drawing_s=180.0, shortest_m=0.2), CASING)


def raster_of(labels: Labels) -> Raster:
    """Labels laid into the picture's disc, white behind."""
    inside = np.where(disc(len(labels)), labels, OUTSIDE).astype(np.int16)
    return Raster(inside, 2 * SECTION.picture_radius_m / len(labels), PALETTE, 0)


@st.composite
def messy(draw: st.DrawFn) -> Raster:
    """Boxes, bars and dots of four colours, most of them too thin, on a coarse raster."""
    random = np.random.default_rng(draw(st.integers(0, 2**32 - 1)))
    labels = np.zeros((64, 64), np.int16)
    for _ in range(draw(st.integers(1, 14))):
        top, left = random.integers(0, 60, 2)
        high, wide = random.integers(1, 30, 2)
        labels[top : top + high, left : left + wide] = random.integers(0, 4)
    background = draw(st.sampled_from([0, 0, 1]))
    return replace(raster_of(labels), background=background)
