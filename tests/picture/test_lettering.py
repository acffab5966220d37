"""Capitals from strips: strokes of one width, limits said, and they come out of the raster."""

import math
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from shop.picture.buildable import flaws_of
from shop.picture.errors import PartWrong, TooLarge, TooSmallToRead
from shop.picture.lettering import (
    BOTH_WAYS,
    STROKES,
    letter_outline,
    reads_both_ways,
    ring,
    row,
)
from shop.picture.paint import blank, painted
from shop.picture.parts import parts_of
from tests.picture.scene import CASING, LIMITS, PALETTE, SECTION

BIG = replace(SECTION, log_diameter_m=0.25, rod_diameter_m=0.025)


@pytest.mark.parametrize("sign", STROKES)
def test_a_letter_is_one_piece_five_strokes_high_and_one_wide(sign: str) -> None:
    outline = letter_outline(sign)
    left, low, right, high = outline.bounds
    assert outline.is_valid and (low, high) == (0, 5)
    assert left >= 0 and right <= STROKES[sign][0]
    # Rounds of just under a stroke reach nearly all of it; of twice that they fit nowhere much.
    assert outline.buffer(-0.45).buffer(0.45).area > 0.9 * outline.area
    assert outline.buffer(-0.8).area < 0.1 * outline.area


@pytest.mark.parametrize("sign", sorted(BOTH_WAYS))
def test_letters_that_read_both_ways_are_symmetric(sign: str) -> None:
    outline = letter_outline(sign)
    wide = STROKES[sign][0]
    mirrored = shapely.transform(outline, lambda xy: [wide, 0] + xy * [-1, 1])
    assert outline.symmetric_difference(mirrored).area < 1e-9


def test_and_the_others_are_not() -> None:
    for sign in set(STROKES) - BOTH_WAYS:
        outline = letter_outline(sign)
        mirrored = shapely.transform(outline, lambda xy, w=STROKES[sign][0]: [w, 0] + xy * [-1, 1])
        assert outline.symmetric_difference(mirrored).area > 0.5


def test_words_that_read_from_both_ends() -> None:
    assert reads_both_ways("otto") and reads_both_ways("A") and reads_both_ways("MUM")
    assert not reads_both_ways("NOON") and not reads_both_ways("TOM")


def test_a_row_stands_in_the_middle_and_reads_from_left_to_right() -> None:
    letters = row("hit", 0.030, SECTION, LIMITS)
    assert [one.letter for one in letters] == ["H", "I", "T"]
    lefts = [one.outline.bounds[0] for one in letters]
    assert lefts == sorted(lefts)
    whole = shapely.union_all([one.outline for one in letters]).bounds
    assert abs(whole[0] + whole[2]) < 1e-9 and abs(whole[1] + 0.015) < 1e-9
    gaps = [b.outline.distance(a.outline) for a, b in pairwise(letters)]
    assert all(gap >= 0.006 - 1e-9 for gap in gaps)


def test_a_ring_goes_clockwise_tops_outward_within_the_picture() -> None:
    letters = ring("TOE", 0.040, BIG, LIMITS)
    turns = [math.atan2(one.outline.centroid.x, one.outline.centroid.y) for one in letters]
    assert turns == sorted(turns) and abs(turns[0] + turns[-1]) < 0.2
    for one in letters:
        far = np.hypot(*shapely.get_coordinates(one.outline).T)
        assert far.max() <= BIG.picture_radius_m + 1e-9
    tee = letters[0].outline  # a T is heavier at its top, so its middle lies outside its half
    far = np.hypot(*shapely.get_coordinates(tee).T)
    assert math.hypot(tee.centroid.x, tee.centroid.y) > (far.min() + far.max()) / 2


def test_letters_too_small_for_eye_or_hand_are_refused() -> None:
    with pytest.raises(TooSmallToRead, match=r"A letter in the rod is 2.33 mm; it needs 2.50 mm"):
        row("HIT", 0.025, SECTION, LIMITS)
    with pytest.raises(TooSmallToRead, match=r"A stroke at the log is 5.40 mm; it needs 6.00 mm"):
        row("HIT", 0.027, SECTION, LIMITS)
    with pytest.raises(TooLarge, match=r"The row is .* mm; at most 61 mm: use fewer letters"):
        row("HARVEST", 0.030, SECTION, LIMITS)
    with pytest.raises(TooLarge, match=r"The ring is .* mm"):
        ring("MERRY HARVEST", 0.030, SECTION, LIMITS)
    with pytest.raises(PartWrong, match="'É' can't be laid from strips; use the letters A to Z"):
        row("café", 0.030, SECTION, LIMITS)
    with pytest.raises(PartWrong, match="The text is empty"):
        row("  ", 0.030, SECTION, LIMITS)


def test_a_word_becomes_strips_with_nothing_too_small() -> None:
    letters = [(one.outline, 3) for one in row("HIT", 0.032, SECTION, LIMITS)]
    raster = painted(blank(SECTION, PALETTE, 0), letters)
    assert flaws_of(raster, SECTION, LIMITS) == ()
    red = [p for p in parts_of(raster, SECTION, LIMITS, CASING) if p.portion == "red"]
    assert len(red) == 6 and {p.cluster for p in red} == {"a", "b", "c"}
    drawn = sum(one.area for one, _ in letters)
    assert abs(sum(p.area_m2 for p in red) / drawn - 1) < 0.015


@given(st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ ", min_size=1, max_size=4), st.floats(0.03, 0.06))
def test_letters_of_any_text_do_not_touch(text: str, height: float) -> None:
    try:
        letters = row(text, height, BIG, LIMITS)
    except (PartWrong, TooLarge):
        return
    for i, one in enumerate(letters):
        assert all(one.outline.distance(o.outline) >= height / 5 - 1e-9 for o in letters[i + 1 :])
