"""Areas and borders against scikit-image; specks go, the smallest first, and none is left."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from skimage.measure import regionprops

from shop.picture.regions import borders, components, regions_of, without_speckles
from shop.picture.shapes import OUTSIDE, Labels, Raster
from tests.picture.scene import PALETTE

pictures = arrays(np.int16, (12, 14), elements=st.integers(-1, 2))


@given(pictures)
def test_areas_cover_all_that_is_inside(labels: Labels) -> None:
    raster = Raster(labels, 0.001, PALETTE, 0)
    regions = regions_of(raster)
    assert abs(sum(r.area_m2 for r in regions) - (labels != OUTSIDE).sum() * 1e-6) < 1e-12
    assert all(r.is_field == (r.label == 0) for r in regions)
    for prop, region in zip(regionprops(components(labels)), regions, strict=True):
        assert (prop.bbox, round(prop.area)) == (region.box, round(region.area_m2 * 1e6))


@given(pictures)
def test_borders_are_the_sides_between_pixels_of_two_areas(labels: Labels) -> None:
    ids = components(labels)
    counted = int(borders(ids).sides.sum())
    across = (ids[:, :-1] != ids[:, 1:]) & (ids[:, :-1] > 0) & (ids[:, 1:] > 0)
    down = (ids[:-1] != ids[1:]) & (ids[:-1] > 0) & (ids[1:] > 0)
    assert counted == across.sum() + down.sum()


@given(pictures, st.integers(1, 20))
def test_no_speck_is_left_but_one_with_nothing_round_it(labels: Labels, least: int) -> None:
    cleaned = without_speckles(labels, least)
    assert ((cleaned == OUTSIDE) == (labels == OUTSIDE)).all()
    ids = components(cleaned, corners=True)
    small = np.flatnonzero(np.bincount(ids.ravel()) < least)
    pairs = borders(ids)
    assert not np.isin(np.concatenate([pairs.one, pairs.other]), small[small > 0]).any()
    assert (without_speckles(cleaned, least) == cleaned).all()


def test_a_speck_takes_the_colour_it_borders_longest() -> None:
    labels = np.zeros((9, 9), np.int16)
    labels[:, 5:] = 1
    labels[4, 5] = 2
    assert without_speckles(labels, 2)[4, 5] == 1
    labels[3:6, 4] = 2
    assert without_speckles(labels, 5)[4, 4] == 0
