"""How long a part sticks, on the sheet: every part's own, all of them cooled in one go."""

from dataclasses import replace

import pytest

from shop.craft.cool import open_times
from shop.demo.scenario import ORDER, PICTURE, demo_sheet
from shop.plan.numbers import shop_numbers
from shop.plan.picture import Part, Picture
from shop.plan.sheet_picture import COOLING_STEPS, part_entries, strip_of

NUMBERS = shop_numbers({})


def strips(*widths_mm: float) -> Picture:
    parts = tuple(
        Part(f"p{i}", f"Part {i}", "yellow", "hive", 10**6, round(mm * 1000), 1, ())
        for i, mm in enumerate(widths_mm)
    )
    return replace(PICTURE, parts=parts)


def test_every_part_of_the_demo_says_how_long_it_sticks() -> None:
    parts = demo_sheet("demo-planned")["parts"]
    assert all(60_000 < part["open_ms"] < 3_600_000 for part in parts)
    thin, thick = (f(parts, key=lambda p: p["narrowest_um"])["open_ms"] for f in (min, max))
    assert thin <= thick


@pytest.mark.parametrize(("mm", "minutes"), [(6, 4), (10, 7), (15, 11), (25, 19)])
def test_a_strip_on_a_dry_board_sticks_as_long_as_it_does(mm: float, minutes: float) -> None:
    # Common practice, no source, worth ± 30 % there and here: from 85 to 70 °C on a dry board.
    (part,) = part_entries(strips(mm), NUMBERS, ORDER)
    assert part["open_ms"] / 60_000 == pytest.approx(minutes, rel=0.42)


def test_forty_parts_are_each_what_they_would_be_alone() -> None:
    widths = [3 + 0.5 * i for i in range(40)]
    together = part_entries(strips(*widths), NUMBERS, ORDER)
    for mm, part in list(zip(widths, together, strict=True))[::13]:
        (alone,) = part_entries(strips(mm), NUMBERS, ORDER)
        assert part["open_ms"] == pytest.approx(alone["open_ms"], rel=2e-3)
    opens = [part["open_ms"] for part in together]
    assert opens == sorted(opens)


def test_few_steps_are_enough_for_the_sheet() -> None:
    bodies = [strip_of(part, NUMBERS) for part in strips(4, 8, 15, 30, 60).parts]
    few, many = (
        open_times(bodies, from_c=85.0, to_c=70.0, steps=n)
        for n in (COOLING_STEPS, 4 * COOLING_STEPS)
    )
    assert few == pytest.approx(many, rel=5e-3)
