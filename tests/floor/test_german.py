"""The floor in German and in both degrees: nothing is cut, nothing left in English, and it stays so
without the shop; words change with the person, never under an entry."""

import json
import time
from collections.abc import Callable, Iterator

import pytest
from playwright.sync_api import Page, Playwright, Route

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.floor.test_screens import MEASURE, NARROW, SIZES, call, violations
from tests.programs import ROOT, Program, beside

Go = Callable[[str], None]
READS = """
from shop.store import access, people
shop = access.only_shop()
maren = access.access_person(shop.id, "maren")
people.set_person(shop_id=shop.id, key="maren", name=maren.name, role=maren.role,
                  language={!r}, units={!r})
answer = {{}}
"""
STATIONS = ("setup", "kettle", "table", "hook", "block", "roller", "packing")
PLACES = (
    *("", "people", "phone", "b/demo-handover/back", "b/demo-planned/cautions"),
    *("b/demo-handover/handover", "b/demo-planned/burn", "b/demo-planned/owed"),
    *(f"b/{boil}/{name}" for boil in ("demo-planned", "demo-handover") for name in STATIONS),
)
GERMAN = "document.documentElement.lang === 'de'"
ENGLISH = "document.documentElement.lang === 'en'"
# What reaches past the phone's sides, or past the key it stands on.
CUT = """() => {
  const past = (inner, outer) => inner.left < outer.left - 1 || inner.right > outer.right + 1;
  // A word on the finish zone stands beside the boil's letter.
  const rim = (e, word) => (word?.closest('.finish') ? {
    left: e.querySelector('.badge')?.getBoundingClientRect().right ?? 0, right: innerWidth,
  } : e.getBoundingClientRect().toJSON());
  const phone = { left: 0, right: innerWidth }, cut = [], range = document.createRange();
  for (const e of document.querySelectorAll('.call, button')) {
    const box = e.getBoundingClientRect(), word = e.querySelector('.finish-word');
    range.selectNodeContents(word ?? e);
    const words = range.getBoundingClientRect(), edge = e.matches('button') ? rim(e, word) : phone;
    if (!box.width || !(past(box, phone) || past(words, edge))) continue;
    cut.push([e.textContent, innerWidth, words.left, words.right, edge.left, edge.right].join());
  }
  return cut;
}"""
TEXTS = """() => {
  const found = [], walk = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
  while (walk.nextNode()) {
    const { parentElement, data } = walk.currentNode;
    if (parentElement.checkVisibility()) found.push(data.trim());
  }
  return found;
}"""
CREW = """new Promise((done) => {
  indexedDB.open('kettleside').onsuccess = ({ target: { result } }) => {
    const phone = result.transaction('phone').objectStore('phone').get('phone');
    phone.onsuccess = () => {
      result.close();
      done(phone.result.crew.find(({ id }) => id === 'maren')?.language);
    };
  };
})"""
KEPT = """(async () => {
  const names = await caches.keys();
  const all = await Promise.all(names.map(async (name) => (await caches.open(name)).keys()));
  const kept = all.flat().some(({ url }) => url.includes('/words/de'));
  return kept && Boolean(navigator.serviceWorker.controller);
})()"""


def catalogue() -> dict[str, str]:
    """English → German, as the phone has it."""
    made = (ROOT / "static" / "js" / "words" / "de.js").read_text("utf-8")
    words = json.loads(made[made.index("{") : made.rindex("}") + 1])
    return {english: german for english, german in words.items() if isinstance(german, str)}


WORDS = catalogue()
LEFT = {english for english, german in WORDS.items() if english != german} - {*WORDS.values()}


@pytest.fixture(scope="module")
def page(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Page]:
    """A phone of a lead maker's who reads German and °F."""
    beside(program.data, READS.format("de", "us"))
    with phone(playwright, tmp_path_factory.mktemp("phone")) as context:
        tab = context.pages[0]
        complaints: list[str] = []
        tab.on("pageerror", lambda error: complaints.append(str(error)))
        tab.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        tab.locator(".row", has_text="Maren").click(timeout=30_000)
        wait_true(tab, GERMAN)
        yield tab
        assert complaints == []


@pytest.mark.parametrize("place", PLACES)
def test_a_screen_is_german_and_nothing_is_cut_or_wider_than_the_phone(
    page: Page, go: Go, place: str
) -> None:
    for size in (SIZES, NARROW):
        page.set_viewport_size(size)
        go(place)
        found = page.evaluate(MEASURE)
        assert found["wide"] <= 0
        assert min(found["call"], default=82) >= 82
        assert min(found["keys"], default=64) >= 64
        assert page.evaluate(CUT) == []
    assert LEFT & {*page.evaluate(TEXTS)} == set()


@pytest.mark.parametrize(
    "place", ["b/demo-planned/setup", "b/demo-handover/handover", "b/demo-planned/burn"]
)
def test_a_screen_in_german_has_no_flaw_that_axe_can_find(page: Page, go: Go, place: str) -> None:
    page.set_viewport_size(SIZES)
    go(place)
    assert violations(page) == []


def test_the_scene_of_the_pour_names_both_degrees_and_fits(page: Page, go: Go) -> None:
    """150 °C = 302 °F; whatever the mark is, its two numbers are one temperature."""
    page.set_viewport_size(SIZES)
    go("b/demo-planned/kettle")
    for _ in range(20):
        if page.locator(".hot").count():
            break
        page.locator(".keys button", has_text=WORDS["Pass"]).first.click()
        page.locator(".panel").get_by_text(WORDS["No hands free"]).click()
        page.wait_for_timeout(60)
    hot = page.locator(".hot")
    said = hot.inner_text()
    assert WORDS["Eyes on the"] in said
    numbers = [int(word) for word in said.replace("°", " ").split() if word.isdigit()]
    pairs = {(f, c) for f in numbers for c in numbers if f == (c * 18 + 325) // 10 and c > 100}
    assert pairs, said
    assert "°F" in said
    assert "°C" in said
    for size in (SIZES, NARROW):
        page.set_viewport_size(size)
        go("b/demo-planned/kettle")
        hot.wait_for()
        assert page.evaluate(MEASURE)["wide"] <= 0
        assert page.evaluate(CUT) == []
    assert LEFT & {*page.evaluate(TEXTS)} == set()
    time.sleep(1.6)
    hot.get_by_role("button", name=WORDS["Poured"]).tap()
    page.locator(".panel.reading").get_by_role("button", name=WORDS["Later"]).click()


def be(page: Page, go: Go, name: str) -> None:
    go("people")
    page.locator(".row", has_text=name).first.click()


def test_words_follow_who_presses(page: Page, go: Go) -> None:
    page.set_viewport_size(SIZES)
    go("b/demo-planned/packing")
    german = call(page)
    be(page, go, "Isolde")
    wait_true(page, ENGLISH)
    go("b/demo-planned/packing")
    assert WORDS[call(page)] == german
    assert "°F" not in page.locator("#app").inner_text()
    be(page, go, "Maren")
    wait_true(page, GERMAN)
    go("b/demo-planned/packing")
    assert call(page) == german


def test_words_never_change_under_an_entry(page: Page, go: Go, program: Program) -> None:
    """The office's word arrives while a reading is being entered: it holds after the entry."""
    # A phone asks when it stands elsewhere than the office knows: here the hook, then packing.
    with page.expect_response("**/phone"):
        go("b/demo-planned/hook")
    waiting: list[Route] = []
    page.context.route("**/phone", lambda route: waiting.append(route))
    beside(program.data, READS.format("en", "metric"))
    go("b/demo-planned/packing")
    page.locator(".keys button", has_text=WORDS["Write"]).first.click()
    panel = page.locator(".panel.reading")
    before = panel.inner_text()
    wait_for(page, lambda: bool(waiting))
    for one in waiting:
        one.continue_()
    page.context.unroute("**/phone")
    wait_true(page, f"{CREW}.then((language) => language === 'en')", 30)
    # Every second the floor looks what whoever presses reads.
    page.wait_for_timeout(2200)
    assert panel.inner_text() == before
    assert page.evaluate(GERMAN)
    panel.get_by_role("button", name=WORDS["Later"]).click()
    wait_true(page, ENGLISH)
    beside(program.data, READS.format("de", "us"))
    go("b/demo-planned/hook")
    wait_true(page, GERMAN, 30)


def wait_for(page: Page, happened: Callable[[], bool]) -> None:
    """Waits in the browser, so that what it asks can be answered meanwhile."""
    for _ in range(200):
        if happened():
            return
        page.wait_for_timeout(100)
    pytest.fail("nothing happened within 20 s")


def test_it_is_german_still_when_the_shop_is_gone(page: Page, go: Go, program: Program) -> None:
    go("b/demo-handover/roller")
    german = call(page)
    wait_true(page, KEPT, 30)
    program.process.kill()
    program.process.wait(20)
    page.reload()
    page.locator(".station .call").wait_for()
    wait_true(page, GERMAN)
    assert call(page) == german
    assert LEFT & {*page.evaluate(TEXTS)} == set()
