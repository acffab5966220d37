"""What the A5 card draws: the boil's badge, sugars, the faces of the log [mm]."""

from collections.abc import Mapping
from typing import Any

from fpdf import FPDF
from fpdf.enums import RenderStyle

Box = tuple[float, float, float, float]
UM = 1000.0
BOTH = RenderStyle.DF


def swatch(pdf: FPDF, fill: str, x: float, y: float, wide: float) -> None:
    """A square of one sugar's colour."""
    pdf.set_fill_color(fill)
    pdf.rect(x, y, wide, wide, style=BOTH)


def badge(pdf: FPDF, letter: str, pattern: str, box: Box) -> None:
    """The boil's pattern along a strip, its letter in a white round on the left."""
    x, y, wide, high = box
    pdf.set_fill_color(0)
    with pdf.rect_clip(x, y, wide, high):
        PATTERNS[pattern](pdf, box)
    pdf.set_line_width(0.6)
    pdf.rect(x, y, wide, high)
    pdf.set_fill_color(255)
    middle, r = (x + high, y + high / 2), high * 0.62
    pdf.circle(*middle, r, style=BOTH)
    pdf.set_font("helvetica", "B", 34)
    pdf.set_xy(middle[0] - r, middle[1] - 7)
    pdf.cell(2 * r, 14, letter, align="C")
    pdf.set_line_width(0.2)


def _stripe(pdf: FPDF, box: Box) -> None:
    x, y, wide, high = box
    for i in range(-4, int(wide / 5) + 2):
        left = x + i * 5
        points = [(left, y + high), (left + 2.5, y + high), (left + 2.5 + high, y)]
        pdf.polygon([*points, (left + high, y)], style=RenderStyle.F)


def _dot(pdf: FPDF, box: Box) -> None:
    x, y, wide, high = box
    for i in range(int(wide / 4) + 1):
        for j in range(int(high / 4) + 1):
            pdf.circle(x + 2 + i * 4, y + 1.5 + j * 4, 1.2, style=RenderStyle.F)


def _check(pdf: FPDF, box: Box) -> None:
    x, y, wide, high = box
    for i in range(int(wide / 3.5) + 1):
        for j in range(i % 2, int(high / 3.5) + 1, 2):
            pdf.rect(x + i * 3.5, y + j * 3.5, 3.5, 3.5, style=RenderStyle.F)


def _wave(pdf: FPDF, box: Box) -> None:
    x, y, wide, high = box
    pdf.set_line_width(1.1)
    for j in range(int(high / 4) + 1):
        level = y + 2 + j * 4
        for i in range(int(wide / 8) + 1):
            left = x + i * 8
            ends = (left, level), (left + 2.5, level - 4), (left + 5.5, level + 4)
            pdf.bezier([*ends, (left + 8, level)])


PATTERNS = {"stripe": _stripe, "dot": _dot, "check": _check, "wave": _wave}


def face(
    pdf: FPDF, picture: Mapping[str, Any], place: tuple[float, float, float], *, mirror: bool
) -> None:
    """One face of the log in a square at `place` (left, top, side), with its mark: a dot where the
    reading end is towards you, a cross where it is away."""
    left, top, side = place
    scale = side / (picture["diameter_um"] / UM + 2)
    across, pdf_x, pdf_y = (-1 if mirror else 1), left + side / 2, top + side / 2
    pdf.circle(pdf_x, pdf_y, picture["diameter_um"] / 2 / UM * scale)
    for shape in picture["shapes"]:
        pdf.set_fill_color(shape["swatch"])
        if shape["kind"] == "circle":
            x, y, r = (shape[k] / UM * scale for k in ("x", "y", "r"))
            pdf.circle(pdf_x + across * x, pdf_y - y, r, style=BOTH)
        else:
            points = [
                (pdf_x + across * x / UM * scale, pdf_y - y / UM * scale)
                for x, y in shape["points"]
            ]
            pdf.polygon(points, style=BOTH)
    _mark(pdf, left + 4, top + side - 4, mirror=mirror)


def _mark(pdf: FPDF, x: float, y: float, *, mirror: bool) -> None:
    pdf.set_line_width(0.6)
    pdf.set_fill_color(255)
    pdf.circle(x, y, 3.4, style=BOTH)
    if mirror:
        pdf.line(x - 2.1, y - 2.1, x + 2.1, y + 2.1)
        pdf.line(x - 2.1, y + 2.1, x + 2.1, y - 2.1)
    else:
        pdf.set_fill_color(0)
        pdf.circle(x, y, 1.3, style=RenderStyle.F)
    pdf.set_line_width(0.2)
