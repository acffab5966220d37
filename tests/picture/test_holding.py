"""How long strips stick on board, iron and under the heater."""

import pytest

from shop.picture.holding import PLACES, sticking_seconds
from shop.plan.numbers import shop_numbers

NUMBERS = shop_numbers({})
# The trade's table of strips from 85 to 70 °C: minutes on a dry board in 24 °C air and on bare iron
# at 35 °C. A model of unknown air and contact, from memory, said to be worth ± 30 %.
BOARD = {6: 4.0, 10: 7.0, 15: 11.0, 25: 19.0, 40: 33.0}
IRON = {6: 0.8, 10: 1.6, 15: 2.7, 25: 5.6}


@pytest.mark.parametrize(("mm", "minutes"), BOARD.items())
def test_on_a_dry_board(mm: int, minutes: float) -> None:
    (seconds,) = sticking_seconds([mm * 1000], "board", NUMBERS)
    assert seconds / 60 == pytest.approx(minutes, rel=0.42)


@pytest.mark.parametrize(("mm", "minutes"), IRON.items())
def test_on_bare_iron(mm: int, minutes: float) -> None:
    (seconds,) = sticking_seconds([mm * 1000], "iron", NUMBERS)
    assert seconds / 60 == pytest.approx(minutes, rel=0.3)


def test_under_the_heater_the_shops_own_limit_ends_it() -> None:
    (thin,) = sticking_seconds([6_000], "heater", NUMBERS)
    assert thin == 30 * 60
    (cooler,) = sticking_seconds([6_000], "heater", {**NUMBERS, "heater_air": 55_000})
    assert cooler < thin
    (hot,) = sticking_seconds([6_000], "heater", {**NUMBERS, "heater_air": 75_000})
    assert hot == thin


def test_thicker_sticks_longer_and_iron_is_the_worst_place() -> None:
    widths = [4_000, 6_000, 9_000, 15_000, 30_000]
    by_place = {place: sticking_seconds(widths, place, NUMBERS) for place in PLACES}
    for seconds in by_place.values():
        assert seconds == sorted(seconds)
    for iron, board, heater in zip(
        *(by_place[p] for p in ("iron", "board", "heater")), strict=True
    ):
        assert iron < board
        assert board <= heater or board > 30 * 60
