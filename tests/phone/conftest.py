"""The demo as a process of its own, and how a phone is put at its roller."""

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest
from playwright.sync_api import Page

from tests.bench.shop import add_phone
from tests.programs import Program, running, wait_until

BATCH = "demo-handover/roller"
PRESS = "document.querySelector('.station .finish').click()"


@pytest.fixture
def program(tmp_path: Path) -> Iterator[Program]:
    with running(tmp_path / "data", "demo") as started:
        yield started


def stand(page: Page, program: Program, place: str = BATCH) -> None:
    """A new phone of the roller hand's, at the roller, where rods are counted."""
    page.goto(f"http://localhost:{program.port}/floor/#add={add_phone(program.data)['code']}")
    page.locator(".row", has_text="Isolde").click(timeout=30_000)
    at_the_roller(page, program, place)


def at_the_roller(page: Page, program: Program, place: str = BATCH) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/b/{place}")
    page.locator(".station .finish").wait_for()


def stored(data: Path) -> set[str]:
    """Every event line in the demo's file."""
    with closing(sqlite3.connect(data / "demo" / "kettleside.sqlite3")) as store:
        return {line for (line,) in store.execute("select line from shop_event")}


def press_to_the_shop(page: Page, program: Program) -> None:
    """One press, and the wait until the shop has it."""
    told = stored(program.data)
    page.evaluate(PRESS)
    wait_until(lambda: len(stored(program.data) - told) == 1, 20)
