"""A loft for every test that asks for one."""

import pytest

from tests.store.scene import Loft, open_loft


@pytest.fixture
def loft(db: None) -> Loft:
    return open_loft()


@pytest.fixture
def outsider(db: None) -> Loft:
    return open_loft("elsewhere")
