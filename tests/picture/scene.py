"""What the tests of this room share: the shop's colours and one section."""

from shop.picture.shapes import Limits, PaletteColour, Section

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
