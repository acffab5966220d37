"""Sections and cut faces on one SVG page, in millimetres: true size on paper."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

from shop.picture.face import Face, face_svg
from shop.picture.shapes import Drawn, PaletteColour, PicturePart, Ring

MM = 1000.0
GAP = 12.0
INK = "#2b2018"


@dataclass(frozen=True, slots=True)
class Panel:
    """One drawing: `body` in millimetres round its own middle, `wide` across, and its words."""

    title: str
    body: str
    wide: float


def section_body(
    parts: Sequence[PicturePart],
    colours: Mapping[str, PaletteColour],
    *,
    mirrored: bool = False,
) -> str:
    """All parts [mm], y downwards; `mirrored` as the other end shows them.

    Each part's name is its title, read out and shown under a pointer.
    """
    side = -MM if mirrored else MM
    return "\n".join(_path(part, colours[part.portion], side) for part in parts)


def _path(part: PicturePart, colour: PaletteColour, side: float) -> str:
    rings = " ".join(_ring(ring, side) for ring in (part.polygon, *part.holes))
    pen = f'stroke="{INK}" stroke-width="0.25"'
    name = f"<title>{escape(part.name)}</title>"
    return f'<path d="{rings}" fill="{colour.hex}" fill-rule="evenodd" {pen}>{name}</path>'


def _ring(ring: Ring, side: float) -> str:
    return f"M{' '.join(f'{side * x:.3f},{-MM * y:.3f}' for x, y in ring)}Z"


def section_panels(drawn: Drawn, casing: PaletteColour) -> list[Panel]:
    """The section at the log, as the reading end and as the mirror side show it."""
    colours = {colour.id: colour for colour in (*drawn.raster.palette, casing)}
    wide = drawn.section.log_diameter_m * MM
    return [
        Panel("Reading end, at the log", section_body(drawn.parts, colours), wide),
        Panel("Mirror side, at the log", section_body(drawn.parts, colours, mirrored=True), wide),
    ]


def face_panel(title: str, face: Face, wide_mm: float) -> Panel:
    """A cut face, `wide_mm` across."""
    half = wide_mm / 2
    # A length in mm inside a drawing is 96/25.4 of its units; ours are millimetres themselves.
    place = f"translate({-half:g},{-half:g}) scale({25.4 / 96:.6f})"
    return Panel(title, f'<g transform="{place}">{face_svg(face, wide_mm)}</g>', wide_mm)


def page(title: str, panels: Iterable[Panel]) -> str:
    """Panels side by side on one SVG page."""
    shown = list(panels)
    high = max(panel.wide for panel in shown) + 3 * GAP
    wide = sum(max(panel.wide, 40.0) + GAP for panel in shown) + GAP
    body, x = [], GAP
    for panel in shown:
        room = max(panel.wide, 40.0)
        middle = x + room / 2
        body.append(
            f'<g transform="translate({middle:.2f},{high / 2:.2f})">{panel.body}</g>'
            f'<text x="{middle:.2f}" y="{high - 5:.2f}" text-anchor="middle" font-size="5" '
            f'font-family="sans-serif" fill="{INK}">{escape(panel.title)}</text>'
        )
        x += room + GAP
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.2f}mm" height="{high:.2f}mm" '
        f'viewBox="0 0 {wide:.2f} {high:.2f}" role="img" aria-label={quoteattr(title)}>\n'
        + "\n".join(body)
        + "\n</svg>\n"
    )
