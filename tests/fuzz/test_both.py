"""The kept histories and changed ones, folded here and in the browser."""

import pytest
from playwright.sync_api import Page

from tests.fuzz.both import unlike
from tests.fuzz.hunt import one_input
from tests.fuzz.keeping import seeds
from tests.record.conftest import page as page  # a fixture of that room


@pytest.mark.parametrize("many", [400, pytest.param(8000, marks=pytest.mark.long)])
def test_what_a_hunt_makes_is_folded_alike_here_and_there(page: Page, many: int) -> None:
    found = seeds("events")
    assert unlike(page, [*found, *(one_input("events", found, n) for n in range(many))]) == []
