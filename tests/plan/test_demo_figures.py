"""docs/demo.md says what the demo's sheet says."""

import re
from pathlib import Path

import pytest

from shop.demo.scenario import demo_sheet
from shop.record.fold import fold
from shop.record.words import say

DOCUMENT = Path(__file__).parents[2] / "docs" / "demo.md"
ROWS = re.findall(r"^\| `(\w+)` \|[^|]*\| ([^|]+?) \|", DOCUMENT.read_text("utf-8"), re.M)


@pytest.mark.parametrize(("name", "written"), ROWS)
def test_a_figure_of_the_demo_stands_as_written(name: str, written: str) -> None:
    sheet = demo_sheet("demo-planned")
    unit = next(figure["unit"] for figure in sheet["graph"] if figure["name"] == name)
    reckoned = say(fold(sheet, [])["figures"][name], unit)
    assert reckoned.replace("\u202f", " ") == written


def test_the_table_is_read() -> None:
    assert len(ROWS) > 15
