"""A SQLite file is opened so that an answered press survives a power cut, or not at all.

`kill -9` can not tell FULL from NORMAL (sqlite.org/pragma.html#pragma_synchronous), so the
setting itself is asserted.
"""

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from django.db import connections
from django.db.backends.base.base import BaseDatabaseWrapper
from django.db.backends.sqlite3.base import DatabaseWrapper

from shop.launch.database import embedded
from shop.models.errors import NotDurable
from shop.models.guards import not_durable, pragmas

# What SQLite must be told and PostgreSQL does as it comes.
pytestmark = pytest.mark.own_engine


def opened(path: Path, **options: Any) -> BaseDatabaseWrapper:
    """A connection to a file, set as the program's settings say but for `options`."""
    chosen = {**connections.settings["default"], **embedded(), "NAME": str(path / "store.sqlite3")}
    chosen["OPTIONS"] = {**chosen["OPTIONS"], **options}
    return DatabaseWrapper(chosen)


@pytest.fixture
def folder(tmp_path: Path, django_db_blocker: Any) -> Iterator[Path]:
    with django_db_blocker.unblock():
        yield tmp_path


def test_the_programs_own_settings_are_durable(folder: Path) -> None:
    store = opened(folder)
    found = pragmas(store)
    store.close()
    assert found == {
        "journal_mode": "wal",
        "synchronous": 2,
        "foreign_keys": 1,
        "secure_delete": 1,
        "transaction_mode": "IMMEDIATE",
    }


@pytest.mark.parametrize(
    ("options", "said"),
    [
        (
            {"init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=NORMAL"},
            "synchronous is 1",
        ),
        (
            {
                "init_command": "PRAGMA journal_mode=WAL; PRAGMA synchronous=FULL; "
                "PRAGMA secure_delete=OFF"
            },
            "secure_delete is 0; it must be 1",
        ),
        ({"init_command": "PRAGMA synchronous=FULL"}, "journal_mode is delete; it must be wal"),
        ({"transaction_mode": "DEFERRED"}, "transaction_mode is DEFERRED; it must be IMMEDIATE"),
    ],
)
def test_a_connection_that_could_lose_a_press_is_refused(
    folder: Path, options: dict[str, Any], said: str
) -> None:
    store = opened(folder, **options)
    with pytest.raises(NotDurable, match=said):
        store.ensure_connection()
    store.close()


def test_a_setting_lost_later_is_found(folder: Path) -> None:
    store = opened(folder)
    with store.cursor() as cursor:
        cursor.execute("PRAGMA synchronous=OFF")
    found = [problem.setting for problem in not_durable(store)]
    store.close()
    assert found == ["synchronous"]
