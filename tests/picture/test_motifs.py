"""Motifs: copies are what they say; a mirrored build is the mirrored picture."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.picture.alike import NOTHING, TURNS, Turn, likeness, trimmed
from shop.picture.colours import reduce_colours
from shop.picture.draw import draw, drawn_of
from shop.picture.mend import mended
from shop.picture.motifs import is_mirror_symmetric
from shop.picture.paint import blank, painted
from shop.picture.parts import parts_of, polygon_of
from shop.picture.reading import read_image
from shop.picture.shapes import Drawn, Raster
from shop.picture.sums import log_length, rod_metres
from tests.picture.drawings import ALL, beehive
from tests.picture.scene import CASING, LIMITS, PALETTE, SECTION, SHOP, messy

HIVE = draw(reduce_colours(read_image(beehive()), PALETTE), SECTION, SHOP)
# An arrow of two colours that is like none of its turns: outlines in millimetres.
ARROW = (
    ([(0, 0), (30, 0), (30, 10), (8, 10), (8, 24), (0, 24)], 3),
    ([(8, 10), (24, 10), (24, 18), (8, 18)], 5),
)
QUICK = replace(SHOP, bench=replace(SHOP.bench, drawing_s=60.0))


def _arrows(*places: tuple[float, float, Turn]) -> Drawn:
    outlines = []
    for x, y, turn in places:
        for points, label in ARROW:
            shape = shapely.Polygon(points)
            middle = shapely.transform(shape, lambda xy: (xy - [15, 12]) * 0.001)
            turned = shapely.transform(middle, lambda xy, by=turn.signs: xy * by)
            outlines.append((shapely.affinity.translate(turned, x / 1000, y / 1000), label))
    return drawn_of(painted(blank(SECTION, PALETTE, 0), outlines), SECTION, QUICK)


@pytest.mark.parametrize("turn", TURNS)
def test_each_turn_of_an_arrow_is_found_and_named(turn: Turn) -> None:
    drawn = _arrows((-25, 0, Turn(False, False)), (25, 4, turn))
    (motif,) = drawn.motifs
    copies = [p for p in drawn.parts if p.made_from]
    assert motif.copies == 2 and len(copies) == len(motif.parts)
    assert motif.flips == turn.flipped
    assert {(c.made_from.flipped, c.made_from.half_turn) for c in copies if c.made_from} == {turn}


def test_a_copy_laid_as_it_says_is_the_part_it_stands_for() -> None:
    for drawn in (HIVE, _arrows((-25, 0, Turn(False, True)), (25, 0, Turn(True, False)))):
        parts = {part.id: part for part in drawn.parts}
        for part in drawn.parts:
            if not part.made_from:
                continue
            one, other = polygon_of(parts[part.made_from.part]), polygon_of(part)
            signs = Turn(part.made_from.flipped, part.made_from.half_turn).signs
            laid = shapely.transform(one, lambda xy, by=signs: xy * by)
            middle, wanted = laid.centroid, other.centroid
            laid = shapely.affinity.translate(laid, wanted.x - middle.x, wanted.y - middle.y)
            assert laid.intersection(other).area > 0.85 * laid.union(other).area


def test_two_bees_are_built_once_at_double_size_as_the_brief_has_it() -> None:
    # Job 3.3 and section 8: built double size, 240 mm long, drawn to 960 mm, halved, one turned.
    (motif,) = HIVE.motifs
    assert (motif.copies, motif.flips, motif.scale) == (2, 1, 2.0)
    assert abs(motif.build_m - 0.240) < 0.002 and abs(motif.drawn_m - 0.960) < 0.008
    assert abs(motif.build_m * motif.scale**2 - motif.copies * HIVE.log_length_m) < 1e-9
    portions = {p.portion for p in HIVE.parts if p.id in motif.parts}
    assert portions == {"yellow", "brown", "clear"}


def test_building_once_is_only_offered_where_it_saves_minutes() -> None:
    assert all(motif.minutes_saved > 0 for motif in HIVE.motifs)
    slow = replace(SHOP, bench=replace(SHOP.bench, drawing_s=3600.0))
    assert drawn_of(HIVE.raster, SECTION, slow).motifs == ()
    short = replace(SHOP, bench=replace(SHOP.bench, shortest_m=2.0))
    assert drawn_of(HIVE.raster, SECTION, short).motifs == ()


@pytest.mark.parametrize(
    ("name", "same"),
    [("beehive", True), ("symmetric", True), ("letters", False), ("photo", False)],
)
def test_symmetric_pictures_read_from_both_ends(name: str, same: bool) -> None:
    drawn = draw(reduce_colours(read_image(ALL[name]()), PALETTE), SECTION, SHOP)
    assert is_mirror_symmetric(drawn.raster) is same
    assert drawn.mirror_symmetric is same


@given(messy())
def test_a_picture_beside_its_mirror_image_is_symmetric(raster: Raster) -> None:
    half = raster.labels[:, : raster.labels.shape[1] // 2]
    both = replace(raster, labels=np.concatenate([half, half[:, ::-1]], axis=1))
    assert is_mirror_symmetric(both)


def test_a_mirrored_build_is_the_mirrored_picture() -> None:
    for drawn in (HIVE, _arrows((-20, 5, Turn(False, False)))):
        index = {colour.id: i for i, colour in enumerate(drawn.raster.palette)}
        pieces = [(polygon_of(p), index[p.portion]) for p in drawn.parts if p.portion in index]
        other_end = [(shapely.transform(s, lambda xy: xy * [-1, 1]), i) for s, i in pieces]
        size = len(drawn.raster.labels)
        laid = painted(blank(SECTION, drawn.raster.palette, 0, size), other_end)
        inside = drawn.raster.labels >= 0
        same = laid.labels[:, ::-1] == drawn.raster.labels
        assert same[inside].mean() > 0.985


@settings(max_examples=20)
@given(messy())
def test_the_mirrored_picture_takes_the_same_sugars(raster: Raster) -> None:
    fit = mended(raster, SECTION, LIMITS).raster
    other = replace(fit, labels=fit.labels[:, ::-1].copy())
    areas = []
    for one in (fit, other):
        found: dict[str, float] = {}
        for part in parts_of(one, SECTION, LIMITS, CASING):
            found[part.portion] = found.get(part.portion, 0.0) + part.area_m2
        areas.append(found)
    assert areas[0].keys() == areas[1].keys()
    # Borders are simplified from one end to the other, which end that is may differ.
    assert all(abs(areas[1][k] - area) < 0.02 * area + 5e-6 for k, area in areas[0].items())


@given(st.floats(0.3, 30), st.floats(0.008, 0.04), st.floats(0.1, 0.25))
def test_drawing_keeps_volume_and_mass(log_kg: float, rod_m: float, log_m: float) -> None:
    section = replace(SECTION, log_kg=log_kg, rod_diameter_m=rod_m, log_diameter_m=log_m)
    scale = section.picture_radius_m / SECTION.picture_radius_m
    parts = [replace(p, area_m2=p.area_m2 * scale**2) for p in HIVE.parts]
    length, rod = log_length(parts, section), rod_metres(parts, section)
    volume = sum(p.area_m2 for p in parts) * length
    assert abs(sum(p.area_m2 * p.density for p in parts) * length / log_kg - 1) < 1e-9
    assert abs(sum(p.area_m2 for p in parts) * (rod_m / log_m) ** 2 * rod / volume - 1) < 1e-9


@given(st.integers(0, 2**32 - 1), st.sampled_from(TURNS))
def test_turning_twice_is_not_turning(seed: int, turn: Turn) -> None:
    image = np.random.default_rng(seed).integers(-1, 3, (7, 9)).astype(np.int16)
    assert (turn.of(turn.of(image)) == image).all()
    assert likeness(trimmed(turn.of(image)), turn.of(trimmed(image))) == 1.0


def test_likeness_is_nothing_for_other_sizes_and_whole_for_itself() -> None:
    one = np.array([[1, 1, 2]], dtype=np.int16)
    assert likeness(one, one) == 1.0
    assert likeness(one, np.ones((4, 4), dtype=np.int16)) == 0.0
    assert trimmed(np.full((3, 3), NOTHING, dtype=np.int16)).shape == (1, 1)
