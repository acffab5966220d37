"""The two-sided A5 card as PDF: what a bench needs when no screen can be had, black on white.

Helvetica, one of the fonts every PDF reader has (ISO 32000-1, 9.6.2.2), in Windows' Latin letters
(cp1252): ° – µ ² × are in it. Other letters lose their marks, what has no plain form becomes `?`.
"""

import unicodedata
from dataclasses import dataclass
from functools import cache
from typing import Any

from fpdf import FPDF
from fpdf.enums import MethodReturnValue, XPos, YPos
from fpdf.fonts import CoreFont

from shop.screens.office.pdf_drawing import badge, face, swatch

# ISO 216.
A5_MM = (148.0, 210.0)
EDGE, HEAD = 9.0, 24.0
WIDE = A5_MM[0] - 2 * EDGE
# A portion's row, and what marks, clock, times and the foot take under them.
ROW, BELOW, ONE_COLUMN = 6.6, 94.0, 5
FONT, LETTERS = "helvetica", "cp1252"
FACES = {bold: CoreFont(1, FONT + style, style) for bold, style in ((False, ""), (True, "B"))}
INSTEAD = {
    **{"\u202f": "\u00a0", "\u2009": "\u00a0", "\u2212": "-", "→": ">"},
    **{"Ł": "L", "ł": "l", "Đ": "D", "đ": "d", "ı": "i"},
}


@dataclass(frozen=True, slots=True)
class CardPage:
    """What the card says, in words; `blocks` with their mass, `sticks` what was read of time."""

    title: str
    lot: str
    letter: str
    pattern: str
    order: str
    crew: str
    masses: list[tuple[str, str]]
    portions: list[tuple[str, str, str]]
    marks: list[tuple[str, str]]
    clock: list[tuple[str, str]]
    blocks: list[tuple[str, str]]
    reading_end: str
    cautions: list[str]
    burn: list[str]
    picture: dict[str, Any]


def card_pdf(page: CardPage) -> bytes:
    """Two A5 pages: masses, marks and clock; then both faces, blocks and cautions."""
    pdf = FPDF(unit="mm", format=A5_MM)
    pdf.core_fonts_encoding = LETTERS
    pdf.set_auto_page_break(False)
    pdf.set_margin(EDGE)
    pdf.c_margin = 0
    pdf.set_title(plain(f"Boil {page.letter}: {page.title}"))
    pdf.set_lang("en-GB")
    _front(pdf, page)
    _back(pdf, page)
    return bytes(pdf.output())


def plain(text: str) -> str:
    """The text in letters the font has.

    >>> plain("149.0\\u202f°C – Łódź")
    '149.0\\xa0°C – Lódz'
    """
    return "".join(_letter(sign) for sign in text)


def width(text: str, *, bold: bool) -> float:
    """How wide a text in letters the font has is at one point [pt]."""
    return FACES[bold].get_text_width(text.encode(LETTERS).decode("latin-1"), 1, None)[1]


@cache
def _letter(sign: str) -> str:
    sign = INSTEAD.get(sign, sign)
    if _has(sign):
        return sign
    bare = "".join(c for c in unicodedata.normalize("NFKD", sign) if not unicodedata.combining(c))
    return bare if bare and _has(bare) else "?"


def _has(text: str) -> bool:
    try:
        text.encode(LETTERS)
    except UnicodeEncodeError:
        return False
    return True


def _front(pdf: FPDF, page: CardPage) -> None:
    _head(pdf, page, page.title)
    _text(pdf, page.order, 11)
    _text(pdf, page.crew, 11, bold=True)
    _rule(pdf, "To weigh")
    _pairs(pdf, page.masses)
    _portions(pdf, page.portions)
    _rule(pdf, "The mark")
    _pairs(pdf, page.marks)
    _rule(pdf, "The clock")
    _pairs(pdf, page.clock)
    _rule(pdf, "Write the times")
    _blanks(pdf, ["lit", "boils", "130", "poured", "peak", "closed", "first rod", "last cut"])
    _foot(pdf, page.burn)


def _portions(pdf: FPDF, portions: list[tuple[str, str, str]]) -> None:
    """Each sugar with its mass and a line for what was made of it; many stand in two columns."""
    columns = 1 if len(portions) <= ONE_COLUMN else 2
    wide, top = WIDE / columns, pdf.get_y()
    rows = -(-len(portions) // columns)
    row = min(ROW, (A5_MM[1] - BELOW - top) / rows)
    for i, (name, fill, mass) in enumerate(portions):
        left, y = EDGE + i // rows * wide, top + i % rows * row
        swatch(pdf, fill, left, y + 0.8, 4.6)
        pdf.set_xy(left + 6, y)
        _cell(pdf, name, wide * 0.37, 12)
        _cell(pdf, mass, wide * 0.34, 14, bold=True)
        pdf.line(pdf.get_x(), y + 5.6, left + wide - 2, y + 5.6)
    pdf.set_xy(EDGE, top + rows * row)


def _back(pdf: FPDF, page: CardPage) -> None:
    _head(pdf, page, "The picture, from both sides")
    top = pdf.get_y()
    reads = f"Reading end: {page.reading_end}"
    below = 5.1 * lines_of(pdf, reads, 12) + 6.2 * len(page.blocks) + 4.9 * len(page.cautions)
    # As large as what stands under them lets them be.
    wide = min(WIDE / 2 - 3, A5_MM[1] - 37 - top - below)
    for i, (title, mirror) in enumerate(SIDES):
        left = EDGE + i * (WIDE / 2 + 3)
        pdf.set_xy(left, top)
        _cell(pdf, title, WIDE / 2 - 3, 13, bold=True)
        face(pdf, page.picture, (left, top + 8, wide), mirror=mirror)
    pdf.set_xy(EDGE, top + 10 + wide)
    _text(pdf, reads, 12, bold=True)
    _rule(pdf, "Blocks, in order")
    for n, (name, mass) in enumerate(page.blocks, 1):
        _cell(pdf, f"{n}", 8, 13, bold=True)
        _cell(pdf, name, 72, 13)
        _cell(pdf, mass, 26, 13, bold=True)
        pdf.rect(EDGE + WIDE - 6, pdf.get_y() + 0.7, 4.6, 4.6)
        pdf.set_xy(EDGE, pdf.get_y() + 6.2)
    _rule(pdf, "Cautions")
    for line in page.cautions:
        _fitted(pdf, line, 10.5)


SIDES = (("Lead’s side: the reading end", False), ("Mirror side: the other end", True))


def _head(pdf: FPDF, page: CardPage, title: str) -> None:
    """The boil's letter on its pattern along the whole edge: told apart in a stack, in grey too."""
    pdf.add_page()
    badge(pdf, page.letter, page.pattern, (EDGE, EDGE - 3, WIDE, 14.0))
    pdf.set_xy(EDGE, HEAD - 2)
    _fitted(pdf, title, 19, bold=True)
    _text(pdf, f"Lot {page.lot}", 11)


def _rule(pdf: FPDF, title: str) -> None:
    pdf.set_y(pdf.get_y() + 1.2)
    pdf.set_line_width(0.5)
    pdf.line(EDGE, pdf.get_y(), EDGE + WIDE, pdf.get_y())
    pdf.set_line_width(0.2)
    pdf.set_y(pdf.get_y() + 0.8)
    _fitted(pdf, title, 12, bold=True)


def _pairs(pdf: FPDF, lines: list[tuple[str, str]]) -> None:
    """Two to a row: what it is, and large the figure."""
    half = WIDE / 2
    for i, (says, value) in enumerate(lines):
        pdf.set_x(EDGE + (i % 2) * half)
        _cell(pdf, says, half - 29, 11)
        _cell(pdf, value, 27, 14, bold=True)
        if i % 2 or i == len(lines) - 1:
            pdf.set_xy(EDGE, pdf.get_y() + 6.6)


def _blanks(pdf: FPDF, names: list[str]) -> None:
    quarter = WIDE / 4
    for i, name in enumerate(names):
        left = EDGE + (i % 4) * quarter
        pdf.set_x(left)
        _cell(pdf, name, 15, 10)
        pdf.line(left + 15, pdf.get_y() + 6, left + quarter - 2, pdf.get_y() + 6)
        if i % 4 == 3:
            pdf.set_y(pdf.get_y() + 7.6)


def _foot(pdf: FPDF, lines: list[str]) -> None:
    high = 5.2 * len(lines) + 3
    pdf.set_xy(EDGE, A5_MM[1] - EDGE - high + 3)
    pdf.set_line_width(0.8)
    pdf.rect(EDGE - 2, pdf.get_y() - 1.5, WIDE + 4, high)
    pdf.set_line_width(0.2)
    for line in lines:
        _fitted(pdf, line, 11.5, bold=True)


def _text(pdf: FPDF, text: str, size: float, *, bold: bool = False) -> None:
    """As many lines as it takes."""
    pdf.set_font(FONT, "B" if bold else "", size)
    pdf.multi_cell(WIDE, size * 0.42, plain(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def lines_of(pdf: FPDF, text: str, size: float) -> int:
    """How many lines a bold text takes across the card."""
    pdf.set_font(FONT, "B", size)
    found = pdf.multi_cell(WIDE, 5, plain(text), dry_run=True, output=MethodReturnValue.LINES)
    return len(found) if isinstance(found, list) else 0


def _fitted(pdf: FPDF, text: str, size: float, *, bold: bool = False) -> None:
    """One line, smaller where it would be too long."""
    _cell(pdf, text, WIDE, size, bold=bold)
    pdf.set_xy(EDGE, pdf.get_y() + size * 0.46)


def _cell(pdf: FPDF, text: str, wide: float, size: float, *, bold: bool = False) -> None:
    style, words = ("B" if bold else ""), plain(text)
    pdf.set_font(FONT, style, size)
    needed = pdf.get_string_width(words) + 1
    if needed > wide:
        pdf.set_font(FONT, style, size * wide / needed)
    pdf.cell(wide, 6, words, new_x=XPos.RIGHT, new_y=YPos.TOP)
