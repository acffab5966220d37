"""Sections as SVG, in millimetres: true size on paper, every colour the shop's own swatch."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from xml.sax.saxutils import escape, quoteattr

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
    shrunk: float = 1.0,
    outlined: bool = True,
) -> str:
    """All parts [mm], y downwards; `shrunk` times smaller, `mirrored` as the other end shows them.

    Each part's name is its title, read out and shown under a pointer.
    """
    side = -1.0 if mirrored else 1.0
    pen = f' stroke="{INK}" stroke-width="0.25"' if outlined else ""
    paths = [_path(part, colours[part.portion], side, shrunk, pen) for part in parts]
    return "\n".join(paths)


def _path(part: PicturePart, colour: PaletteColour, side: float, shrunk: float, pen: str) -> str:
    rings = " ".join(_ring(ring, side, shrunk) for ring in (part.polygon, *part.holes))
    name = f"<title>{escape(part.name)}</title>"
    # Without its own outline a part would show a hair of what lies behind along every joint.
    line = pen or f' stroke="{colour.hex}" stroke-width="0.05"'
    return f'<path d="{rings}" fill="{colour.hex}" fill-rule="evenodd"{line}>{name}</path>'


def _ring(ring: Ring, side: float, shrunk: float) -> str:
    scale = MM / shrunk
    points = " ".join(f"{side * x * scale:.3f},{-y * scale:.3f}" for x, y in ring)
    return f"M{points}Z"


def panels_of(drawn: Drawn, casing: PaletteColour) -> list[Panel]:
    """The section as the reading end shows it, from the mirror side, and at rod size."""
    colours = {colour.id: colour for colour in (*drawn.raster.palette, casing)}
    ratio = drawn.section.diameter_ratio
    log, rod = drawn.section.log_diameter_m * MM, drawn.section.rod_diameter_m * MM
    return [
        Panel("Reading end, at the log", section_body(drawn.parts, colours), log),
        Panel("Mirror side, at the log", section_body(drawn.parts, colours, mirrored=True), log),
        Panel(
            f"True size, {rod:g} mm rod",
            section_body(drawn.parts, colours, shrunk=ratio, outlined=False),
            rod,
        ),
    ]


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
