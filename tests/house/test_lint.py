"""The linters are part of the test run: what CI refuses, the maker sees before."""

from __future__ import annotations

from collections.abc import Sequence

import pytest

from shop.launch.checking import LINTERS, run_linter
from tests.programs import ROOT


@pytest.mark.parametrize("linter", LINTERS, ids=" ".join)
def test_the_linter_finds_nothing(linter: Sequence[str]) -> None:
    ended = run_linter(ROOT, linter, capture=True)
    assert ended.returncode == 0, ended.stdout + ended.stderr
