"""What rests on what: walls, arches, rings and hooks."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from shop.picture.rests import resting
from shop.picture.shapes import PicturePart
from shop.picture.work import MM_PER_CELL, job_of, section_cells
from shop.plan.numbers import shop_numbers
from tests.picture.beehive import SECTION, beehive, one_bee

NUMBERS = shop_numbers({})


def wall(*rows: str) -> NDArray[np.int64]:
    """Letters as part numbers, each 8 by 8 cells; a dot is empty."""
    cells = [[0 if c == "." else ord(c) - ord("a") + 1 for c in row] for row in rows]
    return np.kron(np.array(cells), np.ones((8, 8), dtype=np.int64))


def rests(*rows: str) -> dict[str, str]:
    found = resting(wall(*rows), 1.0)
    return {_letter(i): "".join(sorted(map(_letter, on))) for i, on in found.rests_on.items() if on}


def _letter(number: int) -> str:
    return chr(ord("a") + number - 1)


def test_a_lintel_rests_on_both_posts() -> None:
    assert rests("ccc", "a.b") == {"c": "ab"}


def test_what_stands_beside_does_not_carry() -> None:
    assert rests("ab", "ab") == {}


def test_a_ring_is_laid_round_its_core() -> None:
    assert rests("bbb", "bab", "bbb") == {"b": "a"}


def test_upside_down_the_posts_rest_on_the_lintel() -> None:
    found = resting(wall("ccc", "a.b"), 1.0, upside_down=True)
    assert found.rests_on[1] == found.rests_on[2] == frozenset({3})


def test_a_hook_is_told_and_the_smaller_is_laid_into_it() -> None:
    found = resting(wall("bb", "ba", "bb"), 1.0)
    assert found.locked == ((1, 2),)
    assert found.rests_on == {1: frozenset({2}), 2: frozenset()}


def test_parts_that_carry_each_other_in_turn_still_have_an_order() -> None:
    # a over b over c over a: a pinwheel of three stairs round a middle.
    found = resting(wall("aab", "adb", "ccb"), 1.0)
    for part, below in found.rests_on.items():
        assert part not in below
    assert has_order(found.rests_on)


def has_order(rests_on: dict[int, frozenset[int]]) -> bool:
    laid: set[int] = set()
    while len(laid) < len(rests_on):
        ready = {part for part, below in rests_on.items() if part not in laid and below <= laid}
        if not ready:
            return False
        laid |= ready
    return True


@given(st.integers(0, 2**32 - 1))
def test_any_picture_has_an_order(seed: int) -> None:
    cells = np.random.default_rng(seed).integers(0, 7, (4, 5))
    found = resting(np.kron(cells, np.ones((4, 4), dtype=np.int64)), 1.0)
    assert has_order(found.rests_on)
    for part, joined in found.touches.items():
        assert all(
            part in found.touches[other] for other in joined if other not in found.rests_on[part]
        )


@given(st.integers(0, 2**32 - 1))
def test_from_the_other_end_the_same_rests_on_the_same(seed: int) -> None:
    cells = np.kron(
        np.random.default_rng(seed).integers(0, 7, (4, 5)), np.ones((4, 4), dtype=np.int64)
    )
    assert resting(cells, 1.0) == resting(np.fliplr(cells), 1.0)


def test_a_strip_is_as_thick_as_what_it_lies_on() -> None:
    assert resting(wall("bbb", "aaa"), 0.5).stack_mm == {1: 4.0, 2: 8.0}


def test_a_narrow_tower_is_no_thicker_than_it_is_wide() -> None:
    assert resting(wall("c", "b", "a"), 0.5).stack_mm == {1: 4.0, 2: 4.0, 3: 4.0}


def test_cells_have_the_areas_of_the_outlines() -> None:
    parts = beehive()
    cells = section_cells(parts, SECTION)
    counted = np.bincount(cells.ravel(), minlength=len(parts) + 1)[1:] * MM_PER_CELL**2
    for part, area in zip(parts, counted, strict=True):
        assert area == pytest.approx(part.area_m2 * 1e6, rel=0.04), part.name
    assert counted.sum() == pytest.approx(np.pi * 75**2, rel=2e-3)


def test_the_hive_stands_on_its_lower_layers() -> None:
    job = job_of(beehive(), SECTION, NUMBERS)
    on = {work.id: work.rests_on for work in job.works}
    assert on["line-one"] == {"layer-one-left", "layer-one-right", "door"}
    assert on["layer-two"] == {"line-one"}
    assert {"stripe", "left-of-bee", "right-of-bee"} <= on["white-8"]
    assert job.wraps == ("Band", "Casing")
    assert len(job.works) == 25


def test_what_is_made_once_is_cut_once() -> None:
    parts, motifs = one_bee()
    works = {work.id: work for work in job_of(parts, SECTION, NUMBERS, motifs).works}
    assert len(works) == 25 - 8 + 4 + 1 + 2
    twice = {p.id: p for p in parts}["stripe"].narrowest_m * 2e6
    assert works["stripe"].thick_um == round(twice)
    assert works["bee-drawing"].rests_on == {"stripe", "wing", "left-of-bee", "right-of-bee"}
    assert all("bee-drawing" in works[part].touches for part in motifs[0].parts)
    for copy in ("bee-1", "bee-2"):
        assert works[copy].drawn_by == "bee-drawing"
        assert works[copy].cut_s == 0


def test_a_mirrored_picture_is_the_same_work() -> None:
    flipped = tuple(_mirrored(part) for part in beehive())
    straight, turned = (job_of(parts, SECTION, NUMBERS) for parts in (beehive(), flipped))
    assert [w.rests_on for w in straight.works] == [w.rests_on for w in turned.works]
    assert [w.touches for w in straight.works] == [w.touches for w in turned.works]


def _mirrored(part: PicturePart) -> PicturePart:
    return replace(
        part,
        polygon=tuple((-x, y) for x, y in part.polygon),
        holes=tuple(tuple((-x, y) for x, y in ring) for ring in part.holes),
    )


def test_a_part_too_small_for_a_cell_is_still_a_part() -> None:
    speck = replace(
        beehive()[2], id="speck", name="Speck", polygon=((0, 0), (1e-5, 0), (1e-5, 1e-5))
    )
    works = {w.id: w for w in job_of((*beehive(), speck), SECTION, NUMBERS).works}
    assert len(works) == 26
    assert works["speck"].rests_on == works["speck"].touches == frozenset()
