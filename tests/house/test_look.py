"""docs/look.md gives the contrast of every pair of words and ground: reckoned here from the style
sheets by WCAG 2.2's formula for relative luminance (criterion 1.4.6 wants 7:1)."""

import re
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LOOK = (ROOT / "static/css/look.css").read_text("utf-8")
FLOOR = [(ROOT / f"static/css/{name}.css").read_text("utf-8") for name in ("floor", "rest")]
PAGE = (ROOT / "docs/look.md").read_text("utf-8")
GROUNDS = ("stone", "cool", "green", "warm")
PAIR = re.compile(r"^\| ([a-z-]+) on ([a-z-]+) \| ([\d.]+) \| ([\d.]+) \|$", re.M)
AAA, DRAWN = 7.0, 3.0


def blocks() -> list[dict[str, str]]:
    """Names and values of each block of the sheet: day, night chosen, night as the phone is set."""
    return [
        dict(re.findall(r"--([a-z-]+): (#[0-9a-f]+|[^;]+);", block))
        for block in re.findall(r":root[^{]*\{(.*?)\}", LOOK, re.S)
    ]


DAY, NIGHT = blocks()[0], {**blocks()[0], **blocks()[1]}


def luminance(colour: str) -> float:
    figures = colour.lstrip("#")
    if len(figures) == 3:
        figures = "".join(2 * figure for figure in figures)
    parts = [int(figures[i : i + 2], 16) / 255 for i in (0, 2, 4)]
    r, g, b = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    dark, bright = sorted((luminance(one), luminance(other)))
    return (bright + 0.05) / (dark + 0.05)


def against(ground: str) -> tuple[str, ...]:
    """`ground` stands for the four grounds of boils; the worst of them counts."""
    return GROUNDS if ground == "ground" else (ground,)


def worst(names: dict[str, str], words: str, ground: str) -> float:
    colours = {**names, "white": "#fff"}
    return min(contrast(colours[words], colours[found]) for found in against(ground))


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [("#fff", "#000", 21.0), ("#777777", "#ffffff", 4.48), ("#f00", "#fff", 4.0)],
)
def test_the_formula_gives_the_ratios_that_are_known(one: str, other: str, ratio: float) -> None:
    # 21:1 stands in WCAG 2.2 itself; 4.48 for #777 on white is the usual example; red from memory.
    assert contrast(one, other) == pytest.approx(ratio, abs=0.01)


def test_both_blocks_of_the_night_are_the_same_and_name_no_colour_the_day_lacks() -> None:
    day, chosen, as_set = blocks()
    assert chosen == as_set
    assert set(chosen) <= set(day)


def test_the_page_tells_the_contrast_as_it_is_and_none_is_under_seven() -> None:
    pairs = PAIR.findall(PAGE)
    assert len(pairs) >= 15
    for words, ground, by_day, by_night in pairs:
        found = [worst(names, words, ground) for names in (DAY, NIGHT)]
        assert [f"{ratio:.1f}" for ratio in found] == [by_day, by_night], (words, ground)
        assert min(found) >= (DRAWN if words == "copper" else AAA)


def test_every_colour_that_words_are_set_in_is_on_the_page() -> None:
    told = {words for words, *_ in PAIR.findall(PAGE)}
    used = {name for css in FLOOR for name in re.findall(r"[ {]color: var\(--([a-z-]+)\)", css)}
    assert used <= told


def test_no_colour_stands_beside_the_names_of_the_look() -> None:
    loose = [found for css in FLOOR for found in re.findall(r"#[0-9a-f]{3,6}\b", css)]
    assert set(loose) <= {"#fff"}


SIZES = re.compile(r"^\| ([^|]+) \| `([^`]+)` \| ([\d.]+) px \|", re.M)


def test_the_type_scale_is_that_of_the_style_sheet() -> None:
    rows = SIZES.findall(PAGE)
    assert len(rows) >= 8
    for what, selector, px in rows:
        rule = rf"^{re.escape(selector)} \{{[^}}]*font(?:-size)?:[^;]*?([\d.]+)(px|rem)"
        size = re.search(rule, "\n".join(FLOOR), re.M)
        assert size, what
        assert float(size[1]) * (16 if size[2] == "rem" else 1) == float(px), what
