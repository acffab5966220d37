"""Tables that leave for a spreadsheet: one place makes them, and it guards every cell."""

import re

from tests.programs import ROOT

TABLE = ROOT / "shop" / "screens" / "office" / "record_table.py"
MAKES = re.compile(r"^\s*(import csv|from csv )", re.M)


def test_one_place_makes_tables_and_no_row_leaves_it_unguarded() -> None:
    """What it guards against is asked in tests/office/test_desk.py."""
    makers = [path for path in (ROOT / "shop").rglob("*.py") if MAKES.search(path.read_text())]
    assert makers == [TABLE]
    written = re.findall(r"\.writerows?\((.+)\)$", TABLE.read_text(), re.M)
    assert written
    assert all("_safe(" in row for row in written)
