"""Is this phone ready? What the page claims is tried against the thing itself."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import pytest
from playwright.sync_api import BrowserContext, Error, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.floor.test_screens import violations
from tests.launch.test_first_visit_tried import FINDS
from tests.phone.test_new_address import on_lan
from tests.programs import Program, beside, free_port, wait_until
from tests.trust import trusting_home

NAME = "ready-loft.local"
# A microphone and a permission that Chromium brings for tests.
MICROPHONE = ("--use-fake-device-for-media-stream", "--use-fake-ui-for-media-stream")
TREE = "document.querySelector('script[type=module]').src.replace('boot.js', '')"
THE_REST = """caches.keys().then(async (names) => {
  for (const name of names) {
    const kept = await (await caches.open(name)).keys();
    if (kept.some(({ url }) => url.includes('/floor/kept-'))) return true;
  }
  return false;
})"""
# One file is put aside, or back; or its end is cut off.
ASIDE = """async ([end, back]) => {
  const name = (await caches.keys()).find((key) => key.startsWith('kettleside-'));
  const [one, other] = await Promise.all([name, 'aside'].map((key) => caches.open(key)));
  const [from, to] = back ? [other, one] : [one, other];
  const asked = (await from.keys()).find(({ url }) => new URL(url).pathname.endsWith(end));
  await to.put(asked.url, await from.match(asked.url));
  await from.delete(asked.url);
}"""
CUT = """async (end) => {
  const name = (await caches.keys()).find((key) => key.startsWith('kettleside-'));
  const cache = await caches.open(name);
  const asked = (await cache.keys()).find(({ url }) => new URL(url).pathname.endsWith(end));
  const text = await (await cache.match(asked.url)).text();
  const headers = { 'Content-Type': 'text/javascript' };
  await cache.put(asked.url, new Response(text.slice(0, -1), { headers }));
}"""
TOLD = """
from shop.store import access, phones
answer = [one.report.get("tried") for one in phones.phones(access.only_shop().id)]
"""


@dataclass
class Kept:
    """A phone that keeps the app, and the shop that can be switched off."""

    context: BrowserContext
    page: Page
    program: Program
    base: str

    def cold(self, place: str) -> None:
        """To a place by a new start of the app."""
        self.page.goto("about:blank")
        self.page.goto(f"{self.base}/floor/#/{place}")

    def says(self, check: str) -> str:
        """How one try ends, by a press on its row."""
        row = self.page.locator(f"[data-check={check}]")
        row.get_by_role("button").click()
        wait_true(self.page, f"document.querySelector('[data-check={check}]').dataset.end")
        return str(row.get_attribute("data-end"))


@pytest.fixture(scope="module")
def kept(playwright: Playwright, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Kept]:
    folder, port = tmp_path_factory.mktemp("ready"), free_port()
    data, base = folder / "data", f"https://{NAME}:{port}"
    with on_lan(data, NAME, port) as program:
        home = trusting_home(folder / "home", data / "authority" / "root.pem")
        flags = [FINDS, *MICROPHONE]
        with phone(playwright, folder / "phone", home=home, flags=flags) as context:
            page = context.pages[0]
            page.goto(f"{base}/floor/#add={add_phone(data)['code']}")
            page.locator(".row", has_text="Maren").wait_for(timeout=30_000)
            wait_true(page, THE_REST)
            yield Kept(context, page, program, base)


def test_a_phone_just_added_is_offered_to_be_tried_and_the_page_is_sound(kept: Kept) -> None:
    kept.page.locator(".row", has_text="Is this phone ready?").click()
    kept.page.get_by_role("button", name="Try it all").wait_for()
    assert violations(kept.page) == []
    steps = kept.page.locator("ol.rows li").all_inner_texts()
    assert 1 <= len(steps) <= 3
    assert "Share" not in " ".join(steps)


def test_all_is_tried_and_the_shop_is_told(kept: Kept) -> None:
    page = kept.page
    page.get_by_role("button", name="Try it all").click()
    for asked, answer in (("Did you feel it?", "No"), ("Did you hear it?", "Yes")):
        page.get_by_text(asked).first.wait_for(timeout=30_000)
        page.locator(".panel").get_by_role("button", name=answer, exact=True).click()
    wait_true(page, "document.querySelector('[data-check=ring]').dataset.end === 'works'")
    found = {
        str(row.get_attribute("data-check")): str(row.get_attribute("data-end"))
        for row in page.locator("[data-check]").all()
    }
    # A headless browser in a tab: no home screen, no promise, and nobody felt anything.
    assert {key for key, end in found.items() if end == "fails"} == {"home", "kept", "shake"}
    assert violations(page) == []
    wait_until(lambda: beside(kept.program.data, TOLD)[-1] is not None, 90)
    told = beside(kept.program.data, TOLD)[-1]
    assert (told["ends"], told["system"]) == (found, "android")
    page.goto(f"{kept.base}/floor/#/phone")
    page.get_by_text("This phone is not ready").first.wait_for()
    page.goto(f"{kept.base}/floor/#/people")
    page.locator(".row", has_text="Maren").wait_for()
    assert page.get_by_text("Is this phone ready?").count() == 0


def test_a_broken_file_is_noticed_and_fetched_again(kept: Kept) -> None:
    kept.cold("ready")
    assert kept.says("offline") == "works"
    for end in ("screens/owed.js", "screens/station.js"):
        kept.page.evaluate(CUT, end)
        assert kept.says("offline") == "fails"
        kept.page.get_by_role("button", name="Fetch the app again", exact=True).click()
        wait_true(
            kept.page, "document.querySelector('[data-check=offline]')?.dataset.end === 'works'"
        )


# What is missing, where it is missed, and what stands there when it is not.
MISSED = [
    ("/floor/", "people", ".row >> text=Maren"),
    ("screens/station.js", "b/demo-handover/roller", ".station .finish"),
    ("screens/owed.js", "b/demo-handover/owed", "h1 >> text=Owed"),
    ("guide/maker-03.html", "guide/maker-03", "h1 >> text=Done, undo"),
]


def stands(kept: Kept, place: str, sign: str) -> bool:
    try:
        kept.cold(place)
        kept.page.locator(sign).first.wait_for(timeout=4_000)
    except Error:
        # A start that failed leaves the browser's own page behind, a moment later.
        kept.page.wait_for_timeout(300)
        return False
    return True


def test_it_works_without_a_network_exactly_where_the_page_says_so(kept: Kept) -> None:
    """With the server killed and the network off, a start works or not as the page said."""
    kept.program.process.kill()
    kept.program.process.wait()
    for end, place, sign in MISSED:
        kept.cold("ready")
        assert kept.says("offline") == "works"
        assert stands(kept, place, sign), end
        kept.cold("ready")
        kept.page.get_by_role("button", name="Try it all").wait_for()
        kept.page.evaluate(ASIDE, [end, False])
        assert kept.says("offline") == "fails"
        assert not stands(kept, place, sign), end
        kept.page.goto("about:blank")
        other = kept.context.new_page()
        put_back(other, kept, end)
        other.close()


def put_back(page: Page, kept: Kept, end: str) -> None:
    """From another page of the same address, which a missing shell does not keep from opening."""
    page.route("**/aside", lambda route: route.fulfill(body="<title>aside</title>"))
    page.goto(f"{kept.base}/aside")
    page.evaluate(ASIDE, [end, True])
