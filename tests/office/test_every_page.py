"""Every page of the office held to WCAG 2.2, A and AA, in one browser over one running demo.

Criteria measured: what axe finds (contrast of 7:1 included) at a desk and on a phone, in English
and in German; 1.4.4 type at 200 %, 1.4.10 a page 320 px wide, 2.1.1, 2.1.2, 2.4.1, 2.4.3, 2.4.7
and 2.4.11 by the tab key alone, 2.4.2 titles, 2.5.8 targets of 24 px, 3.1.1 language, 3.3.1 wrong
entries, 4.1.3 what comes in by itself. Their source: https://www.w3.org/TR/WCAG22/
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, ViewportSize

from tests.browsers import PHONE, wait_true
from tests.desks import DESK, WHOLE, OpenDesk
from tests.floor.test_screens import violations
from tests.office.every_page import FILL, MORE, NAMES, NARROW, NOT_PAGES, Walk, text_size
from tests.programs import Program, beside

FAULTS, STOPS, HERE = (
    (Path(__file__).parent / f"page_{name}.js").read_text("utf-8")
    for name in ("faults", "stops", "keys")
)
USUAL, DOUBLE = 16, 32
PAGES = [*NAMES, *MORE]
FOCUS = "document.activeElement"
# Nothing moves by itself; a page may be the refusal of what was asked.
CALM: Any = {"reduced_motion": "reduce", "refusals": True}
# As where nothing has taken the focus by itself.
FROM_THE_TOP = """() => {
  document.body.tabIndex = -1;
  document.body.focus();
  document.body.removeAttribute('tabindex');
}"""


@pytest.fixture(scope="module")
def fill() -> str:
    return FILL


@pytest.fixture(scope="module")
def walk(filled: dict[str, str], desk: OpenDesk) -> Iterator[Walk]:
    with desk("office", **CALM) as office, desk("anna", **CALM) as german:
        yield Walk(filled, office, german)


def go(page: Page, address: str) -> None:
    page.goto(address)
    wait_true(page, WHOLE, 120)


def faults(page: Page) -> list[str]:
    found: list[str] = page.evaluate(FAULTS)
    return found


def flaws(page: Page, *sizes: ViewportSize) -> dict[str, list[str]]:
    """What is wrong, by how the page is shown; left as at a desk."""
    found = {}
    for size in sizes or (DESK, PHONE):
        page.set_viewport_size(size)
        found[str(size["width"])] = faults(page) + violations(page)
    page.set_viewport_size(NARROW)
    found["narrow"] = faults(page)
    page.set_viewport_size(DESK)
    text_size(page, DOUBLE)
    found["type at 200 %"] = faults(page)
    text_size(page, USUAL)
    return {shape: wrong for shape, wrong in found.items() if wrong}


@pytest.mark.parametrize("name", PAGES)
def test_a_page_has_no_flaw_in_any_shape(walk: Walk, name: str) -> None:
    go(walk.desk, walk.address(name))
    assert flaws(walk.desk) == {}


@pytest.mark.parametrize("name", NAMES)
def test_a_page_in_german_says_so_and_has_no_flaw(walk: Walk, name: str) -> None:
    go(walk.german, walk.address(name))
    assert walk.german.evaluate("document.documentElement.lang") == (
        "en" if name == "office-enter" else "de"
    )
    assert flaws(walk.german, PHONE) == {}


@pytest.mark.parametrize("name", PAGES)
def test_the_tab_key_comes_to_everything_and_shows_where_it_is(walk: Walk, name: str) -> None:
    page = walk.desk
    go(page, walk.address(name))
    page.evaluate(FROM_THE_TOP)
    stops, seen, wrong = page.evaluate(STOPS), [-1], []
    assert 'class="skip"' in stops[0]
    for _ in range(4 * len(stops) + 200):
        page.keyboard.press("Tab")
        here = page.evaluate(HERE)
        # Past its end, or from there to its beginning again.
        if "name" not in here or (here["at"] == 0 and len(seen) > 2):
            break
        wrong += here["faults"]
        seen += [here["at"]] if here["at"] != seen[-1] else []
    else:
        pytest.fail(f"the tab key never left the page; it last came to {here['name']}")
    assert [stops[at] for at in range(len(stops)) if at not in seen] == []
    assert (wrong, seen) == ([], sorted(seen))


def test_the_skip_link_leads_to_the_main_part(walk: Walk) -> None:
    go(walk.desk, "/office/people/")
    walk.desk.keyboard.press("Tab")
    assert walk.desk.locator(".skip").is_visible()
    walk.desk.keyboard.press("Enter")
    walk.desk.keyboard.press("Tab")
    assert walk.desk.evaluate(f"document.getElementById('main').contains({FOCUS})")


def test_what_is_no_page_is_none(walk: Walk) -> None:
    """So that a page that comes later is walked."""
    for name in NOT_PAGES & set(walk.addresses):
        answer = walk.desk.request.get(walk.address(name), max_redirects=0)
        assert "<!doctype" not in answer.text()[:40].lower(), name


def test_every_page_has_a_title_of_its_own(walk: Walk) -> None:
    titles: dict[str, list[str]] = {}
    for name in NAMES:
        walk.desk.goto(walk.address(name))
        titles.setdefault(walk.desk.title(), []).append(name)
    # The first of the calculations stands under both addresses.
    same = {"office-reckon", "office-reckon-one"}
    assert [names for names in titles.values() if len(names) > 1 and set(names) != same] == []


def test_on_a_phone_the_pages_are_behind_one_key(walk: Walk) -> None:
    page = walk.desk
    page.set_viewport_size(NARROW)
    go(page, "/office/")
    orders = page.get_by_role("navigation", name="Office").get_by_role("link", name="Orders")
    assert not orders.is_visible()
    page.get_by_text("Pages", exact=True).click()
    assert orders.is_visible()
    assert (faults(page), violations(page)) == ([], [])
    orders.click()
    assert page.locator(".pages [aria-current=page]").text_content() == "Orders"
    page.set_viewport_size(DESK)


WRONG = {
    "office-plan": {"title": ""},
    "office-order-new": {"title": "", "name": ""},
    "office-people": {"name": ""},
    "office-material-new": {"name": ""},
    "office-picture-new-grid": {"title": ""},
    "office-ladder": {},
    "office-password": {"old_password": "x", "new_password1": "y", "new_password2": "z"},
    "office-phone": {"name": ""},
}


@pytest.mark.parametrize("name", WRONG)
def test_a_wrong_entry_is_said_at_its_field_and_has_the_focus(walk: Walk, name: str) -> None:
    page = walk.desk
    go(page, walk.address(name))
    form = page.locator("main form").filter(has=page.locator(".field, fieldset")).last
    form.evaluate("(form) => { form.noValidate = true; }")
    for field, value in WRONG[name].items():
        form.locator(f"[name={field}]").fill(value)
    form.get_by_role("button").last.click()
    wait_true(page, f"{FOCUS}?.classList.contains('wrong')")
    for bad in page.locator("main [aria-invalid=true]:not(fieldset *)").all():
        ids = (bad.get_attribute("aria-describedby") or "").split()
        said = [page.locator(f"#{one}.wrong").inner_text() for one in ids if one.endswith("_error")]
        assert said and said[0], bad.evaluate("(e) => e.outerHTML")
    assert flaws(page) == {}


def test_what_is_written_anew_keeps_the_focus(walk: Walk, program: Program) -> None:
    page = walk.desk
    go(page, "/office/")
    link = page.locator("section.boil").first.get_by_role("link", name="Sheet")
    link.focus()
    link.evaluate("(e) => { e.dataset.old = 'yes'; }")
    beside(program.data, NEWS)
    wait_true(page, "!document.querySelector('[data-old]')", 60)
    wait_true(page, f"{FOCUS}?.textContent === 'Sheet'")


NEWS = """
from shop.store.access import access_shop
from shop.store.append import office_event
demo = access_shop("demo")
office_event(shop_id=demo.id, batch="demo-handover", kind="note_written", body={"text": "News"},
             by="odo")
answer = {}
"""


def test_what_is_found_while_it_is_typed_is_said_once(walk: Walk) -> None:
    page = walk.desk
    go(page, "/office/boils/")
    page.get_by_role("searchbox").or_(page.locator("[name=words]")).first.fill("no such boil")
    wait_true(page, "document.getElementById('told').textContent.startsWith('No boil is like')")
    assert page.evaluate(f"{FOCUS}.name") == "words"


def test_a_customer_sees_the_proof_without_a_flaw(walk: Walk) -> None:
    page = walk.desk
    go(page, walk.address("office-picture"))
    page.get_by_role("button", name="Make a proof").click()
    link = page.get_by_role("link", name="Open the proof").get_attribute("href")
    go(page, str(link))
    assert flaws(page) == {}
    page.evaluate("document.querySelector('form').noValidate = true")
    page.get_by_role("button", name="Approve").click()
    wait_true(page, f"{FOCUS}?.classList.contains('wrong')")
    assert flaws(page) == {}


def test_who_has_no_desk_is_told_so_without_a_flaw(desk: OpenDesk) -> None:
    with desk("nobody", **CALM) as page:
        assert flaws(page) == {}
