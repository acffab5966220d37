"""Labels as PDF: so many copies, on a roll or on sheets, each at its true size."""

from datetime import UTC, datetime
from typing import Any

from fpdf import FPDF

from shop.screens.office.card_pdf import FONT, LETTERS
from shop.screens.office.label_layout import Layout, layout
from shop.store.label_settings import PAPERS, Size

UM = 1000


def label_pdf(label: dict[str, Any], size: Size, copies: int, at: int) -> bytes:
    """The copies; `at` [ms] is when it was first printed, so that it comes out the same again.

    Raises TooLong, NoSuchLetters.
    """
    placed, sheet = layout(label, size), PAPERS[size.paper] or (size.wide_um, size.high_um)
    pdf = FPDF(unit="mm", format=(sheet[0] / UM, sheet[1] / UM))
    pdf.core_fonts_encoding = LETTERS
    pdf.set_auto_page_break(False)
    pdf.set_creation_date(datetime.fromtimestamp(at // UM, UTC))
    pdf.set_title(f"Label {label['lot']}, {label['place']}")
    pdf.set_lang("en-US" if label["place"] == "US" else "en-GB")
    places = on_a_sheet(size)
    for n in range(copies):
        if n % len(places) == 0:
            pdf.add_page()
        _draw(pdf, placed, size, places[n % len(places)], cut=size.paper != "roll")
    return bytes(pdf.output())


def on_a_sheet(size: Size) -> list[tuple[int, int]]:
    """Upper left corner [um] of each label on its paper: edge to edge, in the middle."""
    sheet = PAPERS[size.paper]
    if sheet is None:
        return [(0, 0)]
    across, down = sheet[0] // size.wide_um, sheet[1] // size.high_um
    left, top = (sheet[0] - across * size.wide_um) // 2, (sheet[1] - down * size.high_um) // 2
    return [
        (left + column * size.wide_um, top + row * size.high_um)
        for row in range(down)
        for column in range(across)
    ]


def _draw(pdf: FPDF, placed: Layout, size: Size, at: tuple[int, int], *, cut: bool) -> None:
    left, top = at
    if cut:
        pdf.set_line_width(0.1)
        pdf.set_draw_color(150)
        pdf.rect(left / UM, top / UM, size.wide_um / UM, size.high_um / UM)
    for word in placed.words:
        pdf.set_font(FONT, "B" if word.strong else "", word.size_pt)
        pdf.text((left + word.x_um) / UM, (top + word.y_um) / UM, word.text)
