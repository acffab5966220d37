"""What every test may use."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from django.db import connection
from hypothesis import settings
from playwright.sync_api import Browser, Playwright, sync_playwright

from tests.browsers import CHROMIUM, FLAGS

OWN_SERVERS = {"postgres_server", "running_postgres"}

# No test is timed: on a busy machine a sound one would fail by the clock alone.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--long", action="store_true", help="run the longer hunts too")


def pytest_report_header() -> str:
    return f"engine: {connection.vendor}"


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Without --long the longer hunts are deselected, and pytest's last line says how many.
    The played days take longest and begin first, so that no worker waits for one at the end."""
    items.sort(key=lambda item: "tests/play/" not in item.nodeid)
    left = []
    if not config.getoption("--long"):
        left += [item for item in items if item.get_closest_marker("long")]
    # The second run, on PostgreSQL, is for what runs on either engine.
    if connection.vendor == "postgresql":
        left += [item for item in items if item not in left and _has_own_engine(item)]
    items[:] = [item for item in items if item not in left]
    config.hook.pytest_deselected(items=left)


def _has_own_engine(item: pytest.Item) -> bool:
    """Whether it says so, or its file starts a PostgreSQL of its own."""
    starts = vars(getattr(item, "module", None) or object).keys() & OWN_SERVERS
    return bool(starts) or item.get_closest_marker("own_engine") is not None


@pytest.fixture(scope="session")
def django_db_modify_db_settings(tmp_path_factory: pytest.TempPathFactory) -> None:
    """A database file: SQLite in memory has no write-ahead log and no disk to wait for.
    Where DATABASE_URL names a server, the tests make a database of their own on it."""
    if connection.vendor == "sqlite":
        connection.settings_dict["TEST"]["NAME"] = tmp_path_factory.mktemp("db") / "test.sqlite3"


@pytest.fixture(scope="module")
def playwright() -> Iterator[Playwright]:
    """For one file of tests: while it runs, its event loop keeps Django off this thread."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="module")
def browser(playwright: Playwright) -> Iterator[Browser]:
    """Chromium for one file of tests; each of its tabs keeps to itself."""
    started = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
    yield started
    started.close()
