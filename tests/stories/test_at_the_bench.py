"""Portions, hook, block and rods on one phone without the network: stories 11, 7, 8 and 16."""

from __future__ import annotations

import re
from typing import Any

import pytest

from shop.demo.scenario import demo_sheet
from shop.picture.shapes import PicturePart, Section, Treatment
from shop.picture.sums import Way, rod_metres, ways_when_short
from shop.record.fold import fold
from tests.floor.test_screens import violations
from tests.stories.board import READABLE, across, key, made, texts, type_px
from tests.stories.conftest import Phone, Walk
from tests.stories.hand import words_of
from tests.stories.sight import NEAR_MM, contrast_at_a_sixth, minutes

SHEET = demo_sheet("demo-planned")
TREATMENTS = {portion["id"]: portion["treatment"] for portion in SHEET["portions"]}
DENSITIES: dict[Treatment, float] = {"white": 1250.0, "light": 1300.0, "clear": 1450.0}
STRIP_M, SHORT_G = 0.006, 470
WAYS_HERE = """async ([portion, mg]) => {
  const js = document.querySelector('script[type=module]').src.replace(/boot[.]js$/, '');
  const { waysWhenShort } = await import(`${js}record/replanned.js`);
  const sheets = await new Promise((done) => {
    indexedDB.open('kettleside').onsuccess = ({ target: { result: db } }) => {
      const all = db.transaction('sheets').objectStore('sheets').getAll();
      all.onsuccess = () => { db.close(); done(all.result.map((text) => JSON.parse(text))); };
    };
  });
  const sheet = sheets.find(({ batch }) => batch === 'demo-planned');
  const own = sheet.portions.find(({ id }) => id === portion);
  const state = { moments: {}, tallies: {}, latest: { [own.record]: mg } };
  return waysWhenShort(sheet, state, own);
}"""


def python_ways(portion: str, grams: float) -> tuple[tuple[Way, ...], float]:
    """The same by shop/picture/sums.py from the sheet's areas, and what part of the rod is good."""
    planned = fold(SHEET, [])["figures"]
    log_m, log_kg = planned["log_length_forecast"] / 1e6, planned["log_mass_forecast"] / 1e6
    section = Section(log_kg, 0.150, 0.014, 0.006, 0.008, DENSITIES)
    parts = [_part(part, log_m) for part in SHEET["parts"]]
    good = planned["rod_metres"] / 1e6 / rod_metres(parts, section)
    return ways_when_short(parts, section, portion, grams / 1000, STRIP_M), good


def _part(part: dict[str, Any], log_m: float) -> PicturePart:
    treatment, area = TREATMENTS[part["portion"]], part["area_um2"] / 1e12
    density = DENSITIES[treatment]
    return PicturePart(
        id=part["id"],
        name=part["name"],
        portion=part["portion"],
        kind="strip",
        polygon=(),
        area_m2=area,
        narrowest_m=part["narrowest_um"] / 1e6,
        density=density,
        mass_kg=area * density * log_m,
        treatment=treatment,
        place=(0.0, 0.0),
    )


@pytest.mark.parametrize(
    ("portion", "grams"), [("brown", 470), ("brown", 545), ("yellow", 900), ("wings", 60)]
)
def test_the_ways_out_are_those_of_the_drawing_board(crew: Phone, portion: str, grams: int) -> None:
    there, good = python_ways(portion, grams)
    here = crew.page.evaluate(WAYS_HERE, [portion, grams * 1000])
    assert [way["way"] for way in here] == [way.name for way in there]
    for own, other in zip(here, there, strict=True):
        assert own["lost"] / 1e6 == pytest.approx(other.lost_m * good, abs=2e-3)
        assert own["white"] / 1e6 == pytest.approx(other.extra_kg, abs=2e-4)
        assert own["narrowest"] / 1e6 == pytest.approx(other.narrowest_m, abs=2e-6)
        assert own["fits"] == other.allowed


def test_a_short_colour_is_shown_with_three_ways_out(crew: Phone, walk: Walk) -> None:
    crew.go("table")
    crew.pass_until("Brown")
    crew.hand.clear()
    crew.finish({"Brown portion": (str(SHORT_G), "g")})
    crew.page.evaluate("0")
    walk.saw("presses to write it down", crew.hand.presses + crew.hand.figures)
    crew.hand.clear()
    with walk.machine():
        key(crew, "Went off")
        crew.page.locator(".panel .lines li").first.wait_for()
    walk.pressed(crew.hand)
    assert crew.page.locator(".panel h2").inner_text() == "Brown off weight"
    assert violations(crew.page) == []
    said = texts(crew, ".panel .lines", ".panel .choices").replace("\u202f", " ")
    for name in ("Shorten the log", "Thin its parts", "Top up from white"):
        found = re.search(rf"{name}: (not possible, [\d.]+ mm|[\d.]+ m?m of rod lost)", said)
        assert found, name
        walk.saw(name.lower(), found[1])
    key(crew, "Shorten the log")
    assert made(crew, "mended")[-1]["body"]["text"] == "Shorten the log"


def test_whose_piece_it_is_stands_on_the_board(crew: Phone, walk: Walk) -> None:
    crew.go("block")
    crew.pass_until("Lay out")
    crew.finish({"Coldest part": ("76", "°C")})
    crew.page.locator(".block-mass").wait_for()
    crew.hand.clear()
    walk.pressed(crew.hand)
    mass, waits = texts(crew, ".block-mass").replace("\u202f", " "), texts(crew, ".sticks")
    feel = re.findall(r"Dents, springs back|Still springs back", waits)[0]
    [left] = re.findall(r"\d+–\d+(?= min)|<\d+(?= min)", waits)
    walk.saw("name", crew.call)
    walk.saw("mass", mass)
    walk.saw("place", f"a drawing {across(crew, '.drawing .section')[0]} px wide")
    walk.saw("due", "a range of minutes after the feel")
    walk.saw("words read", sum(words_of(said) for said in (crew.call, mass, feel, left, "min")))
    walk.saw("call", f"{type_px(crew, '.station .call')} px")
    filled = crew.page.locator(".drawing .section g > [stroke-width='1800']")
    assert {shape.get_attribute("fill") for shape in filled.all()} == {"#f2c230", "#4a2811"}
    walk.saw("colours", len({shape.get_attribute("fill") for shape in filled.all()}))
    assert contrast_at_a_sixth(crew.page.locator(".station .call")) >= READABLE


def test_the_reading_end_is_drawn_and_said_at_block_and_roller(crew: Phone, walk: Walk) -> None:
    crew.go("block")
    crew.pass_until("Check ends")
    crew.page.locator(".seen-end").get_by_text("near you").wait_for()
    crew.hand.clear()
    walk.pressed(crew.hand)
    mark = across(crew, ".drawing .section > circle:nth-of-type(2)")[0]
    walk.saw("log", texts(crew, ".seen-end"))
    walk.saw("mark on the drawing", f"{mark} px, {minutes(mark, NEAR_MM)}′ at 70 cm")
    crew.go("roller")
    crew.pass_until("Draw rods")
    rod = texts(crew, ".station .reads:not(.turned)")
    walk.saw("rod", rod)
    walk.saw("words read", words_of(rod))
    walk.saw("its type", f"{type_px(crew, '.station .reads:not(.turned)')} px")


def test_what_is_right_and_too_early_or_late_is_a_picture(crew: Phone, walk: Walk) -> None:
    crew.go("hook")
    crew.pass_until("Pull")
    crew.page.locator(".station .look").wait_for()
    crew.hand.clear()
    walk.pressed(crew.hand)
    wide, high = across(crew, ".station .look")
    # 328 : 108 is the shape of every cue; the box may be wider than the picture in it.
    drawn = min(wide, round(high * 328 / 108))
    walk.saw("picture", f"{drawn} px wide")
    walk.saw("one of its three", f"{minutes(drawn / 3, NEAR_MM)}′ wide at 70 cm")
