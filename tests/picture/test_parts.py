"""Parts cover the section once each, whatever is drawn; shapely and scikit-image say so too."""

import math
from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from skimage.draw import disk

from shop.picture.colours import Reduced
from shop.picture.cutting import Hands, cut_up, is_one_piece
from shop.picture.editing import merge_parts, rename_part, split_part
from shop.picture.errors import NotRead, PartWrong
from shop.picture.kinds import kind_of, narrowest_of
from shop.picture.mend import mended
from shop.picture.outlines import disc_of, in_one_piece, outlines_of
from shop.picture.parts import parts_of, polygon_of
from shop.picture.place import lay_grid
from shop.picture.regions import regions_of
from shop.picture.shapes import PicturePart, Raster
from shop.picture.stacking import stacked
from tests.picture.scene import CASING, LIMITS, PALETTE, SECTION, messy, raster_of

HANDS = Hands(0.006, 0.003, 0.75)
WHOLE = math.pi * 0.075**2
TINY = 1e-10  # a tenth of a thousandth of a square millimetre


def _parts(raster: Raster) -> tuple[PicturePart, ...]:
    return parts_of(raster, SECTION, LIMITS, CASING)


def _letter_h() -> Raster:
    """An H of 10 mm strokes, half a millimetre a pixel."""
    labels = np.zeros((244, 244), np.int16)
    labels[70:170, 82:102] = labels[70:170, 142:162] = labels[110:130, 102:142] = 3
    return raster_of(labels)


@settings(max_examples=40)
@given(messy())
def test_outlines_cover_the_disc_once_each(raster: Raster) -> None:
    outlines = list(outlines_of(raster).values())
    disc = disc_of(SECTION.picture_radius_m)
    assert abs(sum(p.area for p in outlines) - disc.area) < TINY
    assert shapely.union_all(outlines).symmetric_difference(disc).area < TINY
    assert all(p.is_valid and p.geom_type == "Polygon" for p in outlines)


@settings(max_examples=15)
@given(messy())
def test_parts_cover_the_section_once_each(raster: Raster) -> None:
    fit = mended(raster, SECTION, LIMITS).raster
    parts = _parts(fit)
    shapes = [polygon_of(part) for part in parts]
    assert abs(sum(part.area_m2 for part in parts) - WHOLE) < TINY
    assert shapely.union_all(shapes).symmetric_difference(disc_of(0.075)).area < TINY
    tree = shapely.STRtree(shapes)
    for i, j in zip(*tree.query(shapes, predicate="intersects"), strict=True):
        assert i == j or shapes[i].intersection(shapes[j]).area < TINY
    assert len({part.id for part in parts}) == len(parts)


@settings(max_examples=15)
@given(messy())
def test_each_colour_keeps_the_area_of_its_outlines(raster: Raster) -> None:
    fit = mended(raster, SECTION, LIMITS).raster
    outlines, regions = outlines_of(fit), {r.id: r for r in regions_of(fit)}
    parts = _parts(fit)
    for label, colour in enumerate(fit.palette):
        drawn = sum(p.area for n, p in outlines.items() if regions[n].label == label)
        band = 0.0 if colour.treatment != "white" else math.pi * (0.069**2 - 0.061**2)
        made = sum(part.area_m2 for part in parts if part.portion == colour.id)
        assert abs(drawn + band - made) < TINY


@settings(max_examples=60)
@given(st.integers(0, 2**32 - 1), st.integers(5, 30))
def test_any_star_is_cut_into_pieces_that_are_it(seed: int, corners: int) -> None:
    random = np.random.default_rng(seed)
    turns = np.sort(random.uniform(0, 2 * np.pi, corners))
    far = random.uniform(0.01, 0.06, corners)
    star = shapely.Polygon(np.column_stack([np.cos(turns), np.sin(turns)]) * far[:, None])
    if not star.is_valid or star.area < 1e-5:
        return
    pieces = cut_up(star, HANDS)
    assert abs(sum(p.area for p in pieces) - star.area) < TINY
    assert shapely.union_all(pieces).symmetric_difference(star).area < TINY


def test_what_is_torn_off_goes_to_the_piece_it_lies_along() -> None:
    left, bit, right = shapely.box(0, 0, 2, 2), shapely.box(5, 0, 6, 1), shapely.box(2, 0, 5, 2)
    found = in_one_piece({1: shapely.MultiPolygon([left, bit]), 2: right})
    assert found[1].equals(left)
    assert found[2].geom_type == "Polygon" and found[2].equals(shapely.union(right, bit))


def test_an_outline_has_the_area_of_its_pixels_and_the_circle_it_is() -> None:
    labels = np.zeros((244, 244), np.int16)
    labels[disk((122, 122), 60)] = 3
    (area,) = (p.area for n, p in outlines_of(raster_of(labels)).items() if n == 2)
    assert abs(area / (math.pi * 0.030**2) - 1) < 0.02
    assert abs(area / ((labels == 3).sum() * 0.0005**2) - 1) < 0.02


def test_an_h_is_two_strips_and_a_bar() -> None:
    parts = [part for part in _parts(_letter_h()) if part.portion == "red"]
    assert sorted(part.kind for part in parts) == ["bar", "strip", "strip"]
    assert {part.cluster for part in parts} == {"a"}
    assert [round(part.narrowest_m * 1000) for part in parts] == [10, 10, 10]
    bar = next(part for part in parts if part.kind == "bar")
    reds = {part.id for part in parts}
    assert reds - {bar.id} <= set(bar.neighbours)
    assert [part.name for part in parts] == ["Red strip 1", "Red strip 2", "Red bar"]


def test_a_ring_stays_a_sheet_round_its_core() -> None:
    labels = np.zeros((244, 244), np.int16)
    labels[disk((122, 122), 50)] = 3
    labels[disk((122, 122), 30)] = 0
    parts = {part.name: part for part in _parts(raster_of(labels))}
    assert parts["Red sheet"].holes
    assert abs(parts["Red sheet"].narrowest_m - 0.010) < 0.001
    core = next(part for part in parts.values() if part.kind == "filler" and part.cluster == "a")
    assert abs(core.area_m2 - math.pi * 0.015**2) < 2e-5


def test_the_shapes_of_the_bench_get_their_names() -> None:
    turned = shapely.affinity.rotate
    half = shapely.Point(0, 0).buffer(10).intersection(shapely.box(-10, 0, 10, 10))
    for angle in (0, 17, 45, 90):
        assert kind_of(turned(shapely.box(0, 0, 40, 6), angle)) == "strip"
        assert kind_of(turned(shapely.box(0, 0, 12, 8), angle)) == "bar"
        assert kind_of(turned(shapely.Polygon([(0, 0), (20, 0), (8, 14)]), angle)) == "wedge"
        assert kind_of(turned(half, angle)) == "half-round"
    assert kind_of(shapely.Point(0, 0).buffer(10)) == "round"
    assert kind_of(shapely.Point(0, 0).buffer(10) - shapely.Point(0, 0).buffer(6)) == "sheet"


@given(st.floats(0.003, 0.05), st.floats(0.003, 0.05), st.floats(0, 180))
def test_the_narrowest_of_a_box_is_its_shorter_side(wide: float, high: float, turn: float) -> None:
    box = shapely.affinity.rotate(shapely.box(0, 0, wide, high), turn)
    assert abs(narrowest_of(box) - min(wide, high)) < 1e-4


def test_the_narrowest_of_an_even_triangle_is_its_inner_circle() -> None:
    side = 0.03  # Euclid IV.4: the inscribed circle's diameter is the side over the root of 3
    triangle = shapely.Polygon([(0, 0), (side, 0), (side / 2, side * math.sqrt(3) / 2)])
    assert abs(narrowest_of(triangle) - side / math.sqrt(3)) < 1e-4


def test_a_convex_piece_is_left_whole() -> None:
    for piece in (shapely.box(0, 0, 0.05, 0.02), shapely.Point(0, 0).buffer(0.02)):
        assert is_one_piece(piece, HANDS)
        assert cut_up(piece, HANDS) == [piece]


def test_splitting_keeps_area_and_mass_and_merging_undoes_it() -> None:
    parts = _parts(_letter_h())
    strip = next(part for part in parts if part.kind == "strip")
    x, y = strip.place
    halves = split_part(parts, SECTION, strip.id, ((x - 0.02, y), (x + 0.02, y)))
    assert len(halves) == len(parts) + 1
    new = [part for part in halves if part.name.startswith(strip.name)]
    assert [part.name for part in new] == [f"{strip.name} a", f"{strip.name} b"]
    assert new[0].place[1] > new[1].place[1]
    assert abs(sum(part.area_m2 for part in new) - strip.area_m2) < TINY
    assert abs(sum(part.mass_kg for part in halves) - 11.0) < 1e-9
    assert new[1].id in new[0].neighbours
    whole = merge_parts(halves, SECTION, [part.id for part in new])
    back = next(part for part in whole if part.id == new[0].id)
    assert abs(back.area_m2 - strip.area_m2) < TINY and back.kind == "strip"
    assert abs(back.mass_kg - strip.mass_kg) < 1e-9


def test_a_renamed_part_is_called_so_by_its_neighbours() -> None:
    parts = _parts(_letter_h())
    named = rename_part(parts, "red-bar", "  Middle   bar ")
    assert next(p for p in named if p.id == "middle-bar").name == "Middle bar"
    assert not any("red-bar" in p.neighbours for p in named)
    assert any("middle-bar" in p.neighbours for p in named)


@pytest.mark.parametrize("rods", [2, 3, 7, 15, 19])
def test_a_round_as_stacked_rods_is_divided_into_equals_made_once(rods: int) -> None:
    labels = np.zeros((244, 244), np.int16)
    labels[disk((122, 122), 60)] = 3
    parts = _parts(raster_of(labels))
    old = next(part for part in parts if part.portion == "red")
    found, motif = stacked(parts, SECTION, old.id, rods, 0.006)
    red = [part for part in found if part.portion == "red"]
    assert len(red) == rods == motif.copies
    assert abs(sum(part.area_m2 for part in red) - old.area_m2) < TINY
    shapes = [polygon_of(part) for part in red]
    assert shapely.union_all(shapes).symmetric_difference(polygon_of(old)).area < TINY
    assert all(abs(part.area_m2 * rods / old.area_m2 - 1) < 0.25 for part in red)
    assert {p.made_from.part for p in red if p.made_from} == {motif.parts[0]}
    assert abs(sum(part.mass_kg for part in found) - 11.0) < 1e-9
    # n L/k²: what is built at double size has the area of the rods it is drawn and cut to.
    assert abs(motif.build_m * motif.scale**2 - motif.drawn_m) < 1e-12


def test_rods_too_thin_or_of_a_part_that_is_not_solid_are_refused() -> None:
    parts = _parts(_letter_h())
    with pytest.raises(PartWrong, match=r"Red bar gives rods of 5\.\d mm, under 6; take fewer"):
        stacked(parts, SECTION, "red-bar", 8, 0.006)
    with pytest.raises(PartWrong, match="Casing is a jacket; stack a solid piece"):
        stacked(parts, SECTION, "casing", 8, 0.006)


def test_what_can_t_be_done_to_parts_is_said() -> None:
    parts = _parts(_letter_h())
    far = ((0.0, 0.2), (0.1, 0.2))
    with pytest.raises(PartWrong, match="Red bar is not divided by that line; draw it right"):
        split_part(parts, SECTION, "red-bar", far)
    with pytest.raises(PartWrong, match="wing is no part of this picture"):
        split_part(parts, SECTION, "wing", far)
    with pytest.raises(PartWrong, match="is not red; choose parts of one sugar"):
        merge_parts(parts, SECTION, ["red-bar", "casing"])
    with pytest.raises(PartWrong, match="does not touch all the others"):
        merge_parts(parts, SECTION, ["red-strip-1", "red-strip-2"])
    with pytest.raises(PartWrong, match="nothing to go with"):
        merge_parts(parts, SECTION, ["red-bar", "red-bar"])
    with pytest.raises(PartWrong, match="'Casing' is another part's name"):
        rename_part(parts, "red-bar", "Casing")
    with pytest.raises(PartWrong, match="is no name; write 1 to 40 letters"):
        rename_part(parts, "red-bar", " ")


def test_a_bench_grid_is_laid_as_it_is_drawn() -> None:
    grid = np.zeros((20, 20), np.int16)
    grid[6:14, 8] = grid[6, 9:13] = 3
    raster = lay_grid(Reduced(grid, PALETTE, 0), SECTION)
    (region,) = (r for r in regions_of(raster) if not r.is_field)
    assert abs(region.area_m2 - 12 * (0.122 / 20) ** 2) < 1e-9
    parts = [p for p in _parts(raster) if p.portion == "red"]
    assert sorted(p.kind for p in parts) == ["strip", "strip"]
    with pytest.raises(NotRead, match="The grid is 5 × 20; a bench grid is as high as wide"):
        lay_grid(Reduced(grid[:, :5], PALETTE, 0), SECTION)


def test_a_wider_band_leaves_less_for_the_picture_and_the_sum_stays() -> None:
    for band in (0.006, 0.012):
        section = replace(SECTION, band_m=band)
        labels = _letter_h().labels
        raster = replace(
            raster_of(labels), metres_per_pixel=2 * section.picture_radius_m / len(labels)
        )
        parts = parts_of(raster, section, LIMITS, CASING)
        assert abs(sum(part.area_m2 for part in parts) - WHOLE) < TINY
        assert abs(sum(part.mass_kg for part in parts) - 11.0) < 1e-9
