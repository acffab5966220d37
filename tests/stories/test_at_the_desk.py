"""The office's stories in a real browser: 5, 6, 14, 15, 19, 20, 21, 24 and 25."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Literal

import pytest
from playwright.sync_api import Browser, Locator, Response

from tests.browsers import wait_true
from tests.desks import WHOLE
from tests.office.test_card import POINT_MM, sides
from tests.programs import Program, beside
from tests.stories.conftest import Desk, Walk, visitor
from tests.stories.hand import words_of

WIDER = "document.documentElement.scrollWidth - innerWidth"
# A boil to compare with, which lost more as dust; a store room with its lots.
FILL = """
from shop.store.access import access_shop
from shop.store.append import office_event
from tests.office.stock_asks import stock_scene
demo = access_shop("demo")
stock_scene(demo)
for what, n in (("tail", 410), ("dust", 636), ("trial", 50), ("retain", 100), ("bag_mass", 102)):
    body = {"what": what, "n": n, "d": 1, "unit": "g", "instrument": "scale", "how": "scale"}
    office_event(shop_id=demo.id, batch="demo-handover", kind="reading_taken", body=body)
bags = {"what": "bags", "add": 92}
office_event(shop_id=demo.id, batch="demo-handover", kind="tally_counted", body=bags)
answer = {}
"""
ENQUIRY = {"name": "Ada Lov", "number": "W-0710", "title": "Star", "count1": "200", "fill1": "100"}
# Words of the trade (the job's glossary): none of them may have to be known at the counter.
TERMS = ("rod", "log", "gauge", "draw", "piece", "casing", "jacket", "band", "batch", "boil")


@pytest.fixture(scope="module")
def filled(program: Program, desk: Desk) -> Iterator[Desk]:
    """The desk, with two boils to compare and lots to trace."""
    beside(program.data, FILL)
    yield desk


def today(desk: Desk) -> None:
    desk.page.goto("/office/")
    desk.hand.clear()


def say(desk: Desk, field: str, words: str, part: str = "main") -> None:
    """A press in a field, and the words typed; what stood there is gone."""
    box = desk.page.locator(f"{part} [name={field}]:not([type=hidden])").first
    box.click()
    box.evaluate("box => { box.value = ''; }")
    box.press_sequentially(words)


def pdf_of(answer: Response, desk: Desk) -> bytes:
    """What a browser shows in its own reader, asked for once more."""
    return desk.page.request.get(answer.url).body()


def is_pdf(answer: Response) -> bool:
    return answer.headers.get("content-type", "") == "application/pdf"


def boil(desk: Desk, letter: str) -> Locator:
    """A boil's part of Today."""
    mark = desk.page.locator("h2 .letter", has_text=re.compile(f"^{letter}$"))
    return desk.page.locator("section.boil", has=mark)


def press(desk: Desk, words: str, *, role: Literal["button", "link"] = "button") -> None:
    desk.page.locator("main").get_by_role(role, name=words, exact=True).first.click()


def test_a_new_order_is_answered_at_the_counter(desk: Desk, walk: Walk) -> None:
    page = desk.page
    page.goto("/office/orders/new/")
    labels = [page.locator(f"label[for=id_{field}]").inner_text().lower() for field in ENQUIRY]
    desk.hand.clear()
    for field, words in ENQUIRY.items():
        say(desk, field, words)
    star = page.locator("[name=drawing] option").nth(1).get_attribute("value")
    desk.hand.choose(page, "[name=drawing]", str(star))
    with walk.machine():
        press(desk, "Keep it")
        wait_true(page, WHOLE, 120)
        says = page.locator(".says")
        says.wait_for()
    walk.pressed(desk.hand)
    said = says.inner_text()
    walk.saw("verdict", said.split(".")[0].lower())
    walk.saw("reason", re.findall(r"[\d.]+ kg short", said)[0])
    walk.saw("instead", re.findall(r"Instead: (\d logs)", said)[0])
    walk.saw("words read", words_of(said))
    walk.saw("words of the trade to know", sum(f" {t}" in f" {' '.join(labels)}" for t in TERMS))


def test_parts_weigh_the_log_whatever_it_weighs(desk: Desk, walk: Walk, picture: str) -> None:
    page = desk.page
    page.goto(f"/office/pictures/{picture}/")
    wait_true(page, WHOLE, 120)
    for log in ("11", "9.3"):
        desk.hand.clear()
        say(desk, "log", log, "#lower")
        with walk.machine():
            page.locator(".sum td").get_by_text(f"{float(log) * 1000:.0f} g").wait_for()
        rows = page.locator(".sums tr:not(.sum) td:nth-of-type(2)").all_inner_texts()
        grams = sum(float(words.split()[0]) for words in rows)
        walk.saw(f"sum of the sugars at {log} kg", f"{grams:.0f} g")
    walk.pressed(desk.hand)


def test_the_right_label_is_two_presses_from_today(desk: Desk, walk: Walk) -> None:
    today(desk)
    boil(desk, "A").get_by_role("link", name="Label").click()
    face = desk.page.locator(".face-of-label")
    face.wait_for()
    words = " ".join(str(text) for text in face.locator("text").all_text_contents())
    for name, wanted in (("lot", "L6329A"), ("weight", "100 g")):
        assert wanted in re.sub(r"\s", " ", words)
        walk.saw(name, wanted)
    with walk.machine(), desk.page.expect_response(is_pdf) as printed:
        press(desk, "Print")
    walk.pressed(desk.hand)
    assert pdf_of(printed.value, desk).startswith(b"%PDF-")
    desk.page.goto("/office/batch/demo-planned/label/")
    walk.saw("faces of a boil with open questions", desk.page.locator(".face-of-label").count())


def test_an_old_boil_is_found_by_its_picture_and_made_again(desk: Desk, walk: Walk) -> None:
    page = desk.page
    today(desk)
    press(desk, "All boils", role="link")
    say(desk, "words", "bee")
    page.locator("#found").get_by_role("link", name="Make again").first.click()
    say(desk, "packs", "60")
    with walk.machine():
        press(desk, "Work it out")
        page.get_by_text("what is different").wait_for()
    walk.pressed(desk.hand)
    [masses] = page.locator("tr", has=page.get_by_text("Log mass", exact=True)).first.all()
    walk.saw("log for 60 bags", masses.inner_text().split("\t")[-1].replace("\u202f", " "))


def test_the_latest_light_up_is_told_with_a_warning(desk: Desk, walk: Walk) -> None:
    """By hand: the shift ends 12:30, less 100 + 13 + 10 min and the day's spread of 15."""
    today(desk)
    with walk.machine():
        boil(desk, "C").get_by_role("link", name="Sheet").click()
        warning = desk.page.get_by_text("crosses the shift's end").first
        warning.wait_for()
    walk.pressed(desk.hand)
    walk.saw("words read", words_of(warning.inner_text()))
    told = re.findall(r"light by ([\d:]+)", warning.inner_text())[0]
    by_hand = 12 * 60 + 30 - (100 + 13 + 10 + 15)
    assert told == f"{by_hand // 60}:{by_hand % 60:02d}"
    walk.saw("light by", told)


def test_the_loss_that_moved_the_yield_stands_first(filled: Desk, walk: Walk) -> None:
    filled.page.goto("/office/batch/demo-handover/")
    filled.hand.clear()
    with walk.machine():
        filled.page.locator("main a[href*='/compare/']").first.click()
        filled.page.get_by_text("more dust and chips in L6329B").wait_for()
    walk.pressed(filled.hand)
    said = filled.page.get_by_text("more dust and chips in L6329B").inner_text()
    walk.saw("words read", words_of(said))
    walk.saw("first of the losses", said.split(" in ")[0])


def test_a_sugar_lot_leads_to_who_has_its_packs(filled: Desk, walk: Walk) -> None:
    today(filled)
    box = filled.page.get_by_label("A mark, a lot, an order or a customer")
    box.click()
    box.press_sequentially("S11")
    press(filled, "Trace")
    with walk.machine():
        filled.page.get_by_role("link", name="Sugar S118").click()
        filled.page.get_by_text("An invented customer").first.wait_for()
    walk.pressed(filled.hand)
    said = filled.page.locator("h1, h2", has_text="Sugar S118").first.inner_text()
    walk.saw("found", said.split(": ")[1])


def test_a_customer_sees_three_views_and_approves(
    desk: Desk, walk: Walk, picture: str, browser: Browser, program: Program
) -> None:
    desk.page.goto(f"/office/pictures/{picture}/")
    wait_true(desk.page, WHOLE, 120)
    desk.hand.clear()
    press(desk, "Make a proof")
    link = desk.page.get_by_role("link", name="Open the proof").get_attribute("href")
    walk.saw("presses at the desk", desk.hand.presses)
    with visitor(browser, program) as (phone, hand):
        with walk.machine():
            phone.goto(str(link))
            phone.locator("[name=seen]").wait_for()
        walk.saw("views", phone.locator("main figure").count())
        hand.clear()
        phone.locator("[name=seen]").check()
        phone.locator("[name=varies]").check()
        phone.get_by_label("Your name").click()
        phone.get_by_label("Your name").press_sequentially("Ada L")
        phone.get_by_role("button", name="Approve").click()
        phone.get_by_text("By Ada L").wait_for()
        walk.pressed(hand)
        walk.saw("words read", words_of(phone.locator("main").inner_text()))
        walk.saw("wider than the phone by", f"{phone.evaluate(WIDER)} px")


def test_the_paper_card_is_one_press_and_two_sides(desk: Desk, walk: Walk) -> None:
    today(desk)
    with walk.machine(), desk.page.expect_response(is_pdf) as printed:
        boil(desk, "C").get_by_role("link", name="A5 card").click()
    walk.pressed(desk.hand)
    pdf = pdf_of(printed.value, desk)
    boxes = re.findall(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf)
    walk.saw("sides", len(sides(pdf)))
    [size] = {tuple(round(float(n) * POINT_MM) for n in box) for box in boxes}
    walk.saw("paper", f"{size[0]} × {size[1]} mm")
