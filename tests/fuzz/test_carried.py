"""Any file that is handed to a phone is taken whole or refused in words."""

import random

import pytest
from playwright.sync_api import Page

from tests.fuzz.carried import a_file, wrong
from tests.record.conftest import page as page  # a fixture of that room

AT_ONCE = 200


@pytest.mark.parametrize("many", [400, pytest.param(20_000, marks=pytest.mark.long)])
def test_any_file_is_taken_whole_or_refused_in_words(page: Page, many: int) -> None:
    taken = 0
    for first in range(0, many, AT_ONCE):
        files = [a_file(random.Random(n)) for n in range(first, first + AT_ONCE)]
        found, some = wrong(page, files)
        assert found == []
        taken += some
    assert many / 10 < taken < many * 0.9
