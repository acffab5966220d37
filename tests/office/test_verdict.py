"""'Can we make it?' counts the hands before anybody lights a kettle."""

from zoneinfo import ZoneInfo

import pytest

from shop.demo.scenario import demo_sheet
from shop.record.fold import fold
from shop.screens.office.sheet_page import can_we_make_it

SHEET = demo_sheet("demo-planned")
FIGURES = fold(SHEET, [])["figures"]


@pytest.mark.parametrize(("crew", "said"), [(4, ""), (3, "every 69 s with 3"), (2, "with 3")])
def test_too_few_hands_are_said_with_what_would_do(crew: int, said: str) -> None:
    # Common practice, no source: a spinner, two who roll and a cutter at 48 s a rod; three take 70.
    sheet = {**SHEET, "crew": SHEET["crew"][:crew]}
    verdict, reasons = can_we_make_it(sheet, FIGURES, ZoneInfo("Europe/London"))
    assert any("10 rods turn at once" in reason for reason in reasons) == bool(said)
    assert said in " ".join(reasons)
    assert verdict == "Instead"


def test_a_sheet_from_before_has_no_such_number_and_still_opens() -> None:
    known = [n for n in SHEET["numbers"] if n["id"] not in ("rod_cool", "rods_per_hand")]
    sheet = {**SHEET, "crew": SHEET["crew"][:2], "numbers": known}
    _, reasons = can_we_make_it(sheet, FIGURES, ZoneInfo("Europe/London"))
    assert not any("turn at once" in reason for reason in reasons)
