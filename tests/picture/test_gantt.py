"""The build as a picture: every part twice, well-formed, nothing that a strict page refuses."""

from functools import cache
from typing import Any
from xml.etree import ElementTree

from shop.picture.crew import Hand
from shop.picture.gantt import gantt_svg
from shop.picture.schedule import build
from shop.plan.numbers import shop_numbers
from tests.picture.beehive import SECTION, SWATCHES, beehive

SVG = "{http://www.w3.org/2000/svg}"


@cache
def found() -> dict[str, Any]:
    hands = [Hand("Maren <lead>"), Hand("Tobit & Co")]
    return build(beehive(), SECTION, hands, shop_numbers({}), effort=0.5)


def drawn() -> ElementTree.Element:
    return ElementTree.fromstring(gantt_svg(found(), SWATCHES))  # noqa: S314 our own text


def test_every_part_has_a_bar_a_number_and_a_line_in_the_key() -> None:
    tree = drawn()
    words = [text.text or "" for text in tree.iter(f"{SVG}text")]
    for work in found()["order"]:
        assert words.count(str(work["n"])) == 1
        assert f"{work['n']}  {work['name']}" in words
    assert {"Maren <lead>", "Tobit & Co", "Pull", "Band, casing", "latest"} <= set(words)


def test_bars_are_as_long_as_the_work_and_in_its_sugars_colour() -> None:
    tree = drawn()
    laid = [bar for bar in tree.iter(f"{SVG}rect") if bar.get("height") == "34"]
    assert len(laid) == len(found()["order"])
    wide = {round(float(bar.get("width") or 0)) for bar in laid}
    assert max(wide) - min(wide) <= 1
    order = {work["n"]: SWATCHES[work["portion"]] for work in found()["order"]}
    assert sorted(bar.get("fill") or "" for bar in laid) == sorted(order.values())


def test_a_strict_page_takes_it() -> None:
    text = gantt_svg(found(), SWATCHES)
    for refused in ("style", "<script", "href", "onload", "<image"):
        assert refused not in text
