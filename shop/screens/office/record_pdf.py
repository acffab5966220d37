"""The record of a boil as a PDF: one page in short, then everything, down to the last press.

What it is held against (hashes of sheet, entries and log) stands at the end, short in every foot.
"""

from collections.abc import Mapping

from shop.screens.office.pdf_drawing import badge
from shop.screens.office.pdf_record_parts import EDGE, WIDE, Paper, draw, head, photos, table, words
from shop.screens.office.record_page import RecordPage, Row

SHORT = 12
BLANK = ""


def record_pdf(page: RecordPage, pictures: Mapping[str, bytes] | None = None) -> bytes:
    """The whole record; `pictures` are small JPEGs by the hash of the photo they show."""
    held = ", ".join(f"{name.lower()} {value[:SHORT]}" for name, value in page.summary.hashes)
    pdf = Paper(f"{page.title}, lot {page.lot}", f"Lot {page.lot}: {held}")
    pdf.add_page()
    _in_short(pdf, page)
    pdf.add_page()
    _temperature(pdf, page)
    _who(pdf, page)
    _balance(pdf, page)
    _open(pdf, page)
    _photos(pdf, page, pictures or {})
    _history(pdf, page)
    _held(pdf, page)
    return bytes(pdf.output())


def _in_short(pdf: Paper, page: RecordPage) -> None:
    badge(pdf, page.letter, page.pattern, (EDGE, EDGE, WIDE, 11.0))
    pdf.set_xy(EDGE, EDGE + 14)
    head(pdf, page.title, 18)
    words(pdf, f"Batch record. Lot {page.lot}, made {page.day} at {page.shop}: {page.phase}.")
    pdf.ln(1)
    _beside(pdf, page)
    head(pdf, "What went off, and what we changed", 11)
    for off in page.off:
        words(pdf, f"{off.what} {off.seen}, {off.at}, {off.by}.".replace(" ,", ","), bold=True)
        words(pdf, f"Changed: {off.changed}" if off.changed else "Nothing written down as changed.")
    if not page.off:
        words(pdf, "Nothing.")
    if page.handovers:
        head(pdf, "Handovers", 11)
    for h in page.handovers:
        said = f"{h.kind}: offered by {h.gave}; taken by {h.took}. {h.walked}."
        words(pdf, f"{said} Questions: {h.asked} {h.right}")
    _made_of(pdf, page)
    _signed(pdf, page)


def _beside(pdf: Paper, page: RecordPage) -> None:
    """Facts and the cook on the left, the clock on the right."""
    told = page.summary
    top = pdf.get_y()
    table(pdf, (), told.facts, (27, 77))
    pdf.ln(2)
    table(pdf, ("The cook", BLANK), told.cook, (62, 42), right=(1,))
    foot = pdf.get_y()
    pdf.set_y(top)
    clock = ("The clock", BLANK)
    table(pdf, clock, told.moments, (48, 22), right=(1,), left=EDGE + WIDE - 70)
    pdf.set_y(max(foot, pdf.get_y()))


def _made_of(pdf: Paper, page: RecordPage) -> None:
    made = page.summary.made_of
    if made:
        head(pdf, "What went in", 11)
        table(pdf, ("Material", "Mass", "Lot"), made, (70, 40, 70), right=(1,))
    if page.summary.gaps:
        words(pdf, f"Nobody said: {' '.join(page.summary.gaps)}", size=7.6)


def _signed(pdf: Paper, page: RecordPage) -> None:
    head(pdf, "Whose entries, and how that is known", 11)
    titles = ("Who", "Checked by the shop", "On the phone", "At the desk", "Not signed in")
    rows = [
        (s.name, str(s.shop), str(s.phone), str(s.desk), str(s.unsigned))
        for s in page.summary.signed
    ]
    table(pdf, titles, rows, (60, 34, 30, 28, 30), right=(1, 2, 3, 4))


def _temperature(pdf: Paper, page: RecordPage) -> None:
    told = page.temperature
    head(pdf, "Temperature")
    if told.drawing:
        draw(pdf, told.drawing)
        words(pdf, LEGEND + " " + " ".join(told.foretold), size=7.6)
    titles = ("No.", "What", "When", "As read, how, with what", "Correction", "True", "Wanted")
    rows = [(r.number, r.what, r.at, r.read, r.correction, r.true, r.wanted) for r in told.rows]
    table(pdf, titles, rows, (8, 40, 12, 60, 18, 18, 26))


LEGEND = (
    "Broken line and grey: foretold by the plan, with how far its minutes may be off. Marks: what "
    "was read, put right; round inside the sugar, square its mean, a triangle its skin, six "
    "corners air, a diamond seen to pass. Upright bars: wanted."
)


def _who(pdf: Paper, page: RecordPage) -> None:
    head(pdf, "Who did what when")
    if page.timeline.drawing:
        draw(pdf, page.timeline.drawing)
        words(pdf, f"Had the boil: {', '.join(page.timeline.had)}.", size=7.6)
    titles = ("No.", "Who", "Where", "When", "Entries", "From … to", "Meanwhile elsewhere")
    rows = [
        (str(r.number), r.who, r.where, r.times, str(r.entries), r.said, r.beside)
        for r in page.timeline.rows
    ]
    table(pdf, titles, rows, (8, 18, 18, 26, 14, 58, 40), right=(4,))


def _balance(pdf: Paper, page: RecordPage) -> None:
    told = page.balance
    head(pdf, "Where every gram went")
    for drawing in told.drawings:
        draw(pdf, drawing)
    rows = [
        *told.rows,
        ("Not accounted for", BLANK, told.rest),
        ("Yield of the log", BLANK, told.share),
    ]
    table(pdf, ("From the log to the bags", BLANK, "Mass"), rows, (90, 30, 62), right=(2,))
    if told.missing:
        words(pdf, f"Not weighed: {told.missing}.")


def _open(pdf: Paper, page: RecordPage) -> None:
    head(pdf, "Still owed")
    words(pdf, "; ".join(page.owed) + "." if page.owed else "Nothing.")
    for conflict in page.conflicts:
        words(pdf, f"For a person to settle: {conflict}.")
    for ref, why in page.unfiled:
        words(pdf, f"Couldn't file {ref}: {why}")
    for device, seq, why in page.aside:
        words(pdf, f"Set aside {device}:{seq}: {why}")


def _photos(pdf: Paper, page: RecordPage, pictures: Mapping[str, bytes]) -> None:
    if page.files:
        head(pdf, "Photos and spoken notes", room=70)
    shown = [
        (f"{f.words}. {f.sha256[:SHORT]}", pictures.get(f.sha256)) for f in page.files if f.is_photo
    ]
    photos(pdf, shown)
    for f in page.files:
        if not f.is_photo:
            words(pdf, f"{f.words}: a sound, kept under {f.sha256}", size=7.6)


TITLES = ("What", "Written down", "Wanted", "Who", "Happened", "Written", "At the shop")


def _history(pdf: Paper, page: RecordPage) -> None:
    pdf.add_page()
    head(pdf, "The whole history", 15)
    for section in page.sections:
        head(pdf, section.heading.capitalize(), 11)
        table(pdf, TITLES, [_row(row) for row in section.rows], (44, 34, 24, 20, 20, 20, 20))
    told = [f"{text} {by}, {at}" for text, by, at in page.notes]
    for title, lines in (("Notes", told), ("Who stood beside", page.beside)):
        if lines:
            head(pdf, title, 11)
        for line in lines:
            words(pdf, line)
    for what, at, how in page.interrupted:
        words(pdf, f"{what.capitalize()} {at}; {how}")


def _row(row: Row) -> tuple[str, ...]:
    """A line of the history; what was struck or corrected says so before anything else."""
    gone = f"({row.gone}) " if row.gone else ""
    signed = f"\n{row.signed}" if row.signed else ""
    late = f"\n{row.late}" if row.late else ""
    return (
        f"{gone}{row.what}\n{row.detail}",
        *(row.actual, row.target, row.by + signed, row.happened, row.recorded + late, row.received),
    )


def _held(pdf: Paper, page: RecordPage) -> None:
    head(pdf, "What a copy is held against", room=45)
    table(pdf, ("Of", "SHA-256"), page.summary.hashes, (50, 130))
    pdf.ln(1)
    words(
        pdf,
        "Of the sheet as frozen; of its entries, each hung on the one before; and the shop’s own "
        "log where this boil’s newest entry stands. The record as JSON makes this one again.",
        size=7.6,
    )
