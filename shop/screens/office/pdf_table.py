"""Tables on paper: lines broken by hand, for a library that lays out any table takes seconds."""

from collections.abc import Sequence
from dataclasses import dataclass

from fpdf import FPDF

from shop.screens.office.card_pdf import FONT, plain, width

Row = Sequence[str]
MM_PER_POINT = 25.4 / 72
# Height of a line [font sizes], room beside and above a text [mm].
LEADING, BESIDE, ABOVE = 1.22, 2.0, 0.7
RULE = 170


@dataclass
class Table:
    """A table `left` from the edge; `widths` [mm] of its columns, `right` those that end in line.

    A row is never parted; on a new page the titles stand again.
    """

    pdf: FPDF
    left: float
    widths: Sequence[float]
    titles: Row = ()
    right: Sequence[int] = ()
    size: float = 7.6

    def __post_init__(self) -> None:
        self.line = self.size * MM_PER_POINT * LEADING

    def write(self, rows: Sequence[Row]) -> None:
        """The titles, never alone at the foot of a page, then every row."""
        written = [self._cells(row, bold=False) for row in rows]
        titles = self._high(self._cells(self.titles, bold=True)) if self.titles else 0.0
        if written and self.pdf.will_page_break(titles + self._high(written[0])):
            self.pdf.add_page()
        self._titles()
        for cells in written:
            if self.pdf.will_page_break(self._high(cells)):
                self.pdf.add_page()
                self._titles()
            self._row(cells, bold=False)

    def _titles(self) -> None:
        if self.titles:
            self._row(self._cells(self.titles, bold=True), bold=True)

    def _high(self, cells: list[list[str]]) -> float:
        return max(map(len, cells), default=1) * self.line + 2 * ABOVE

    def _row(self, cells: list[list[str]], *, bold: bool) -> None:
        top, high, x = self.pdf.get_y(), self._high(cells), self.left
        self._font(bold=bold)
        for i, (lines, wide) in enumerate(zip(cells, self.widths, strict=True)):
            for n, text in enumerate(lines):
                ahead = wide - BESIDE - self._width(text, bold=bold) if i in self.right else 0
                if text:
                    self.pdf.text(x + ahead, top + ABOVE + (n + 0.78) * self.line, text)
            x += wide
        self.pdf.set_draw_color(0 if bold else RULE)
        self.pdf.set_line_width(0.2)
        self.pdf.line(self.left, top + high, x, top + high)
        self.pdf.set_xy(self.pdf.l_margin, top + high)

    def _cells(self, row: Row, *, bold: bool) -> list[list[str]]:
        return [
            [part for text in plain(cell).split("\n") for part in self._broken(text, wide, bold)]
            for cell, wide in zip(row, self.widths, strict=True)
        ]

    def _broken(self, text: str, wide: float, bold: bool) -> list[str]:
        """The text in lines that fit; a word that is too long is cut where it must be."""
        lines, room = [""], wide - BESIDE
        for word in text.split(" "):
            longer = f"{lines[-1]} {word}" if lines[-1] else word
            if self._width(longer, bold=bold) <= room:
                lines[-1] = longer
                continue
            *whole, last = self._cut(word, room, bold)
            lines = [*(lines if lines[-1] else lines[:-1]), *whole, last]
        return lines

    def _cut(self, word: str, room: float, bold: bool) -> list[str]:
        if self._width(word, bold=bold) <= room:
            return [word]
        pieces = [""]
        for sign in word:
            if pieces[-1] and self._width(pieces[-1] + sign, bold=bold) > room:
                pieces.append("")
            pieces[-1] += sign
        return pieces

    def _font(self, *, bold: bool) -> None:
        self.pdf.set_font(FONT, "B" if bold else "", self.size)

    def _width(self, text: str, *, bold: bool) -> float:
        return width(text, bold=bold) * self.size * MM_PER_POINT
