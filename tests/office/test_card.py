"""The A5 card as PDF, read back from its own bytes: sides, words, drawings, all on the paper."""

import itertools
import re
import zlib
from dataclasses import replace
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from django.test import Client

from shop.demo.scenario import PICTURE, demo_sheet
from shop.plan.picture import polygon
from shop.record.fold import fold
from shop.screens.office.card import card_page
from shop.screens.office.card_pdf import CardPage, card_pdf
from shop.screens.office.sheet_page import sheet_page

OK = 200
POINT_MM = 25.4 / 72
LETTER = polygon((-40_000, 0), (10_000, 0), (-40_000, 30_000))


def card_of(sheet: dict[str, Any]) -> CardPage:
    state = fold(sheet, [])
    page = sheet_page(sheet, phase="planned", zone=ZoneInfo("Europe/London"), state=state)
    return card_page(page, sheet, state)


def sides(pdf: bytes) -> list[str]:
    """What each page draws: its content stream (ISO 32000-1, 7.8.2) in cp1252."""
    streams = re.findall(rb"stream\n(.*?)\nendstream", pdf, re.S)
    opened = [zlib.decompress(stream).decode("cp1252") for stream in streams]
    return [text for text in opened if " Tf" in text]


def words(side: str) -> list[str]:
    """The texts a page shows, in order (operator Tj)."""
    found = re.findall(r"\(((?:\\.|[^\\)])*)\) Tj", side, re.S)
    return [re.sub(r"\\(.)", r"\1", text).replace("\xa0", " ") for text in found]


def polygons(side: str) -> list[list[tuple[float, float]]]:
    """Corners [mm] of every filled shape with straight sides."""
    number = r"(-?[\d.]+) (-?[\d.]+)"
    paths = re.findall(rf"({number} m\s(?:{number} l\s)+)", side)
    return [
        [(float(x) * POINT_MM, float(y) * POINT_MM) for x, y in re.findall(number, path[0])]
        for path in paths
    ]


def full() -> CardPage:
    """As much as a card can hold."""
    page = card_of(demo_sheet("demo-planned"))
    turned = f"{page.reading_end}; the other way round: rods 12 to 20, rods 31 on"
    return replace(
        page,
        title="A title far too long for one line of the card, so that it's set smaller",
        order=f"{page.order}, and a customer whose name is long enough for a third line",
        portions=[(f"Sugar {i}", "#f2c230", "1.23 kg") for i in range(9)],
        blocks=[(f"Block {i}", "1.20 kg") for i in range(7)],
        reading_end=turned,
    )


def test_the_card_comes_from_the_office_as_two_sides_of_a5(lead: Client) -> None:
    answer = lead.get("/office/batch/demo-planned/card.pdf")
    assert (answer.status_code, answer["Content-Type"]) == (OK, "application/pdf")
    assert answer.content.startswith(b"%PDF-")
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", answer.content)
    # ISO 216: A5 is 148 × 210 mm.
    sizes = [tuple(round(float(n) * POINT_MM) for n in box) for box in boxes]
    assert set(sizes) == {(148, 210)}
    assert len(sides(answer.content)) == 2


@pytest.mark.parametrize("page", ["sheet", "paper", "record"])
def test_a_link_leads_to_it_from_where_the_paper_card_is(lead: Client, page: str) -> None:
    end = "" if page == "record" else f"{page}/"
    text = lead.get(f"/office/batch/demo-planned/{end}").content.decode()
    assert "/office/batch/demo-planned/card.pdf" in text


def test_it_says_what_a_bench_needs() -> None:
    page = card_of(demo_sheet("demo-planned"))
    front, back = (words(side) for side in sides(card_pdf(page)))
    assert {"C", "8.38 kg", "1.23 kg", "148.0 °C", "10:12", "113 min", "2.5–3.7 %"} <= {*front}
    assert "Maren leads; Maren, Tobit, Isolde, Pim" in front
    assert any("80 bags of 100 g" in line for line in front)
    names = [name for name, _ in page.blocks]
    assert [word for word in back if word in names] == names
    masses = [float(mass.split("\u202f")[0]) for _, mass in page.blocks]
    # What the blocks weigh is the log: six masses, each rounded to a hundredth or a gram.
    assert sum(m if m < 100 else m / 1000 for m in masses) == pytest.approx(11.0, abs=0.03)
    assert "Reading end: The end with the dot of brown in the casing" in back
    assert [line for line in page.cautions if line not in back] == []


def test_the_mirror_side_is_the_mirror_image() -> None:
    part = replace(PICTURE.parts[3], shapes=(LETTER,))
    picture = replace(
        PICTURE, parts=(*PICTURE.parts[:3], part, *PICTURE.parts[4:]), mirror_symmetric=False
    )
    back = sides(card_pdf(card_of(demo_sheet("demo-planned", picture))))[1]
    letters = [shape for shape in polygons(back) if len(shape) == len(LETTER["points"])]
    assert len(letters) == 2
    lead, mirror = letters
    # x + x' is twice the middle between the two faces, for every corner; y stays.
    sums = [a[0] + b[0] for a, b in zip(lead, mirror, strict=True)]
    assert max(sums) - min(sums) < 0.05
    assert [y for _, y in lead] == pytest.approx([y for _, y in mirror])
    # Nothing is stretched: 50 mm along, 30 mm up, and x to the right on the lead's side.
    along, up = lead[1][0] - lead[0][0], lead[2][1] - lead[0][1]
    assert along > 0
    assert up / along == pytest.approx(30 / 50, abs=1e-3)


@pytest.mark.parametrize(
    "page", [full(), card_of(demo_sheet("demo-planned"))], ids=["full", "demo"]
)
def test_nothing_leaves_the_paper_or_lies_on_another_line(page: CardPage) -> None:
    for side in sides(card_pdf(page)):
        places = [
            (float(x) * POINT_MM, float(y) * POINT_MM)
            for x, y in re.findall(r"BT (-?[\d.]+) (-?[\d.]+) Td", side)
        ]
        assert len(places) > 20
        assert all(8 < x < 140 and 5 < y < 205 for x, y in places)
        levels = sorted({round(y, 1) for _, y in places})
        gaps = [b - a for a, b in itertools.pairwise(levels)]
        assert min(gap for gap in gaps if gap > 0.9) > 3.5


def test_its_font_is_one_that_every_reader_has_and_odd_letters_lose_their_marks() -> None:
    page = replace(card_of(demo_sheet("demo-planned")), title="Čaj – “½ µ²” → 糖 Łódź")
    pdf = card_pdf(page)
    assert b"/FontFile" not in pdf
    assert {*re.findall(rb"/BaseFont /([\w-]+)", pdf)} == {b"Helvetica", b"Helvetica-Bold"}
    assert "Caj – “½ µ²” > ? Lódz" in words(sides(pdf)[0])


@pytest.mark.parametrize("pattern", ["stripe", "dot", "check", "wave"])
def test_every_boil_s_pattern_is_drawn_and_no_two_alike(pattern: str) -> None:
    page = card_of(demo_sheet("demo-planned"))
    others = {"stripe", "dot", "check", "wave"} - {pattern}
    own = sides(card_pdf(replace(page, pattern=pattern)))
    assert all(own != sides(card_pdf(replace(page, pattern=other))) for other in others)
