"""How the cut face looks: areas kept, corners rounded, seeds repeated, and both faces."""

import re
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image
from shapely import Polygon
from skimage.color import rgb2lab
from skimage.measure import euler_number, perimeter
from skimage.transform import rescale

from shop.craft.errors import OutOfRange
from shop.picture.face import Face, face_of, face_svg, rendered
from shop.picture.flow import Cells, connected, rounded, rounding_m
from shop.picture.preview import Amounts, drawn_amounts, drawn_down, usual
from shop.plan.numbers import defaults, shop_numbers
from tests.picture.beehive import SECTION, SWATCHES, drawn_beehive

NUMBERS = shop_numbers({})
DOUBTS = {key: number.doubt for key, number in defaults().items()}
STILL = Amounts(0.0, 0.0, 0.0, 0.0, 0.0, (0.0, 0.0), 0.0)
LOG_M = SECTION.log_diameter_m


def disc(size: int) -> Cells:
    """An empty round of colour 0."""
    far = np.hypot(*(np.mgrid[:size, :size] - (size - 1) / 2))
    return np.where(far <= size / 2, 0, -1).astype(np.int16)


def with_round(radius: float, size: int = 160) -> Cells:
    cells = disc(size)
    cells[np.hypot(*(np.mgrid[:size, :size] - (size - 1) / 2)) <= radius] = 1
    return cells


def areas(cells: Cells) -> dict[int, int]:
    return {int(colour): int((cells == colour).sum()) for colour in np.unique(cells) if colour >= 0}


@pytest.mark.parametrize("radius", [24.0, 32.0, 40.0])
@pytest.mark.parametrize("length", [8.0, 12.0, 18.0])
def test_a_round_shrinks_as_the_flow_by_curvature_says(radius: float, length: float) -> None:
    # Mean curvature flow of a circle: r² = r₀² − 2t (Gage and Hamilton 1986; the example of
    # Merriman, Bence and Osher 1992), t = length²/2.
    left = rounded(with_round(radius), length, keep_areas=False)
    seen = np.sqrt((left == 1).sum() / np.pi)
    assert seen == pytest.approx(np.sqrt(radius**2 - length**2), abs=0.4)


def test_a_round_as_small_as_the_length_is_gone_unless_areas_are_kept() -> None:
    small = with_round(12.0)
    assert (rounded(small, 12.5, keep_areas=False) == 1).sum() == 0
    assert (rounded(small, 12.5) == 1).sum() == pytest.approx((small == 1).sum(), abs=3)


def test_corners_round_and_areas_stay() -> None:
    square = disc(160)
    square[50:110, 50:110] = 1
    after = rounded(square, 12.0)
    assert areas(after)[1] == pytest.approx(3600, rel=0.01)
    assert perimeter(after == 1) < 0.95 * perimeter(square == 1)
    assert after[50, 50] == after[109, 109] == 0
    assert after[80, 52] == 1


def test_lines_of_one_part_do_not_feed_another() -> None:
    cells = disc(200)
    cells[40:160, 60:66] = 1
    cells[80:120, 100:140] = 1
    after = rounded(cells, 6.0)
    assert (after[:, :90] == 1).sum() == pytest.approx((cells[:, :90] == 1).sum(), rel=0.03)


@settings(max_examples=25)
@given(st.integers(0, 2**32 - 1), st.floats(2, 10))
def test_rounding_keeps_every_colours_area(seed: int, length: float) -> None:
    draw = np.random.default_rng(seed)
    cells = disc(120)
    for colour in (1, 2, 3):
        top, left = draw.integers(20, 70, 2)
        cells[top : top + draw.integers(18, 40), left : left + draw.integers(18, 40)] = colour
    _, colours = connected(cells)
    after = rounded(cells, length)
    for colour in set(colours):
        own = int((cells == colour).sum())
        assert (after == colour).sum() == pytest.approx(own, abs=max(0.02 * own, 6))
    assert ((after >= 0) == (cells >= 0)).all()


def test_hotter_sugar_rounds_more() -> None:
    lengths = [rounding_m(at, 40.0, 1800.0) for at in (65.0, 70.0, 75.0, 80.0)]
    assert lengths == sorted(lengths)
    assert rounding_m(75.0, 40.0, 1800.0) * 1000 == pytest.approx(
        NUMBERS["rounding"] / 1000, rel=0.05
    )


def test_the_planned_face_has_the_areas_of_its_parts() -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    whole = (face.cells >= 0).sum()
    assert whole == pytest.approx(np.pi / 4 * face.across**2, rel=0.003)
    # Casing of 6 mm in a log of 150: 15.4 % of the section.
    assert (face.cells == 4).sum() / whole == pytest.approx(0.1536, abs=0.002)
    brown = sum(p.area_m2 for p in drawn_beehive().parts if p.portion == "brown")
    assert (face.cells == 2).sum() / whole == pytest.approx(brown / (np.pi * 0.075**2), rel=0.02)
    assert face.mm_per_cell * face.across == pytest.approx(14.0)


def test_nothing_done_changes_nothing() -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    assert (drawn_down(face, STILL, LOG_M).cells == face.cells).all()


@pytest.mark.parametrize(
    "amounts",
    [
        replace(STILL, swirl=0.02),
        replace(STILL, off_mm=(3.0, -2.0)),
        replace(STILL, oval=0.05, oval_at=0.1),
    ],
)
def test_swirl_drift_and_oval_keep_areas(amounts: Amounts) -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    before, after = areas(face.cells), areas(drawn_down(face, amounts, LOG_M).cells)
    for colour in (0, 1, 2, 3):
        assert after[colour] == pytest.approx(before[colour], rel=0.02)
    assert after[4] == pytest.approx(before[4], rel=0.01)


def test_a_soft_middle_is_pressed_together_by_its_share() -> None:
    far = np.hypot(*(np.mgrid[:320, :320] - 159.5))
    cells = np.where(far <= 160, 0, -1).astype(np.int16)
    cells[far <= 20] = 1
    after = drawn_down(
        Face(cells, ("#ffffff", "#000000"), 0.04), replace(STILL, squeeze=0.2), LOG_M
    )
    assert (after.cells == 1).sum() == pytest.approx(0.8 * (cells == 1).sum(), rel=0.03)
    assert (after.cells >= 0).sum() == pytest.approx((cells >= 0).sum(), rel=2e-3)


def test_room_beside_the_rod_changes_nothing_in_it() -> None:
    bare = Face(with_round(30.0, 200), ("#ffffff", "#000000"), 0.07)
    roomy = replace(bare, cells=np.pad(bare.cells, 9, constant_values=-1), margin=9)
    amounts = replace(STILL, squeeze=0.15, swirl=0.02, off_mm=(6.0, 3.0), rounding_mm=3.0)
    one, other = (drawn_down(face, amounts, LOG_M).cells for face in (bare, roomy))
    assert (one != other[9:-9, 9:-9]).mean() < 0.003
    assert roomy.across == bare.across == 200


def test_an_oval_is_as_oval_as_said() -> None:
    cells = disc(320)
    small = np.where(np.hypot(*(np.mgrid[:320, :320] - 159.5)) <= 120, cells, -1).astype(np.int16)
    after = drawn_down(Face(small, ("#ffffff",), 0.04), replace(STILL, oval=0.05), LOG_M).cells >= 0
    wide, high = after.any(axis=0).sum(), after.any(axis=1).sum()
    assert (wide - high) / ((wide + high) / 2) == pytest.approx(0.05, abs=0.01)


def test_a_seed_shows_the_same_sweet_and_another_another() -> None:
    first, again, other = (drawn_amounts(NUMBERS, DOUBTS, seed) for seed in (1, 1, 2))
    assert first == again
    assert first != other


def test_samples_scatter_as_the_shop_says() -> None:
    many = [drawn_amounts(NUMBERS, DOUBTS, seed) for seed in range(400)]
    swirl = np.array([each.swirl for each in many]) * 1e6
    assert np.mean(np.abs(swirl) < DOUBTS["swirl"]) == pytest.approx(0.954, abs=0.03)
    ovals = np.array([each.oval for each in many])
    assert ovals.max() <= NUMBERS["oval_limit"] / 1e6
    assert ovals.mean() == pytest.approx(NUMBERS["oval_limit"] / 2e6, rel=0.1)
    off = np.array([np.hypot(*each.off_mm) for each in many])
    assert np.mean(off < DOUBTS["wander"] / 1000) == pytest.approx(0.954, abs=0.03)


def test_the_mirror_face_is_the_flipped_reading_face() -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    seen = drawn_down(face, drawn_amounts(NUMBERS, DOUBTS, 3), LOG_M)
    assert (rendered(seen.mirrored) == rendered(seen)[:, ::-1]).all()
    assert (seen.mirrored.mirrored.cells == seen.cells).all()
    # The scene is symmetric, so the face as planned is the same from either end, cells apart.
    assert (face.mirrored.cells != face.cells).mean() < 0.01


def test_pixels_have_the_sugars_own_colours_and_shrink_as_light() -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    large = rendered(face)
    brown = tuple(int(SWATCHES["brown"][n : n + 2], 16) for n in (1, 3, 5))
    assert (large[face.cells == 2] == brown).all()
    # Against scikit-image, which shrinks linear light given to it by local means.
    linear = np.where(
        large / 255 <= 0.04045, large / 255 / 12.92, ((large / 255 + 0.055) / 1.055) ** 2.4
    )
    halved = rescale(linear, 0.5, order=1, anti_aliasing=False, channel_axis=-1)
    ours = rendered(face, pixels=168).astype(float) / 255
    back = np.where(halved <= 0.0031308, halved * 12.92, 1.055 * halved ** (1 / 2.4) - 0.055)
    assert np.abs(back - ours).max() < 0.004
    assert rgb2lab(rendered(face, 0.1)).shape == (336, 336, 3)


def test_colours_run_together_only_at_edges() -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    sharp, run = rendered(face).astype(int), rendered(face, 0.1).astype(int)
    changed = np.abs(sharp - run).max(axis=2) > 2
    assert 0.02 < changed.mean() < 0.4
    assert not changed[face.cells == -1].any()


def test_a_face_as_outlines_is_at_true_size_and_covers_what_its_cells_do() -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    drawn = face_svg(face)
    assert 'width="14mm"' in drawn
    assert face_svg(face, 60.0).count('width="60mm"') == 1
    assert drawn.count("<path") == 5
    assert outlined(drawn)[4] == pytest.approx(float((face.cells == 4).sum()), rel=0.01)
    assert outlined(drawn)[1] == pytest.approx(float((face.cells == 1).sum()), rel=0.01)
    for refused in ("style", "script", "<image"):
        assert refused not in drawn


def outlined(svg: str) -> list[float]:
    """Area inside each path, rings with their holes taken off [cells]."""
    found = []
    for path in re.findall(r'<path d="([^"]*)"', svg):
        rings = [
            Polygon(np.array(re.findall(r"[\d.-]+", ring), float).reshape(-1, 2))
            for ring in path.split("Z")[:-1]
        ]
        whole = rings[0]
        for ring in rings[1:]:
            whole = whole.symmetric_difference(ring)
        found.append(whole.area)
    return found


def test_holes_and_pieces_of_the_drawing_survive_in_the_usual_sweet() -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    seen = drawn_down(face, usual(NUMBERS), LOG_M)
    for colour in (1, 2, 3):
        assert euler_number(face.cells == colour) == euler_number(seen.cells == colour)


def test_sizes_have_limits() -> None:
    face = face_of(drawn_beehive(), SWATCHES["jacket"])
    with pytest.raises(OutOfRange, match="pixels is 4 1"):
        rendered(face, pixels=4)
    with pytest.raises(OutOfRange, match=r"squeeze is 0\.6"):
        drawn_down(face, replace(STILL, squeeze=0.6), LOG_M)
    assert Image.fromarray(rendered(face, pixels=640)).size == (640, 640)
