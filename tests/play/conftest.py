"""The program on the network's HTTPS with its own authority, and phones that trust it."""

import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from tests.play.crew import CrewPhone
from tests.programs import Program, free_port, running
from tests.trust import trusting_home


class Loft:
    """The invented shop as a running program that can be killed and started again."""

    def __init__(self, folder: Path) -> None:
        self.data, self.port, self.first_visit = folder / "data", free_port(), free_port()
        self.base = f"https://localhost:{self.port}"

    @contextmanager
    def open(self) -> Iterator[Program]:
        """`manage.py demo --lan` until the block ends."""
        lan = ("--lan", "--no-announce", "--host", "sugar-loft.local")
        port = ("--first-visit-port", str(self.first_visit))
        with running(self.data, "demo", *lan, *port, port=self.port) as program:
            yield program

    def lines(self) -> list[str]:
        """Every event line in the store's file."""
        with sqlite3.connect(self.data / "demo" / "kettleside.sqlite3") as store:
            return [line for (line,) in store.execute("select line from shop_event")]


@pytest.fixture
def loft(tmp_path: Path) -> Loft:
    return Loft(tmp_path)


@pytest.fixture
def home(tmp_path: Path) -> Path:
    """Made when first asked for, after the authority exists."""
    return tmp_path / "home"


def phone(playwright: Playwright, loft: Loft, home: Path, name: str) -> CrewPhone:
    """A new phone that trusts the shop's authority."""
    if not home.exists():
        trusting_home(home, loft.data / "authority" / "root.pem")
    return CrewPhone(playwright, loft.data.parent / name, home, loft.base)
