"""A loft for every test that asks for one."""

import pytest

from shop.store import phones
from shop.store.tries import Tries
from tests.store.scene import Loft, open_loft


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
