"""The whole program asked anything for minutes: no fault of its own, no hang, nothing lost."""

from pathlib import Path
from typing import Any

import pytest

from tests.fuzz.api_hunt import MOST_GROWTH, hunt

# It starts servers of its own, one of them on PostgreSQL.
pytestmark = pytest.mark.own_engine


@pytest.mark.long
@pytest.mark.parametrize("name", ["api", "api-postgres"])
def test_a_longer_hunt_finds_nothing(name: str, tmp_path: Path) -> None:
    figures: dict[str, Any] = hunt(name, tmp_path, 120)
    assert figures["faults"] == {}
    assert figures["rss_end"] - figures["rss_start"] < MOST_GROWTH
