"""What every test may use."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.db import connection
from playwright.sync_api import Playwright, sync_playwright


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="run the longer hunts too")


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Without --long the longer hunts are deselected, and pytest's last line says how many.
    The played days take longest and begin first, so that no worker waits for one at the end."""
    items.sort(key=lambda item: "tests/play/" not in item.nodeid)
    if config.getoption("--long"):
        return
    long = [item for item in items if item.get_closest_marker("long")]
    items[:] = [item for item in items if item not in long]
    config.hook.pytest_deselected(items=long)


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory: pytest.TempPathFactory) -> None:
    """A database file: SQLite in memory has no write-ahead log and no disk to wait for."""
    connection.settings_dict["TEST"]["NAME"] = tmp_path_factory.mktemp("db") / "test.sqlite3"


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    """For one file of tests: while it runs, its event loop keeps Django off this thread."""
    with sync_playwright() as running:
        yield running
