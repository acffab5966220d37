"""What a record on paper is put together from: headings, tables, drawings, photos [mm]."""

import io
from collections.abc import Sequence

from fpdf import FPDF
from fpdf.enums import RenderStyle, XPos, YPos

from shop.screens.office.card_pdf import FONT, LETTERS, plain
from shop.screens.office.drawn import Drawing, Path, Word
from shop.screens.office.pdf_table import MM_PER_POINT, Row, Table

# ISO 216.
A4_MM = (210.0, 297.0)
EDGE, FOOT = 14.0, 16.0
WIDE = A4_MM[0] - 2 * EDGE
SMALL, TEXT, HEAD = 7.6, 9.0, 13.0
# A photo's side on paper.
PHOTO = 56.0

# Fill, line and its width [drawing units], dashes, as static/css/record.css has them.
LOOKS: dict[str, tuple[str, str, float, float]] = {
    **{"grid": ("", "#cfc8bb", 1, 0), "axis": ("", "#1c1917", 2, 0)},
    **{"limit": ("", "#7a0b0b", 1.5, 3), "moment": ("", "#8f887c", 1, 0)},
    **{"foretold-band": ("#dcd8cf", "", 0, 0), "foretold": ("", "#57504a", 2, 8)},
    **{"read-line": ("", "#6b2d0e", 2.5, 0), "wanted": ("#faf7f1", "#57504a", 1, 0)},
    **{"had": ("#1c1917", "#1c1917", 1.5, 0), "had-next": ("#ffffff", "#1c1917", 1.5, 0)},
    **{"at-setup": ("#dcd8cf", "#1c1917", 1.5, 0), "at-kettle": ("#e0982c", "#1c1917", 1.5, 0)},
    **{"at-table": ("#c9b9a4", "#1c1917", 1.5, 0), "at-hook": ("#fdf8ec", "#1c1917", 1.5, 0)},
    **{"at-block": ("#f2c230", "#1c1917", 1.5, 0), "at-roller": ("#d9a27e", "#1c1917", 1.5, 0)},
    **{"at-packing": ("#cfe3ec", "#1c1917", 1.5, 0), "at-nowhere": ("#ffffff", "#1c1917", 1.5, 4)},
    **{"handover": ("", "#7a0b0b", 1.5, 5), "arrow": ("", "#7a0b0b", 2.5, 0)},
    **{"arrow-head": ("#7a0b0b", "#7a0b0b", 1, 0), "bar-whole": ("#8f887c", "#1c1917", 1.5, 0)},
    **{"bar-less": ("#d9a27e", "#1c1917", 1.5, 0), "bar-more": ("#cfe3ec", "#1c1917", 1.5, 0)},
    **{"bar-rest": ("#7a0b0b", "#7a0b0b", 1.5, 0), "cut": ("", "#ffffff", 3, 0)},
    **{"from-to": ("", "#8f887c", 1, 0), "whisker": ("", "#1c1917", 2, 0)},
}
READ = ("#f2c230", "#1c1917", 2.0, 0.0)
WORDS = {"word": (14.0, ""), "small": (12.5, ""), "strong": (14.0, "B"), "on-dark": (14.0, "B")}


class Paper(FPDF):
    """A4 pages whose foot says which of how many, and what they are held against."""

    def __init__(self, title: str, foot: str) -> None:
        super().__init__(unit="mm", format="A4")
        self.core_fonts_encoding = LETTERS
        self.foot = foot
        self.set_margins(EDGE, EDGE, EDGE)
        self.set_auto_page_break(True, FOOT + 4)
        self.c_margin = 0
        self.set_title(plain(title))
        self.set_lang("en-GB")

    def footer(self) -> None:
        """Called at the end of every page."""
        self.set_y(-FOOT)
        self.set_draw_color(0)
        self.set_line_width(0.2)
        self.line(EDGE, self.get_y(), EDGE + WIDE, self.get_y())
        self.set_font(FONT, "", SMALL)
        self.set_text_color(0)
        self.set_y(-FOOT + 1)
        self.cell(WIDE, 4, plain(self.foot), align="L")
        self.set_x(EDGE)
        self.cell(WIDE, 4, f"Page {self.page_no()} of {{nb}}", align="R")


def head(pdf: Paper, text: str, size: float = HEAD, room: float = 30) -> None:
    """A heading that never stands alone at the foot of a page."""
    if pdf.will_page_break(room):
        pdf.add_page()
    pdf.ln(2)
    pdf.set_font(FONT, "B", size)
    pdf.multi_cell(WIDE, size * 0.5, plain(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    pdf.ln(0.8)


def words(pdf: Paper, text: str, *, bold: bool = False, size: float = TEXT) -> None:
    """A paragraph."""
    pdf.set_font(FONT, "B" if bold else "", size)
    pdf.multi_cell(WIDE, size * 0.48, plain(text), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def table(
    pdf: Paper,
    titles: Row,
    rows: Sequence[Row],
    widths: Sequence[float],
    *,
    right: Sequence[int] = (),
    left: float = EDGE,
) -> None:
    """A table whose titles stand on every page; `right` columns end in line, widths in mm."""
    Table(pdf, left, widths, titles, right, SMALL).write(rows)


def draw(pdf: Paper, drawing: Drawing) -> None:
    """A drawing across the page, whole on one."""
    scale = WIDE / drawing.wide
    head(pdf, drawing.title, TEXT + 1, drawing.high * scale + 12)
    left, top = EDGE, pdf.get_y()
    for path in drawing.paths:
        _path(pdf, path, left, top, scale)
    for word in drawing.words:
        _word(pdf, word, left, top, scale)
    pdf.set_dash_pattern()
    pdf.set_text_color(0)
    pdf.set_xy(EDGE, top + drawing.high * scale + 1)


def _path(pdf: Paper, path: Path, left: float, top: float, scale: float) -> None:
    fill, stroke, wide, dash = LOOKS.get(path.look, READ)
    points = [(left + x * scale, top + y * scale) for x, y in path.points]
    pdf.set_draw_color(stroke or fill)
    pdf.set_line_width(max(wide, 0.5) * scale)
    pdf.set_dash_pattern(dash * scale, dash * scale * 0.7) if dash else pdf.set_dash_pattern()
    if path.closed:
        pdf.set_fill_color(fill or "#ffffff")
        pdf.polygon(points, style=RenderStyle.DF if stroke else RenderStyle.F)
    else:
        pdf.polyline(points)


def _word(pdf: Paper, word: Word, left: float, top: float, scale: float) -> None:
    size, style = WORDS.get(word.look, WORDS["word"])
    pdf.set_font(FONT, style, size * scale / MM_PER_POINT)
    text = plain(word.text)
    pdf.set_text_color(255 if word.look == "on-dark" else 0)
    ahead = {"start": 0.0, "middle": 0.5, "end": 1.0}[word.anchor] * pdf.get_string_width(text)
    pdf.text(left + word.x * scale - ahead, top + word.y * scale, text)


def photos(pdf: Paper, found: Sequence[tuple[str, bytes | None]]) -> None:
    """Three beside each other, each with its words; one that can't be shown says so."""
    across = WIDE / 3
    for i, (text, data) in enumerate(found):
        if i % 3 == 0:
            if pdf.will_page_break(PHOTO + 14):
                pdf.add_page()
            top = pdf.get_y()
        left = EDGE + i % 3 * across
        if data is None:
            pdf.rect(left, top, PHOTO, PHOTO)
        else:
            pdf.image(io.BytesIO(data), left, top, PHOTO, PHOTO, keep_aspect_ratio=True)
        pdf.set_xy(left, top + PHOTO + 1)
        pdf.set_font(FONT, "", SMALL)
        pdf.multi_cell(PHOTO, 3.4, plain(text), align="L")
        if i % 3 == 2 or i == len(found) - 1:
            pdf.set_xy(EDGE, top + PHOTO + 14)
