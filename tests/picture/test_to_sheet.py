"""Five pictures go from file to sheet with no hand work on data."""

import math
from dataclasses import replace
from typing import Any

import pytest

from shop.demo.scenario import DAY, ORDER, PEOPLE, when
from shop.picture.colours import reduce_colours
from shop.picture.draw import draw
from shop.picture.reading import read_image
from shop.picture.shapes import Drawn
from shop.plan.from_drawing import (
    casing_sugar,
    palette_of,
    planned,
    section_of,
    shop_of,
    shop_sugars,
)
from shop.plan.numbers import shop_numbers
from shop.plan.order import Day
from shop.plan.sheet import build_sheet
from shop.plan.sheet_picture import picture_of, portions_of
from tests.picture.drawings import ALL

NUMBERS = shop_numbers({})
SECTION = section_of(NUMBERS, log_mg=ORDER.log_mg, rod_um=ORDER.rod_um)
SHOP = shop_of(NUMBERS, casing_sugar())


def _drawn(name: str) -> Drawn:
    reduced = reduce_colours(read_image(ALL[name]()), palette_of(shop_sugars()))
    return draw(reduced, SECTION, SHOP)


def _sheet(drawn: Drawn, name: str) -> dict[str, Any]:
    picture, sugars = planned(drawn, name.capitalize(), shop_sugars(), casing_sugar())
    day = Day(
        batch="drawn",
        lot="L6329D",
        letter="D",
        pattern="cross",
        day=DAY,
        light_up=when("10:55"),
        shift_end=when("12:30"),
        people=PEOPLE,
        crew=("maren",),
        lead="maren",
    )
    return build_sheet(
        order=replace(ORDER, title=picture.title),
        picture=picture,
        day=day,
        numbers=NUMBERS,
        sugars=sugars,
        shop={"name": "A shop"},
    )


@pytest.mark.parametrize("name", ALL)
def test_a_picture_becomes_a_sheet(name: str) -> None:
    drawn = _drawn(name)
    sheet = _sheet(drawn, name)
    assert abs(sum(p["area_um2"] for p in sheet["parts"]) - math.pi * 75_000**2) < 100
    assert {p["block"] for p in sheet["parts"]} <= {b["id"] for b in sheet["blocks"]}
    assert 3 <= len(sheet["blocks"]) <= 7
    # Six millimetres, to the quarter of one that a pixel is.
    assert min(p["narrowest_um"] for p in sheet["parts"]) > 5_500
    assert len({p["id"] for p in sheet["parts"]}) == len(sheet["parts"])
    assert bool(sheet["picture"]["mirror_symmetric"]) is drawn.mirror_symmetric
    shapes = sheet["picture"]["shapes"]
    assert shapes[0] == {"part": "casing", "swatch": "#e0982c", **_round(75_000)}
    assert shapes[1] == {"part": "white-band", "swatch": "#fdf8ec", **_round(69_000)}
    assert len(shapes) == sum(p["copies"] for p in sheet["parts"]) == len(drawn.parts)


def _round(r: int) -> dict[str, Any]:
    return {"kind": "circle", "x": 0, "y": 0, "r": r}


@pytest.mark.parametrize("name", ALL)
def test_blocks_can_be_read_in_two_seconds(name: str) -> None:
    steps = _sheet(_drawn(name), name)["steps"]
    for key, step in steps.items():
        if key.startswith("block."):
            assert 1 <= len(step["say"].split()) <= 8, step["say"]
            assert 1 <= len(step["call"].split()) <= 3, step["call"]
            assert step["cue"]


def test_the_sugars_are_those_the_picture_takes_and_weigh_what_its_parts_do() -> None:
    drawn = _drawn("beehive")
    picture, sugars = planned(drawn, "Beehive", shop_sugars(), casing_sugar())
    assert [s.id for s in sugars] == ["white", "yellow", "brown", "clear", "jacket"]
    portions = portions_of(picture, sugars, NUMBERS)
    per_metre = {p.id: p.mg_per_metre for p in portions}
    for sugar in sugars:
        mass = sum(p.mass_kg for p in drawn.parts if p.portion == sugar.id)
        assert abs(per_metre[sugar.id] * drawn.log_length_m / 1e6 - mass) < 1e-5


def test_the_beehive_is_ticked_in_blocks_with_its_bees_drawn_once() -> None:
    sheet = _sheet(_drawn("beehive"), "beehive")
    assert [b["name"] for b in sheet["blocks"]] == [
        *("Yellow, brown 1", "Yellow, brown 2", "White field", "Band on", "Casing on")
    ]
    bees = next(s for s in sheet["steps"].values() if "cut 2, turn 1" in s["say"])
    assert bees["cue"] == "Built 2 times the size, 240 mm long."
    assert [p["copies"] for p in sheet["parts"] if p["block"] == bees["block"]] == [2, 2, 2, 2]
    assert sheet["picture"]["reading_end"] == "The end with the dot of yellow in the casing"


def test_a_sheet_s_picture_can_be_made_again() -> None:
    sheet = _sheet(_drawn("letters"), "letters")
    picture, sugars = picture_of(sheet)
    again = planned(_drawn("letters"), "Letters", shop_sugars(), casing_sugar())
    assert {p.id: p for p in picture.parts} == {p.id: p for p in again[0].parts}
    assert sugars == again[1] and picture.blocks == again[0].blocks


def test_the_shop_s_numbers_make_section_and_limits() -> None:
    own = {**NUMBERS, "log_diameter": 160_000, "band_width": 10_000, "strip_limit": 7_000}
    section = section_of(own, log_mg=9_000_000, rod_um=20_000)
    assert (section.log_kg, section.log_diameter_m, section.rod_diameter_m) == (9.0, 0.16, 0.02)
    assert abs(section.picture_radius_m - 0.064) < 1e-12
    assert shop_of(own, casing_sugar()).limits.strip_m == 0.007
    assert section.densities == {"clear": 1450.0, "light": 1300.0, "white": 1250.0}
