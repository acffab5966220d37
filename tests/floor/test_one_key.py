"""A whole batch by one key alone: a frame moves by itself, a press chooses; nothing else comes."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import FloatRect, Locator, Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone
from tests.floor.one_key import PACE_MS, OneKey
from tests.floor.test_keyboard import MARGIN, THICK, changed
from tests.floor.whole_batches import check
from tests.programs import Program

DONE = r"C Done( then .*)?"
COUNT = r"C \+1"
TYPED = {
    **{"Boiling water": "99.1", "Room": "23", "Room humidity": "43", "Air pressure": "996"},
    **{"Sugar": "8.42", "Glucose syrup": "2.95", "Water": "3.00", "Table": "31"},
}
GRADES = {"Colour at off, 1 pale to 5 amber": "2", "Whiteness, 1 to 5": "4"}
COUNTED = {
    "Pull": ["\\+10"] * 3,
    "Draw rods": ["\\+10"] * 3,
    "Cut": ["\\+5"],
    "Pack bags": ["\\+10"],
}


@pytest.fixture
def hand(
    playwright: Playwright, program: Program, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[OneKey]:
    """A phone on which somebody with hands has chosen a name and turned the frame on."""
    with phone(playwright, tmp_path_factory.mktemp("one key")) as context:
        context.clock.install()
        page = context.pages[0]
        floor = f"http://localhost:{program.port}/floor/"
        page.goto(f"{floor}#add={add_phone(program.data)['code']}")
        page.locator(".row", has_text="Maren").click(timeout=30_000)
        page.locator(".row", has_text="L6329C").wait_for()
        page.goto(f"{floor}#/phone")
        page.locator(".row", has_text="One key").click()
        page.locator(".panel").get_by_text("Go on so").click()
        page.goto(f"{floor}#/")
        page.locator("[data-scan]").first.wait_for()
        # Without a network: the shop's clock is not turned, and would set the phone's right.
        context.set_offline(True)
        yield OneKey(page)


def call(page: Page) -> str:
    return " ".join(page.locator(".station .board .call").inner_text().split())


def asked(page: Page) -> str:
    """The reading that is asked for; '' if none is."""
    panel = page.locator(".panel.reading h2")
    return panel.inner_text() if panel.count() else ""


def answer(hand: OneKey) -> None:
    """Readings that are known are typed; the others become owed."""
    while what := asked(hand.page):
        if what in TYPED:
            hand.type(TYPED[what])
            hand.choose("Write down")
        elif what in GRADES:
            hand.choose(GRADES[what])
            hand.choose("Write down")
        else:
            hand.choose("Later")


def finish(hand: OneKey, pattern: str = DONE) -> None:
    hand.choose(pattern)
    answer(hand)


def count(hand: OneKey, several: list[str]) -> None:
    """One by its own press, the rest by tens, then the end of the count."""
    hand.choose(COUNT)
    for each in several:
        hand.choose("Write")
        hand.choose(each)
    hand.choose("Done")
    answer(hand)


def finish_until(hand: OneKey, last: str = "All done") -> None:
    while (now := call(hand.page)) != last:
        if now in COUNTED:
            count(hand, COUNTED[now])
        else:
            finish(hand)


def to(hand: OneKey, station: str) -> None:
    """From one station to another, by the boil's list."""
    hand.choose("Boil C: up")
    hand.choose(f"{station} .*")


def set_up(hand: OneKey) -> None:
    hand.choose(r".*L6329C.*")
    hand.choose("Set-up Read card.*")
    finish(hand)
    hand.choose(DONE)
    hand.choose("Read together")
    finish_until(hand, "Dress")
    hand.choose("Tobit: yes")
    finish_until(hand, "Name help")
    hand.choose("Tobit: yes")
    finish_until(hand)


def cook(hand: OneKey) -> None:
    """The lid's clock rings and is answered; something goes off; one press is taken back."""
    to(hand, "Kettle")
    finish_until(hand, "Wash walls")
    hand.wait(5 * 60_000)
    hand.choose("Answer")
    hand.choose(r"Went off( \d+)?")
    hand.choose("Streak")
    finish(hand)
    hand.choose("Undo Wash walls")
    hand.choose("2 min ago")
    finish_until(hand, "Poured")


def pour(hand: OneKey) -> None:
    """From 140 °C no frame stands; one press calls it, only a second one pours."""
    hot = hand.page.locator(".hot")
    assert hand.framed() == []
    hand.press()
    assert hot.count() == 1
    hand.wait(20 * PACE_MS)
    assert hand.framed() == []
    hand.press()
    hand.choose("C Poured")
    assert hot.count() == 0
    assert asked(hand.page) == "Peak"
    hand.choose("more")
    hand.choose("Write down")
    finish_until(hand)


def burn(hand: OneKey) -> tuple[int, int]:
    """Presses and steps of the frame until the drill stands."""
    presses, steps = hand.presses, hand.steps
    hand.choose("Burn")
    assert hand.page.locator(".burn").count() == 1
    found = hand.presses - presses, hand.steps - steps
    hand.choose("False alarm")
    return found


def pay(hand: OneKey) -> int:
    """What is owed: the last is written down, two can't be had any more."""
    hand.choose("Boil C: up")
    owed = hand.page.locator(".feet button", has_text="Owed").inner_text()
    hand.choose(owed)
    hand.choose("Kept sample.*")
    hand.choose("Write it down")
    hand.type("100")
    hand.choose("Write down")
    hand.choose("Acid .*")
    hand.choose("Can’t be had any more")
    return int(owed.removeprefix("Owed "))


def close(hand: OneKey) -> None:
    hand.choose("Boil C: up")
    hand.choose("Close the boil")
    hand.choose("Hold to close")
    hand.choose("Close it")


def frame_area(page: Page, key: Locator) -> tuple[float, float]:
    """Area [CSS px²] that changes by 3:1 with the frame, and that of a perimeter 2 px thick."""
    box = key.bounding_box()
    assert box is not None
    key.evaluate("(e) => { e.dataset.scan = ''; }")
    clip = FloatRect(
        x=max(box["x"] - MARGIN, 0),
        y=max(box["y"] - MARGIN, 0),
        width=box["width"] + 2 * MARGIN,
        height=box["height"] + 2 * MARGIN,
    )
    framed = page.screenshot(clip=clip)
    key.evaluate("(e) => { delete e.dataset.scan; }")
    plain = page.screenshot(clip=clip)
    return changed(framed, plain), 2 * THICK * (box["width"] + box["height"])


def test_the_frame_is_seen_as_a_focus_must_be(hand: OneKey) -> None:
    """WCAG 2.2, 2.4.13: on the finish, the keys, and the rail."""
    page = hand.page
    hand.choose(".*L6329B.*")
    hand.choose("Roller .*")
    # The frame stands still.
    page.clock.pause_at(page.evaluate("Date.now()") + 1000)
    found = []
    for keys in (".station > .finish", ".keys button", ".stamps button", ".rail .who", ".burn-key"):
        found.append(frame_area(page, page.locator(keys).first))
    assert [area for area in found if area[0] < area[1]] == []


def test_at_the_slowest_pace_a_press_can_still_be_taken_back(hand: OneKey) -> None:
    """The pace goes to ten times what it is at first (WCAG 2.2.1), set by the one key itself."""
    hand.choose("at the shop|kept, .*")
    hand.choose("One key: 2 s on each.*")
    hand.choose("Another pace")
    hand.choose(r"\+10")
    hand.choose(r"\+10")
    hand.choose("Go on so")
    hand.pace = 10 * PACE_MS
    hand.choose("‹|Boils")
    hand.choose(".*L6329B.*")
    hand.choose("Roller .*")
    hand.choose(r"B \+1")
    before = int(hand.page.locator(".board > .reckon .number").inner_text())
    hand.choose(r"Undo \+1")
    assert int(hand.page.locator(".board > .reckon .number").inner_text()) == before - 1


def test_a_whole_batch_by_one_key_alone(hand: OneKey, program: Program) -> None:
    set_up(hand)
    cook(hand)
    pour(hand)
    drill = burn(hand)
    for station in ("Table", "Hook", "Block", "Roller", "Packing"):
        to(hand, station)
        finish_until(hand)
    owed = pay(hand)
    close(hand)
    hand.page.context.set_offline(False)
    hand.page.clock.resume()
    state = check(hand.page, program)
    assert len(state["owed"]) == owed - 2
    print(
        f"\none key: {hand.presses} presses, {hand.steps} steps of the frame, "
        f"at most {hand.longest} for one choice; burn in {drill[0]} presses and {drill[1]} steps"
    )
