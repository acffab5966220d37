"""Areas add to the section, masses to the log within a gram; what a short colour costs."""

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.craft.errors import OutOfRange
from shop.picture.colours import reduce_colours
from shop.picture.draw import draw, in_section
from shop.picture.errors import PartWrong
from shop.picture.parts import settled
from shop.picture.reading import read_image
from shop.picture.shapes import PicturePart
from shop.picture.sums import (
    Way,
    log_length,
    mass_of,
    repair_stock,
    rod_metres,
    ways_when_short,
    whole_grams,
)
from tests.picture.drawings import beehive
from tests.picture.scene import PALETTE, SECTION, SHOP

HIVE = draw(reduce_colours(read_image(beehive()), PALETTE), SECTION, SHOP)


def _ways(left: float, parts: tuple[PicturePart, ...] = HIVE.parts) -> dict[str, Way]:
    have = left * mass_of(parts, "brown")
    return {w.name: w for w in ways_when_short(parts, SECTION, "brown", have, 0.006)}


def test_the_parts_are_the_section_and_the_log() -> None:
    assert abs(sum(p.area_m2 for p in HIVE.parts) - math.pi * 0.075**2) < 1e-12
    assert abs(sum(p.mass_kg for p in HIVE.parts) - 11.0) < 1e-9
    assert sum(whole_grams(HIVE.parts).values()) == 11_000


@given(st.floats(1, 40), st.floats(1100, 1400), st.floats(1200, 1500))
def test_whole_grams_add_up_to_any_log(log_kg: float, white: float, light: float) -> None:
    section = replace(
        SECTION,
        log_kg=round(log_kg, 3),
        densities={"clear": 1450.0, "light": light, "white": white},
    )
    parts = settled(HIVE.parts, section)
    grams = whole_grams(parts)
    assert sum(grams.values()) == round(section.log_kg * 1000)
    assert all(abs(grams[p.id] - p.mass_kg * 1000) < 1 for p in parts)
    # m = aρL for every part, and L = M/Σaρ: the same length whichever part is asked.
    length = log_length(parts, section)
    assert all(abs(p.mass_kg / (p.area_m2 * p.density) - length) < 1e-9 for p in parts)


def test_the_log_of_the_invented_order_is_480_mm() -> None:
    # The brief's own plan: 150 mm, 11.0 kg, mean density 1.296 give 480 mm. This drawing has its
    # bees' wings and stripes a little otherwise.
    assert abs(HIVE.log_length_m - 0.480) < 0.003
    assert abs(rod_metres(HIVE.parts, SECTION) - HIVE.log_length_m * (150 / 14) ** 2) < 1e-9


def test_all_follows_the_log_the_rod_and_the_density() -> None:
    lighter = in_section(HIVE, replace(SECTION, log_kg=8.0), SHOP)
    assert abs(lighter.log_length_m / HIVE.log_length_m - 8 / 11) < 1e-9
    assert [p.id for p in lighter.parts] == [p.id for p in HIVE.parts]
    thin = in_section(HIVE, replace(SECTION, rod_diameter_m=0.009), SHOP)
    assert len(thin.flaws) > len(HIVE.flaws)
    white = replace(SECTION, densities={**SECTION.densities, "white": 1150.0})
    assert in_section(HIVE, white, SHOP).log_length_m > HIVE.log_length_m


def test_stock_is_kept_of_the_colours_and_not_of_white_or_casing() -> None:
    stock = repair_stock(HIVE.parts, 0.03)
    assert {"yellow", "brown"} <= set(stock) and not {"white", "jacket"} & set(stock)
    assert abs(stock["brown"] - 0.03 * mass_of(HIVE.parts, "brown")) < 1e-12
    with pytest.raises(OutOfRange, match=r"repair stock is 0\.5"):
        repair_stock(HIVE.parts, 0.5)


def test_shortening_costs_as_much_rod_as_colour_is_missing() -> None:
    way = _ways(470 / 567)["shorten"]
    assert abs(way.lost_m / rod_metres(HIVE.parts, SECTION) - 97 / 567) < 1e-9
    assert way.allowed and way.extra_kg == 0


def test_thinning_keeps_section_and_what_there_is_of_white_and_colour() -> None:
    left = 0.9
    way = _ways(left)["thin"]
    parts = HIVE.parts
    colour, white = (
        sum(p.area_m2 for p in parts if p.portion == name) for name in ("brown", "white")
    )
    thinned = left * colour * HIVE.log_length_m / way.log_m
    padded = white * HIVE.log_length_m / way.log_m
    assert abs(thinned + padded - (colour + white)) < 1e-12
    brown = min(p.narrowest_m for p in parts if p.portion == "brown")
    assert abs(way.narrowest_m - brown * thinned / colour) < 1e-12
    assert way.allowed == (way.narrowest_m >= 0.006)
    assert not _ways(0.5)["thin"].allowed


def test_topping_up_shares_the_loss_between_colour_and_white() -> None:
    left = 0.8
    way = _ways(left)["top up"]
    brown, white = mass_of(HIVE.parts, "brown"), mass_of(HIVE.parts, "white")
    share = way.log_m / HIVE.log_length_m
    assert abs(brown * left + way.extra_kg - brown * share) < 1e-12
    assert abs(white - way.extra_kg - white * share) < 1e-12


@given(st.floats(0.05, 0.999))
def test_the_shortest_log_is_the_one_that_only_shortens(left: float) -> None:
    ways = _ways(left)
    assert ways["shorten"].log_m <= min(ways["thin"].log_m, ways["top up"].log_m)
    assert all(0 <= w.lost_m <= rod_metres(HIVE.parts, SECTION) for w in ways.values())
    fuller = _ways(min(left * 1.0005, 1.0))
    assert all(fuller[name].lost_m <= way.lost_m + 1e-12 for name, way in ways.items())


def test_what_can_t_be_short_is_said() -> None:
    with pytest.raises(PartWrong, match="white is no colour of this picture"):
        ways_when_short(HIVE.parts, SECTION, "white", 1.0, 0.006)
    with pytest.raises(PartWrong, match="mauve is no colour"):
        ways_when_short(HIVE.parts, SECTION, "mauve", 1.0, 0.006)
    with pytest.raises(OutOfRange, match="a colour that is short"):
        ways_when_short(HIVE.parts, SECTION, "brown", 5.0, 0.006)
