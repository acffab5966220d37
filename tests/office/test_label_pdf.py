"""A label as PDF, read back from its bytes: letters high enough, every word inside its edges."""

import json
import re
import zlib
from dataclasses import asdict, replace

import pytest

from shop.labels.errors import NoSuchLetters, TooLong
from shop.labels.label import make_label
from shop.labels.letters import least_figures, least_x
from shop.labels.places import PLACES, place
from shop.plan.canonical import canonical
from shop.screens.office.label_layout import layout
from shop.screens.office.label_pdf import label_pdf, on_a_sheet
from shop.store.label_settings import PAPERS, SIZES, Size
from tests.labels.pantry import (
    BOIL,
    BUTTER,
    CITRIC,
    FLAVOUR,
    LINES,
    MAIZE,
    SUNSET,
    TARTRAZINE,
    W_0117,
    made,
)

POINT_MM = 25.4 / 72


def streams(pdf: bytes) -> str:
    found = re.findall(rb"stream\n(.*?)\nendstream", pdf, re.S)
    opened = [zlib.decompress(stream).decode("cp1252") for stream in found]
    return next(text for text in opened if " Tf" in text)


WIDE = Size("Wide", 120_000, 90_000, "roll", 15_000)


@pytest.mark.parametrize("where", PLACES)
@pytest.mark.parametrize("face", [2_000, 7_999, 8_000, 15_000, 60_000])
def test_no_letter_of_the_pdf_is_lower_than_the_law_has_it(where: str, face: int) -> None:
    """Annex IV of 1169/2011; 21 CFR 101.2(c): read back from the bytes' own sizes (Tf)."""
    label = make_label(W_0117, BOIL, LINES, place(where)).label
    assert label is not None
    size = replace(WIDE, face_mm2=face)
    sizes = [
        float(pt) for pt in re.findall(r"/F\d+ ([\d.]+) Tf", streams(label_pdf(label, size, 1, 0)))
    ]
    # x of Helvetica is 0.523 of its size.
    assert min(sizes) * POINT_MM * 0.523 * 1000 >= least_x(place(where), face)
    net = layout(label, size).net_pt
    assert net in sizes
    assert net * POINT_MM * 0.703 * 1000 >= least_figures(place(where), 100_000, face)


@pytest.mark.parametrize("where", PLACES)
def test_on_the_smallest_label_that_will_do_letters_are_still_high_enough(where: str) -> None:
    """Where a millimetre less is refused, the text stands at the least height, not under it."""
    label = make_label(W_0117, BOIL, LINES, place(where)).label
    assert label is not None
    high, placed = WIDE.high_um, layout(label, WIDE)
    with pytest.raises(TooLong):
        while True:
            placed = layout(label, replace(WIDE, high_um=high))
            high -= 1000
    x = placed.text_pt * POINT_MM * 0.523 * 1000
    assert least_x(place(where), WIDE.face_mm2) <= x < least_x(place(where), WIDE.face_mm2) * 1.1


def test_the_least_heights_are_those_of_the_law() -> None:
    # Annex IV: 1.2 mm, 0.9 mm under 80 cm². Directive 76/211/EEC, Annex I 3.1: 2, 3, 4, 6 mm.
    assert [least_x(place("EU"), face) for face in (7_999, 8_000)] == [900, 1200]
    grams = (50, 51, 200, 201, 1000, 1001)
    high = [least_figures(place("GB"), g * 1000, 9_000) for g in grams]
    assert high == [2000, 3000, 3000, 4000, 4000, 6000]
    # 21 CFR 101.2(c) and 101.7(h): 1/16 in; by front 1/16, 1/8, 3/16, 1/4 in.
    assert least_x(place("US"), 1) == pytest.approx(25_400 / 16, abs=1)
    inch = 645.16
    fronts = [least_figures(place("US"), 1, int(inch * n)) for n in (5, 25, 100, 400)]
    assert fronts == pytest.approx([25_400 / 16, 25_400 / 8, 25_400 * 3 / 16, 25_400 / 4], abs=1)


def test_nothing_leaves_the_label_and_every_word_is_there() -> None:
    of = made(MAIZE, CITRIC, FLAVOUR, TARTRAZINE, SUNSET, BUTTER)
    for where, size in ((p, s) for p in ("EU", "GB") for s in (*SIZES, WIDE)):
        label = make_label(of, BOIL, LINES, place(where)).label
        assert label is not None
        placed = layout(label, size)
        assert all(0 < w.x_um < size.wide_um and 0 < w.y_um < size.high_um for w in placed.words)
        listed = "".join(str(text) for text, _ in label["ingredients"])
        drawn = " ".join(word.text.strip() for word in placed.words)
        assert set(re.findall(r"\w+", listed)) <= set(re.findall(r"\w+", drawn))
        strong = [word.text.strip() for word in placed.words if word.strong]
        assert "milk" in strong


def test_words_that_do_not_fit_say_so_and_letters_that_are_not_there() -> None:
    label = make_label(W_0117, BOIL, LINES, place("GB")).label
    assert label is not None
    small = Size("Small", 30_000, 20_000, "roll", 9_000)
    with pytest.raises(TooLong, match=r"take \d+ mm .* the label has 20 mm"):
        layout(label, small)
    with pytest.raises(NoSuchLetters, match="has no 糖"):
        layout({**label, "title": "糖"}, WIDE)


def test_sheets_hold_as_many_as_lie_side_by_side() -> None:
    # A4 (ISO 216) 210 × 297 mm: 3 by 5 of 70 × 50 mm.
    places = on_a_sheet(SIZES[0])
    assert len(places) == 15
    sheet = PAPERS["A4"]
    assert sheet is not None
    assert all(0 <= x <= sheet[0] - 70_000 and 0 <= y <= sheet[1] - 50_000 for x, y in places)
    label = make_label(W_0117, BOIL, LINES, place("GB")).label
    assert label is not None
    pages = [label_pdf(label, SIZES[0], n, 0).count(b"/Type /Page\n") for n in (15, 16)]
    assert pages == [1, 2]
    assert label_pdf(label, SIZES[1], 3, 0).count(b"/Type /Page\n") == 3


def test_the_text_kept_holds_the_size_it_was_printed_in() -> None:
    size = SIZES[1]
    assert Size(**json.loads(canonical(asdict(size)))) == size
