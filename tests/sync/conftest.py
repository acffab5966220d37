"""A loft for every test that asks for one, or a store with nothing in it."""

from collections.abc import Iterator
from typing import Any

import pytest
from django.db import connection

from shop.store import phones
from shop.store.tries import Tries
from tests.store.scene import Loft, open_loft
from tests.sync import moments


@pytest.fixture(autouse=True)
def nobody_guessed(monkeypatch: pytest.MonkeyPatch) -> None:
    """Wrong codes are counted by the process: those of one test are no other's."""
    monkeypatch.setattr(phones, "wrong_tries", Tries())


@pytest.fixture
def loft(db: None) -> Loft:
    return open_loft()


@pytest.fixture
def outsider(db: None) -> Loft:
    return open_loft("elsewhere")


@pytest.fixture
def fresh_connection(django_db_blocker: Any) -> Iterator[None]:
    """What a test set on its connection ends with the test."""
    yield
    with django_db_blocker.unblock():
        connection.close()


@pytest.fixture
def empty_store(fresh_connection: None, transactional_db: None) -> Iterator[None]:
    """No transaction around the test: in one no file could be put back. The tables are left as they
    were found, empty, and may then be emptied as Django does it, which the triggers would refuse.
    """
    before = moments.taken()
    yield
    moments.put_back(before)
    moments.let_go(before)
    moments.allow_emptying()
