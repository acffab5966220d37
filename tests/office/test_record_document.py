"""The record as a page, a table and a PDF: all of it there, few queries, nothing cut off."""

import io
import json
import re
import zlib
from typing import Any

import pytest
from django.test import Client
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from pytest_django import DjangoAssertNumQueries

from shop.record.exported import as_text, from_text
from shop.screens.office.record_photos import MOST_PIXELS, small
from shop.screens.office.record_table import COLUMNS, _safe, as_csv, from_csv, rows_of
from shop.screens.office.wording import as_read
from shop.store.access import access_batch, access_token
from shop.store.append import office_event
from shop.store.phones import join, new_code
from shop.store.read import batch_report
from shop.store.shapes import ShopInfo
from tests.office.test_card import POINT_MM, words
from tests.record.demo_record import demo_record
from tests.store.scene import keep_photo

KEY, OPEN = "demo-finished", "demo-handover"
ADDRESS = f"/office/batch/{KEY}/"
ENTRIES = 250
# Signed in and at this desk, the batch, its entries, fold and sheet, people, what was set aside.
MOST_QUERIES = 12


def flat(page: str) -> str:
    """The words of a page without its marks."""
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", page)).replace("\u202f", " ")


def pages_of(pdf: bytes) -> list[str]:
    """What each page draws, photos left out."""
    streams = re.findall(rb"stream\n(.*?)\nendstream", pdf, re.S)
    texts = [zlib.decompress(s).decode("cp1252") for s in streams if s[:1] == b"x"]
    return [text for text in texts if " Tf" in text]


def pdf_words(pdf: bytes) -> list[str]:
    """The text of each page as somebody would copy it."""
    return [re.sub(r"\s+", " ", " ".join(words(page))) for page in pages_of(pdf)]


def test_the_first_page_tells_what_an_inspector_asks_first(lead: Client) -> None:
    page = lead.get(ADDRESS).content.decode()
    first = flat(page[page.index('id="in-short"') : page.index('id="heat"')])
    for said in (
        *("W-0117, An invented customer: 80 bags of 100 g", "L6329A, boil A", "Maren, then Greta"),
        *("Lit 10:55", "Taken off, as read 11:26", "Poured 11:27", "Last rod 12:36"),
        *("Packed 13:50", "Peak, as read 152.3 °C", "Mark, on this thermometer 148.0 °C"),
        *("Above 130 °C 9 min", "95 bags of 80 wanted, 9.69 kg", "88.7 %", "Cook off the mark"),
        *("Changed: Draw faster", "Glance card", "Checked by the shop", "Not signed in"),
    ):
        assert said in first, said


def test_it_names_what_went_in_with_its_lots(lead: Client) -> None:
    told = batch_report_of(lead)["summary"]["made_of"]["ingredients"]
    page = flat(lead.get(ADDRESS).content.decode())
    assert told
    for one in told:
        assert one["name"] in page
        assert all(lot in page for lot in one["lots"])


def batch_report_of(lead: Client, key: str = KEY) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(lead.get(f"/office/batch/{key}/record.json").content)
    return found


def test_every_temperature_and_stretch_of_work_is_drawn_and_stands_in_words(lead: Client) -> None:
    page = lead.get(ADDRESS).content.decode()
    record = batch_report_of(lead)
    drawn = page.count('class="d-read-') - page.count('class="d-read-line"')
    lit = next(m["at"] for m in record["summary"]["moments"] if m["id"] == "lit")
    assert drawn == sum(t["at"] >= lit for t in record["temperatures"]) == 10
    bars = len(re.findall(r'class="d-at-', page))
    assert bars == sum(len(lane["stretches"]) for lane in record["timeline"]["lanes"])
    text = flat(page)
    assert "152.3 °C, inside, Kettle thermometer +0.4 K 152.7 °C 148.0 °C ± 1.5 K" in text
    assert "Tobit, Table" in text
    assert "handover 13:00" in text


def test_the_drawings_say_themselves_and_have_no_style_of_their_own(lead: Client) -> None:
    page = lead.get(ADDRESS).content.decode()
    svgs = re.findall(r"<svg[^>]+>", page[page.index('id="heat"') :])
    assert len(svgs) == 4
    assert all('role="img"' in svg and 'aria-label="' in svg for svg in svgs)
    assert "style=" not in page


def test_the_unexplained_rest_is_a_bar_with_its_doubt(lead: Client) -> None:
    page = lead.get(ADDRESS).content.decode()
    assert page.count('class="d-bar-rest"') == 1
    assert page.count('class="d-whisker"') == 3
    assert "0.01 kg ± 0.06 kg" in flat(page)


def test_a_record_of_250_entries_asks_the_database_a_few_times(
    lead: Client, demo: ShopInfo, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    have = len(batch_report_of(lead)["kept"]["entries"])
    for i in range(ENTRIES - have):
        note = {"text": f"Note {i}"}
        office_event(shop_id=demo.id, batch=KEY, kind="note_written", body=note, by="maren")
    lead.get(ADDRESS)
    for address in (ADDRESS, f"{ADDRESS}record.pdf", f"{ADDRESS}record.json"):
        with django_assert_max_num_queries(MOST_QUERIES):
            answer = lead.get(address)
        assert answer.status_code == 200
    assert len(batch_report_of(lead)["kept"]["entries"]) == ENTRIES


def test_the_file_of_the_desk_makes_the_same_record_again(lead: Client, demo: ShopInfo) -> None:
    for key in (KEY, OPEN, "demo-planned"):
        text = lead.get(f"/office/batch/{key}/record.json").content.decode()
        assert as_text(from_text(text)) == text
        log = json.loads(text)["kept"]["log"]
        assert log["sheet"] == access_batch(demo.id, key).sheet


def test_a_strike_a_newcomer_and_a_lot_of_the_past_are_in_the_file(
    lead: Client, demo: ShopInfo
) -> None:
    note = {"text": "Wrong boil"}
    office_event(shop_id=demo.id, batch=KEY, kind="note_written", body=note, by="maren")
    record = batch_report(access_batch(demo.id, KEY))
    [struck] = [a for a in record["acts"] if a["body"] == note]
    target = {"target": struck["ref"], "reason": "Wrong boil"}
    office_event(shop_id=demo.id, batch=KEY, kind="struck", body=target, by="maren")
    text = as_text(batch_report(access_batch(demo.id, KEY)))
    assert as_text(from_text(text)) == text
    assert [a for a in from_text(text)["acts"] if a["struck_by"] and a["body"] == note]


TEXT = st.text(alphabet=st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=20)
RISKY = st.sampled_from(["=1+1", "'=1", "+A1", "-1", "@x", "\tx", "\rx", "\nx", "＝1", "''", "'"])


@given(st.lists(st.dictionaries(st.sampled_from(COLUMNS), TEXT | RISKY), max_size=5))
def test_a_table_read_back_is_the_one_that_was_written(rows: list[dict[str, str]]) -> None:
    for row in rows:
        for key, value in row.items():
            guarded = _safe(row)[key]
            assert guarded[:1] not in set("=+-@\t\r\n＝＋－＠")
            assert (guarded[1:] if guarded.startswith("'") else guarded) == value


def test_the_invented_boil_s_table_comes_back_as_far_as_its_columns_go() -> None:
    record = demo_record()
    found = from_csv(as_csv(record))
    wanted = [
        {c: "" if row.get(c) is None else str(row.get(c, "")) for c in COLUMNS}
        for row in rows_of(record)
    ]
    assert found == wanted
    with pytest.raises(ValueError, match="not that of a record's table"):
        from_csv("a,b\r\n1,2\r\n")


@pytest.fixture
def pdf(lead: Client) -> bytes:
    answer = lead.get(f"{ADDRESS}record.pdf")
    assert answer["Content-Type"] == "application/pdf"
    return answer.content


def test_the_pdf_is_a4_and_each_page_says_which_of_how_many(pdf: bytes) -> None:
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    # ISO 216: A4 is 210 × 297 mm.
    assert {tuple(round(float(n) * POINT_MM) for n in box) for box in boxes} == {(210, 297)}
    pages = pdf_words(pdf)
    assert len(pages) > 3
    for number, page in enumerate(pages, 1):
        assert f"Page {number} of {len(pages)}" in page


def test_the_pdf_has_every_line_of_the_record_as_text(pdf: bytes, lead: Client) -> None:
    text = " ".join(pdf_words(pdf))
    record = batch_report_of(lead)
    for step in record["steps"]:
        assert step["say"].split(" ")[0] in text
    for reading in record["readings"]:
        assert as_read(reading) in text, reading["what"]
    for said in ("152.3 °C", "Not accounted for", "0.01 kg ± 0.06 kg", "88.7 %", "Visitor at"):
        assert said in text, said
    for value in record["kept"]["log"].values():
        # A hash may be broken over two lines.
        assert str(value)[:12] in text


def test_nothing_leaves_the_paper(pdf: bytes) -> None:
    for side in pages_of(pdf):
        places = re.findall(r"BT (-?[\d.]+) (-?[\d.]+) Td", side)
        assert len(places) > 10
        assert all(
            13 < float(x) * POINT_MM < 197 and 5 < float(y) * POINT_MM < 290 for x, y in places
        )


def test_a_photo_is_in_the_page_and_small_in_the_pdf(lead: Client, demo: ShopInfo) -> None:
    big = io.BytesIO()
    Image.effect_noise((1600, 1200), 80).convert("RGB").save(big, "JPEG", quality=95)
    joined = join(code=new_code(demo.id), address="camera")
    name = keep_photo(access_token(joined.token), big.getvalue())
    before = len(lead.get(f"{ADDRESS}record.pdf").content)
    body = {"sha256": name, "size": len(big.getvalue()), "type": "image/jpeg", "what": "Face"}
    office_event(shop_id=demo.id, batch=KEY, kind="photo_taken", body=body, by="maren")
    assert f'src="/office/file/{name}"' in lead.get(ADDRESS).content.decode()
    pdf = lead.get(f"{ADDRESS}record.pdf").content
    assert pdf.count(b"/Subtype /Image") == 1
    assert b"/Filter /DCTDecode" in pdf
    assert name[:12] in " ".join(pdf_words(pdf))
    assert 5_000 < len(pdf) - before < len(big.getvalue()) / 4


def test_a_photo_for_paper_has_at_most_480_pixels_a_side() -> None:
    big = io.BytesIO()
    Image.new("RGB", (2000, 500), "#aa3322").save(big, "PNG")
    with Image.open(io.BytesIO(small(big.getvalue()))) as made:
        assert (made.format, made.size) == ("JPEG", (MOST_PIXELS, 120))
        assert not made.getexif()
