"""One running demo for the walks, phones that keep to themselves, a desk, and figures held to the
page."""

from __future__ import annotations

import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import PHONE, wait_true
from tests.desks import DESK, PASSWORDS, sign_in
from tests.play.crew import CrewPhone
from tests.programs import Program, beside, running
from tests.stories.hand import Hand
from tests.stories.table import Row, row_of

WALKED = pytest.StashKey["list[Walk]"]()
# The phone has all of the app and starts without the network.
KEEPS = """navigator.serviceWorker.controller !== null && caches.keys().then(async ([name]) =>
  (await (await caches.open(name)).keys()).some(({ url }) => url.includes('/floor/rest-')))"""
# A desk's password, and a picture that was drawn.
FILL = f"""{PASSWORDS}
from shop.store.access import access_shop
from tests.office.asks import a_picture
answer = a_picture(access_shop("demo"))
"""


@dataclass
class Walk:
    """One story walked: figures as measured, and the time of the machine's part."""

    row: Row
    figures: dict[str, str] = field(default_factory=dict)
    seconds: float = 0.0

    def saw(self, name: str, value: object) -> None:
        self.figures[name] = str(value)

    def pressed(self, hand: Hand) -> None:
        """What the hand did, under the names that the sum of seconds knows."""
        counted = {"presses": hand.presses, "pad keys": hand.figures}
        for name, n in {**counted, "characters": hand.characters}.items():
            if n or name == "presses":
                self.saw(name, n)

    @contextmanager
    def machine(self) -> Iterator[None]:
        """What happens in the block is the machine's time; no test looks at it."""
        begun = time.perf_counter()
        yield
        self.seconds += time.perf_counter() - begun


@pytest.fixture
def walk(request: pytest.FixtureRequest) -> Iterator[Walk]:
    """The walk of the story that names this test: it ends with the page's very figures."""
    walked = Walk(row_of(request.node.nodeid))
    request.config.stash.setdefault(WALKED, []).append(walked)
    yield walked
    assert walked.figures == walked.row.figures


@pytest.fixture(scope="session")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """The invented shop. Phones keep what they write to themselves: no walk sees another's."""
    with running(tmp_path_factory.mktemp("stories") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="session")
def picture(program: Program) -> str:
    """The key of a picture that was drawn; with it the desk has its password."""
    return str(beside(program.data, FILL))


class Phone(CrewPhone):
    """A phone without the network, whose presses are counted."""

    hand: Hand

    def start(self) -> None:
        super().start()
        self.hand = Hand(self.context)

    def type(self, value: str, unit: str) -> None:
        """As a hand does: the unit is left as it stands where it is the right one."""
        panel = self.page.locator(".panel.reading")
        if not panel.locator(".pad").is_visible():
            panel.locator(".value").click()
        chosen = panel.locator(".keys button", has_text=unit).first
        if chosen.get_attribute("aria-pressed") != "true":
            chosen.click()
        for figure in value:
            panel.locator(".pad").get_by_text(figure, exact=True).click()
        panel.get_by_role("button", name="Write down").click()


@pytest.fixture(scope="module")
def crew(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Phone]:
    """The lead maker's, with the planned boil on it and the network gone."""
    folder = tmp_path_factory.mktemp("phone")
    (folder / "home").mkdir()
    base = f"http://localhost:{program.port}"
    phone = Phone(playwright, folder / "own", folder / "home", base)
    phone.join(add_phone(program.data)["code"], "Maren")
    phone.page.locator(".row", has_text="L6329C").wait_for()
    wait_true(phone.page, KEEPS)
    phone.network(False)
    yield phone
    phone.context.close()


@dataclass
class Desk:
    """A tab at the desk, signed in, whose presses are counted."""

    page: Page
    hand: Hand


@pytest.fixture(scope="module")
def desk(browser: Browser, program: Program, picture: str) -> Iterator[Desk]:
    context = browser.new_context(viewport=DESK, base_url=f"http://localhost:{program.port}")
    hand, page = Hand(context), context.new_page()
    sign_in(page)
    hand.clear()
    yield Desk(page, hand)
    context.close()


@contextmanager
def visitor(browser: Browser, program: Program) -> Iterator[tuple[Page, Hand]]:
    """Somebody's own phone, with no account here."""
    base = f"http://localhost:{program.port}"
    context: BrowserContext = browser.new_context(viewport=PHONE, base_url=base, has_touch=True)
    try:
        hand = Hand(context)
        yield context.new_page(), hand
    finally:
        context.close()
