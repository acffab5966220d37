"""Each try of a phone fails where the thing does not work; steps are those of one system."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright, Route

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.programs import Program, running, wait_until

TREE = "document.querySelector('script[type=module]').src.replace('boot.js', 'screens/system.js')"
SYSTEM = f"async (seen) => (await import({TREE})).systemOf(seen)"
DARK = (
    f"async (seen) => {{ const s = await import({TREE}); return s.staysDark(s.systemOf(seen)); }}"
)
STEPS = f"async (seen) => {{ const s = await import({TREE}); return s.stepsOf(s.systemOf(seen)); }}"
# User agents as these browsers send them, from memory; their makers freeze most of it.
IPHONE = "Mozilla/5.0 (iPhone; CPU iPhone OS {} like Mac OS X) AppleWebKit/605.1.15"
IPAD = "Mozilla/5.0 (Macintosh; Intel Mac OS X 10_15_7) AppleWebKit/605.1.15 Version/18.3 Safari"
ANDROID = "Mozilla/5.0 (Linux; Android 10; K) AppleWebKit/537.36 Chrome/142.0.0.0 Mobile Safari"


def looked(**more: Any) -> dict[str, Any]:
    """What a browser of Android shows, with differences."""
    own = {"home": None, "offers": True, "gecko": False, "touch": True, "installed": False}
    return {**own, "agent": ANDROID, **more}


def apple(agent: str, *, home: bool) -> dict[str, Any]:
    return looked(home=home, offers=False, agent=agent)


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    with running(tmp_path_factory.mktemp("tries") / "data", "demo") as started:
        yield started


@contextmanager
def at_page(
    playwright: Playwright, program: Program, folder: Path, script: str = "", *flags: str
) -> Iterator[Page]:
    """A phone just added, at its page; the script runs before the app."""
    with phone(playwright, folder, flags=flags) as context:
        context.add_init_script(script)
        page = context.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text="Is this phone ready?").click(timeout=30_000)
        page.get_by_role("button", name="Try it all").wait_for()
        yield page


def tried(page: Page, check: str) -> str:
    """What the page says of one try."""
    row = page.locator(f"[data-check={check}]")
    row.get_by_role("button").click()
    wait_true(page, f"document.querySelector('[data-check={check}]').dataset.end", 60)
    return row.inner_text()


def test_each_system_gets_its_own_steps_and_no_other(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    """An iPhone from 18.4 on keeps a home-screen app's screen on (WebKit bug 254545)."""
    cases = [
        (apple(IPHONE.format("18_6"), home=False), ("apple", False), False, "Share"),
        (apple(IPHONE.format("18_6"), home=True), ("apple", True), False, "Mute"),
        (apple(IPHONE.format("18_3"), home=True), ("apple", True), True, "Auto-Lock"),
        (apple(IPHONE.format("18_10"), home=True), ("apple", True), False, "Mute"),
        (apple(IPAD, home=True), ("apple", True), True, "Auto-Lock"),
        (apple("nothing told", home=True), ("apple", True), False, "Mute"),
        (looked(), ("android", False), False, "three dots"),
        (looked(installed=True), ("android", True), False, "Media volume"),
        (looked(gecko=True, offers=False), ("firefox", False), False, "hidden setting"),
        (looked(touch=False), ("desktop", False), False, "computer"),
        # On a computer with an Apple keyboard: no phone's steps.
        (apple(IPAD, home=False) | {"touch": False}, ("desktop", False), False, "computer"),
    ]
    own = {"apple": ("Share", "Auto-Lock"), "android": ("three dots",), "firefox": ("hidden",)}
    with at_page(playwright, program, tmp_path / "phone") as page:
        for seen, (system, home), dark, word in cases:
            found = page.evaluate(SYSTEM, seen)
            assert (found["id"], found["home"]) == (system, home), seen
            assert page.evaluate(DARK, seen) is dark, seen
            said = str(page.evaluate(STEPS, seen))
            assert word in said, seen
            foreign = [w for other in own if other != system for w in own[other]]
            if system not in ("android", "firefox"):
                assert not [w for w in foreign if w in said], seen
            # Who has it on the home screen is not told to put it there.
            assert ("home screen" in said.lower()) is (not home and system != "desktop"), seen


# The browser's own lock, given back by something else after half a second.
TAKEN_AWAY = """const asked = navigator.wakeLock.request.bind(navigator.wakeLock);
navigator.wakeLock.request = async (kind) => {
  const lock = await asked(kind);
  setTimeout(() => lock.release(), 500);
  return lock;
};"""
REFUSED = """navigator.wakeLock.request = async () => {
  throw new DOMException('low', 'NotAllowedError');
};"""
NONE = """for (const name of ['wakeLock', 'vibrate', 'getBattery'])
  Object.defineProperty(Navigator.prototype, name, { value: undefined });"""
FULL = """Object.defineProperty(StorageManager.prototype, 'estimate',
  { value: async () => ({ usage: 2.7e9, quota: 3e9 }) });"""
FORGETS = """const put = IDBObjectStore.prototype.put;
IDBObjectStore.prototype.put = function (value, key) {
  return put.apply(this, key === 'proof' ? ['another', key] : key ? [value, key] : [value]);
};"""


@pytest.mark.parametrize(
    ("script", "check", "says"),
    [
        (TAKEN_AWAY, "awake", "taken away again"),
        (REFUSED, "awake", "The browser refused: low"),
        (FULL, "room", "Only 300 MB"),
        (FORGETS, "offline", "was not read back"),
        ("", "sound", "no microphone"),
    ],
)
def test_what_does_not_work_is_said_with_what_to_do(
    playwright: Playwright, program: Program, tmp_path: Path, script: str, check: str, says: str
) -> None:
    with at_page(playwright, program, tmp_path / "phone", script) as page:
        # Until the rest of the app is here, it is that which is missing.
        wait_until(lambda: says in tried(page, check), 60)
        assert page.locator(f"[data-check={check}]").get_attribute("data-end") != "works"


def test_a_microphone_that_is_refused_is_said(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    """There is one, and nobody who says yes."""
    flag = "--use-fake-device-for-media-stream"
    with at_page(playwright, program, tmp_path / "phone", "", flag) as page:
        assert "The microphone was refused" in tried(page, "sound")


def test_what_a_browser_cannot_do_is_told_apart_from_what_fails(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with at_page(playwright, program, tmp_path / "phone", NONE) as page:
        for check in ("awake", "shake", "battery"):
            assert "This phone can’t" in tried(page, check)
        # What it can't keep lit is set by hand, and the step is there now.
        assert page.get_by_text("Screen timeout").count() == 1


def test_a_try_goes_on_when_the_shop_first_answers(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    """A phone just added knows nothing of the shop yet; what it learns leaves the page standing."""
    waiting: list[Route] = []
    with phone(playwright, tmp_path / "phone") as context:
        context.route("**/sync/pull**", lambda route: waiting.append(route))
        page = context.pages[0]
        page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text="Is this phone ready?").click(timeout=30_000)
        said = tried(page, "room")
        assert "are free" in said
        # Asking the page anything hands over what was caught meanwhile.
        wait_until(lambda: page.evaluate("true") and bool(waiting), 20)
        with page.expect_response("**/sync/phone"):
            waiting[-1].continue_()
            context.unroute("**/sync/pull**")
        page.evaluate("new Promise((done) => requestAnimationFrame(() => setTimeout(done)))")
        assert page.locator("[data-check=room]").inner_text() == said


def test_every_write_of_a_try_asks_for_strict_durability(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    script = (
        "window.asked = []; const open = IDBDatabase.prototype.transaction;"
        "IDBDatabase.prototype.transaction = function (...a) {"
        " window.asked.push([a[1], a[2]?.durability]); return open.apply(this, a); };"
    )
    with at_page(playwright, program, tmp_path / "phone", script) as page:
        page.evaluate("void (window.asked = [])")
        assert "is read back" in tried(page, "offline")
        asked = page.evaluate("window.asked")
        assert [a for a in asked if a[0] == "readwrite" and a[1] != "strict"] == []
        assert ["readonly", "strict"] in asked
