"""A whole batch by somebody who hears it: only the accessibility tree is read, nothing is seen."""

from __future__ import annotations

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.floor.by_tree import Listener
from tests.floor.test_german import READS
from tests.floor.whole_batches import check
from tests.programs import Program, beside

DONE, COUNT = r"Boil C Done( then .*)?", r"Boil C \+1"
TYPED = {"Boiling water": "99.1", "Room": "23", "Peak": "152.3", "Kept sample": "100"}
GRADES = {"Colour at off, 1 pale to 5 amber": "2", "Whiteness, 1 to 5": "4"}
SEVERAL = {"Pull": r"\+10", "Draw rods": r"\+10", "Cut": r"\+5", "Pack bags": r"\+10"}


@contextmanager
def hearing(
    playwright: Playwright, program: Program, folder: Path, language: str = "en"
) -> Iterator[Listener]:
    """A phone that was added and bears Maren's name; all of the app is on it."""
    with phone(playwright, folder) as context:
        context.clock.install()
        page = context.pages[0]
        floor = f"http://localhost:{program.port}/floor/"
        page.goto(f"{floor}#add={add_phone(program.data)['code']}")
        page.get_by_role("button", name=re.compile("Maren")).click(timeout=30_000)
        page.goto(f"{floor}#/phone")
        while page.title() == "Kettleside, the floor":
            page.clock.run_for(500)
        page.goto(f"{floor}#/")
        page.get_by_role("button", name=re.compile("L6329B")).first.wait_for()
        wait_true(page, f"document.documentElement.lang === '{language}'")
        # Without a network: the shop's clock is not turned, and would set the phone's right.
        context.set_offline(True)
        yield Listener(page)


@pytest.fixture
def ear(playwright: Playwright, program: Program, tmp_path: Path) -> Iterator[Listener]:
    with hearing(playwright, program, tmp_path) as listener:
        yield listener


def told(ear: Listener, *words: str) -> None:
    """Each of these was said by itself after the last press."""
    for each in words:
        assert any(re.search(each, line) for line in ear.heard), f"{each}: heard {ear.heard}"


def go(ear: Listener, role: str, name: str) -> None:
    """To another screen: the focus is on its head, or on the board, and it makes sense by ear."""
    ear.press(role, name)
    assert ear.focused().role in ("heading", "region")
    assert ear.flaws() == []


def open_dialog(ear: Listener, name: str) -> None:
    """Its name is heard with the focus, which is inside."""
    ear.press("button", name)
    dialog = ear.dialog
    assert dialog is not None
    assert dialog.name
    assert ear.focused() in list(dialog.walk())
    assert ear.flaws() == []


def choose(ear: Listener, name: str) -> None:
    """One of the dialog's keys; the focus goes back to the board."""
    ear.press("button", name)
    assert ear.dialog is None
    assert ear.focused().role == "region"


def answer(ear: Listener) -> None:
    """Readings are said when they are asked for; what is put off is said to be owed."""
    while (dialog := ear.dialog) is not None:
        what = dialog.name
        told(ear, f"Asked: {what}")
        assert ear.flaws() == []
        if what in TYPED:
            if not ear.all("button", "1"):
                ear.press("button", ".*, type it")
            for figure in TYPED[what]:
                ear.press("button", re.escape(figure))
            told(ear, TYPED[what])
            ear.press("button", "Write down")
        elif what in GRADES:
            ear.press("button", GRADES[what])
            ear.press("button", "Write down")
        else:
            ear.press("button", "Later")
        # Whatever was put off, of this step or before it in the same row, is said at its end.
        if ear.dialog is None and what not in {**TYPED, **GRADES}:
            told(ear, f"Owed: {what}")


def finish(ear: Listener) -> None:
    """One press: what comes now is said, and where the entry is kept."""
    ear.press("button", DONE)
    told(ear, re.escape(ear.call), "only here")
    answer(ear)


def count(ear: Listener, several: str) -> None:
    """The new number is said."""
    now = ear.call
    ear.press("button", COUNT)
    told(ear, rf"{now}\. 1 ")
    open_dialog(ear, "Write")
    choose(ear, several)
    told(ear, rf"{now}\. {1 + int(several[2:])} ")
    ear.press("button", "Done")
    told(ear, re.escape(ear.call))
    answer(ear)


def finish_until(ear: Listener, last: str = "All done") -> None:
    while (now := ear.call) != last:
        if now in SEVERAL:
            count(ear, SEVERAL[now])
        else:
            finish(ear)


def to(ear: Listener, station: str) -> None:
    go(ear, "link", "Boil C: up")
    go(ear, "button", f"{station} .*")


def set_up(ear: Listener) -> None:
    go(ear, "button", ".*L6329C.*")
    go(ear, "button", "Set-up Read card.*")
    finish(ear)
    go(ear, "button", DONE)
    assert ear.focused().name == "Cautions"
    ear.press("button", "Read together")
    told(ear, "Test thermometer")
    finish_until(ear, "Dress")
    ear.press("button", "Tobit: yes")
    told(ear, re.escape(ear.call))
    finish_until(ear)


def cook(ear: Listener) -> None:
    """The lid's clock rings and is answered; a mark, one press taken back."""
    to(ear, "Kettle")
    finish_until(ear, "Wash walls")
    rung: list[str] = []
    while not any("Kettle Lid" in line for line in rung):
        ear.wait(30_000)
        rung = ear.heard
    ear.press("button", "Answer")
    open_dialog(ear, r"Went off( \d+)?")
    choose(ear, "Streak")
    finish(ear)
    ear.press("button", "Undo Wash walls")
    told(ear, "Wash walls")
    finish_until(ear, "Flame low")


def refuse(ear: Listener) -> None:
    """A value past its limit is refused aloud, and the dialog stays."""
    ear.press("button", ".*, type it")
    for figure in "999":
        ear.press("button", figure)
    ear.press("button", "Write down")
    told(ear, "999")
    for _ in range(3):
        ear.press("button", "Take one figure back")


def pour(ear: Listener) -> None:
    """The scene says itself; 'Poured' is the only key besides how long ago, and the rail."""
    ear.press("button", DONE)
    told(ear, "Eyes on the thermometer Flame off at 147°")
    assert ear.flaws() == []
    # A key's press is no answer here, unless Tab walked to it: a pedal could have sent it.
    ear.act("button", "Boil C Poured")
    assert ear.dialog is not None
    refuse(ear)
    for figure in TYPED["Peak"]:
        ear.press("button", re.escape(figure))
    ear.press("button", "Write down")
    finish_until(ear)


def burn(ear: Listener) -> None:
    """The drill is said; away from it an alarm says itself, whatever screen stands."""
    ear.press("button", "Burn")
    told(ear, r"^Burn\. .*water")
    assert ear.flaws() == []
    go(ear, "link", "Boil C: up")
    told(ear, "Flame off, take the boil")
    go(ear, "button", "Drill")
    ear.press("button", "False alarm")
    assert ear.focused().role == "region"


def close(ear: Listener) -> None:
    """What is held by hand is asked of whoever can't hold."""
    go(ear, "link", "Boil C: up")
    go(ear, "button", "Close the boil")
    ear.act("button", "Hold to close")
    assert ear.dialog is not None
    ear.press("button", "Close it")
    assert ear.focused().name == "Today’s boils"


def test_a_whole_batch_by_the_accessibility_tree_alone(ear: Listener, program: Program) -> None:
    set_up(ear)
    cook(ear)
    pour(ear)
    burn(ear)
    for station in ("Table", "Hook", "Block", "Roller", "Packing"):
        to(ear, station)
        finish_until(ear)
    close(ear)
    ear.page.context.set_offline(False)
    ear.page.clock.resume()
    check(ear.page, program)
    print(f"\nby the tree: {ear.presses} presses, at most {ear.longest} keys and links on a screen")


def test_the_page_is_in_the_language_of_whoever_presses(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    """A screen reader takes its voice from the page's language (WCAG 2.2, 3.1.1)."""
    beside(program.data, READS.format("de", ""))
    try:
        with hearing(playwright, program, tmp_path, "de") as ear:
            go(ear, "button", "Sud B: Walze")
            ear.press("button", r"Sud B \+1")
            told(ear, r"\d+ ", "nur hier")
            assert ear.flaws() == []
    finally:
        beside(program.data, READS.format("", ""))


def test_the_same_words_said_again_are_heard_again(ear: Listener) -> None:
    """Nothing else is said in between: the region that says them must have been emptied."""
    go(ear, "button", "Boil B: Set-up")
    for _ in range(2):
        open_dialog(ear, "Write")
        ear.press("button", "Room")
        told(ear, "Asked: Room")
        ear.press("button", "Later")
        assert (ear.dialog, [words for words in ear.heard if "Asked" in words]) == (None, [])
        ear.wait(5000)
