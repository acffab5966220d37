"""A phone in somebody's hand, played as a crew does: by big presses and by keys."""

import json
import time
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright, TimeoutError

from tests.browsers import CHROMIUM, FLAGS, PHONE, wait_true

DEAD_S = 1.55
OWN_LINES = """() => new Promise((done, fail) => {
  const request = indexedDB.open('kettleside');
  request.onerror = () => fail(request.error);
  request.onsuccess = () => {
    const all = request.result.transaction('own').objectStore('own').getAll();
    all.onsuccess = () => { request.result.close(); done(all.result.map(({ line }) => line)); };
  };
})"""
Readings = Mapping[str, tuple[str, str]]


class CrewPhone:
    """One phone with its own profile on disk; it can be closed and opened again."""

    def __init__(self, playwright: Playwright, folder: Path, home: Path, base: str) -> None:
        self.playwright, self.folder, self.home, self.base = playwright, folder, home, base
        self.last_press = 0.0
        self.presses = 0
        self.offline = False
        self.errors: list[str] = []
        self.context: BrowserContext
        self.page: Page
        self.start()

    def start(self) -> None:
        """The browser process; its profile is what the phone remembers."""
        self.context = self.playwright.chromium.launch_persistent_context(
            self.folder,
            executable_path=CHROMIUM,
            args=FLAGS,
            viewport=PHONE,
            is_mobile=True,
            has_touch=True,
            env={"HOME": str(self.home)},
        )
        self.context.set_offline(self.offline)
        self.page = self.context.pages[0]
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))

    def restart(self) -> None:
        """Closed and opened again, still without the network if it had none."""
        address = self.page.url
        self.context.close()
        self.start()
        self.page.goto(address)
        self.page.locator("#app .screen").first.wait_for()

    def network(self, there: bool) -> None:
        """The Wi-Fi comes or goes, for the page and its worker."""
        self.offline = not there
        self.context.set_offline(self.offline)

    def join(self, code: str, name: str) -> None:
        """Added by the office's code; somebody's name chosen."""
        self.page.goto(f"{self.base}/floor/#add={code}")
        self.page.locator(".row", has_text=name).click(timeout=30_000)

    def go(self, place: str) -> None:
        """To a station or page of the boil."""
        self.page.goto(f"{self.base}/floor/#/b/demo-planned/{place}")
        self.page.locator("#app .screen").first.wait_for()

    def be(self, name: str) -> None:
        """Switches who presses, in two presses."""
        here = self.page.url
        self.page.goto(f"{self.base}/floor/#/people")
        self.page.locator(".row", has_text=name).click()
        self.page.goto(here)

    @property
    def call(self) -> str:
        """The words read at two metres."""
        return " ".join(self.page.locator(".station .board .call").inner_text().split())

    @property
    def what_stands(self) -> str:
        """The page, for whoever reads why a press came to nothing."""
        return f"{self.page.url} {self.page.locator('body').inner_text()!r} {self.errors}"

    def pass_until(self, call: str) -> None:
        """Goes on without doing, until the board calls for this step."""
        while self.call != call:
            self.page.locator(".station .keys").get_by_text("Pass", exact=True).click()
            try:
                self.page.locator(".panel").get_by_text("No hands free", exact=True).click()
            except TimeoutError as lost:
                raise AssertionError(self.what_stands) from lost

    def pour(self, readings: Readings) -> None:
        """The scene is closed by its one press; the press that brought it can't end it."""
        time.sleep(DEAD_S)
        self.page.locator(".hot").get_by_role("button", name="Poured").tap()
        self.last_press = time.monotonic()
        self.write_down(readings)

    def finish(self, readings: Readings | None = None, minutes_ago: int = 0) -> str:
        """Finishes the step: by touch or, every third time, by a pedal's key. Returns its call."""
        call = self.call
        time.sleep(max(0.0, self.last_press + DEAD_S - time.monotonic()))
        self.presses += 1
        if self.presses % 3:
            self.page.locator(".station .finish").tap()
        else:
            self.page.locator(".station .board").focus()
            self.page.keyboard.press("PageDown")
        self.last_press = time.monotonic()
        self.write_down(readings or {}, minutes_ago)
        return call

    def write_down(self, readings: Readings, minutes_ago: int = 0) -> None:
        """Answers every reading asked for; what is not known is put off and becomes owed."""
        panel = self.page.locator(".panel.reading")
        while panel.count():
            label = panel.locator("h2").inner_text()
            if label in readings:
                self.taken_ago(minutes_ago)
                self.type(*readings[label])
            else:
                panel.get_by_role("button", name="Later").click()

    def taken_ago(self, minutes: int) -> None:
        """When the reading was taken: ten minutes ago, then minute by minute."""
        if not minutes:
            return
        ago = self.page.locator(".panel.reading .ago")
        ago.get_by_role("button", name="earlier").click()
        for _ in range(10 - minutes):
            ago.get_by_role("button", name="a minute less").click()

    def type(self, value: str, unit: str) -> None:
        """A reading by the phone's own keys, in this unit."""
        panel = self.page.locator(".panel.reading")
        if not panel.locator(".pad").is_visible():
            panel.locator(".value").click()
        if panel.locator(".units").is_visible():
            panel.locator(".units button", has_text=unit).first.click()
        assert panel.locator(".value").inner_text().endswith(unit)
        for figure in value:
            panel.locator(".pad").get_by_text(figure, exact=True).click()
        panel.get_by_role("button", name="Write down").click()

    def finish_until(self, call: str, readings: Readings | None = None) -> list[str]:
        """Finishes steps until the board calls for this one."""
        done = []
        while self.call != call:
            done.append(self.finish(readings))
        return done

    def finish_all(self, readings: Readings | None = None) -> list[str]:
        """Finishes all that is left at this station, counts included."""
        return self.finish_until("All done", readings)

    def end_count(self, counted: int) -> None:
        """A counted step: so many, then done."""
        self.page.locator(".station .keys").get_by_text("Write", exact=True).click()
        self.page.locator(".panel input").fill(str(counted))
        self.page.locator(".panel .go").click()
        time.sleep(max(0.0, self.last_press + DEAD_S - time.monotonic()))
        self.page.locator(".station .keys").get_by_text("Done", exact=True).click()
        self.last_press = time.monotonic()
        self.write_down({})

    def lines(self) -> list[str]:
        """Every event line this phone made, from its own disk."""
        found: list[str] = self.page.evaluate(OWN_LINES)
        return found

    def events(self) -> list[dict[str, Any]]:
        """The same, read."""
        return [json.loads(line) for line in self.lines()]

    def wait_sent(self) -> None:
        """Until the rail says that everything is at the shop."""
        wait_true(self.page, "document.querySelector('.stage')?.textContent === 'at the shop'", 40)
