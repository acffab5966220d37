"""The demo as a process of its own, and how a phone is put at its roller."""

import json
import sqlite3
import subprocess
import sys
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

from tests.bench.shop import add_phone
from tests.programs import ROOT, Program, environment, running

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


def in_the_office(data: Path, code: str) -> Any:
    """What a piece of Python returns as `answer`, run beside the store as the office would."""
    done = subprocess.run(
        [
            sys.executable,
            "-c",
            f"import json, django; django.setup()\n{code}\nprint(json.dumps(answer))",
        ],
        cwd=ROOT,
        env={
            **environment(data),
            "KETTLESIDE_SHOP": "demo",
            "DJANGO_SETTINGS_MODULE": "shop.settings",
        },
        capture_output=True,
        text=True,
        check=True,
    )
    return json.loads(done.stdout)
