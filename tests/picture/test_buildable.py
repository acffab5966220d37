"""Thin places of standard shapes, held against scikit-image's medial axis; mending that ends."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from skimage.morphology import medial_axis

from shop.picture.buildable import flaws_of, repaired
from shop.picture.errors import PartWrong
from shop.picture.mend import mended
from shop.picture.shapes import OUTSIDE, Raster
from shop.picture.thin import limit_of, thin_places
from tests.picture.scene import LIMITS, SECTION, messy, raster_of

PIXELS = 244
MM = 0.0005  # half a millimetre a pixel: the disc of 122 mm


def _with_box(top: float, left: float, high: float, wide: float, label: int = 3) -> Raster:
    """White with one upright box of colour; millimetres from the upper left corner."""
    labels = np.zeros((PIXELS, PIXELS), np.int16)
    rows, columns = (
        slice(round(a * 2), round((a + b) * 2)) for a, b in ((top, high), (left, wide))
    )
    labels[rows, columns] = label
    return raster_of(labels)


@pytest.mark.parametrize("wide", [1, 2, 3, 4, 5])
def test_a_strip_under_six_millimetres_is_flagged_with_its_width(wide: float) -> None:
    (flaw,) = flaws_of(_with_box(40, 60, 40, wide), SECTION, LIMITS)
    assert (flaw.kind, flaw.colour) == ("strip", "red")
    assert abs(flaw.width_m - wide / 1000) <= MM
    assert abs(flaw.in_rod_m - flaw.width_m * 14 / 150) < 1e-9
    assert abs(flaw.limit_m - 0.006) < 1e-9
    x, y = flaw.place
    assert abs(x * 1000 - (60 + wide / 2 - 61)) <= 1 and abs(y * 1000 - 1) <= 1


@pytest.mark.parametrize("wide", [6, 7, 12, 40])
def test_from_six_millimetres_up_it_is_not(wide: float) -> None:
    assert flaws_of(_with_box(40, 50, 40, wide), SECTION, LIMITS) == ()


def test_the_width_is_that_of_the_medial_axis() -> None:
    raster = _with_box(40, 60, 40, 4)
    mask = raster.labels == 3
    axis, depth = medial_axis(mask, return_distance=True)
    (flaw,) = flaws_of(raster, SECTION, LIMITS)
    assert abs(2 * np.median(depth[axis]) * raster.metres_per_pixel - flaw.width_m) <= MM


def test_a_gap_between_two_boxes_is_flagged_as_one() -> None:
    labels = _with_box(40, 40, 40, 20).labels.copy()
    labels[80:160, 126:166] = 3  # from 63 mm: a gap of 3 mm
    (flaw,) = flaws_of(raster_of(labels), SECTION, LIMITS)
    assert (flaw.kind, flaw.colour) == ("gap", "white")
    assert abs(flaw.width_m - 0.003) <= MM
    assert [offer.repair for offer in flaw.offers] == ["merge", "thicken"]


def test_a_hole_must_stay_open_in_the_rod() -> None:
    labels = _with_box(30, 30, 60, 60).labels.copy()
    labels[100:113, 100:113] = 0  # 6.5 mm: hands lay it, the eye needs 0.7 mm × 150/14 = 7.5
    raster = raster_of(labels)
    (flaw,) = flaws_of(raster, SECTION, LIMITS)
    assert flaw.kind == "hole" and abs(flaw.limit_m - 0.0075) < 1e-9
    wide = replace(SECTION, rod_diameter_m=0.020)
    assert flaws_of(raster, wide, LIMITS) == ()


def test_in_a_thin_rod_the_eye_wants_more_than_the_hands() -> None:
    raster = _with_box(40, 60, 40, 6)
    thin = replace(SECTION, rod_diameter_m=0.010)
    (flaw,) = flaws_of(raster, thin, LIMITS)
    assert flaw.kind == "line" and abs(flaw.limit_m - 0.00675) < 1e-9
    assert abs(flaw.in_rod_m - flaw.width_m / 15) < 1e-9


def test_a_neck_between_two_bodies_is_found_however_short() -> None:
    labels = _with_box(40, 30, 40, 25).labels.copy()
    labels[80:160, 114:164] = 3
    labels[118:122, 110:114] = 3
    kinds = {flaw.kind for flaw in flaws_of(raster_of(labels), SECTION, LIMITS)}
    assert kinds == {"strip", "gap"}


def test_corners_of_squares_and_even_triangles_are_not_thin() -> None:
    rows, columns = np.mgrid[:PIXELS, :PIXELS]
    tall = (rows - 60) / np.sqrt(3) > np.abs(columns - 122)
    triangle = np.where(tall & (rows < 170), 3, 0).astype(np.int16)
    assert flaws_of(raster_of(triangle), SECTION, LIMITS) == ()


def test_offers_tell_the_area_they_change_and_change_it() -> None:
    raster = _with_box(40, 60, 40, 4)
    (flaw,) = flaws_of(raster, SECTION, LIMITS)
    costs = {offer.repair: offer.changed_m2 for offer in flaw.offers}
    assert abs(costs["drop"] - 160e-6) < 2e-6
    assert 75e-6 < costs["thicken"] < 110e-6  # a millimetre on either side, and round ends
    assert list(costs) == ["thicken", "drop"]
    for repair, cost in costs.items():
        after = repaired(raster, SECTION, LIMITS, flaw, repair)
        changed = (after.labels != raster.labels).sum() * raster.metres_per_pixel**2
        assert abs(changed - cost) < 1e-12
        assert flaws_of(after, SECTION, LIMITS) == ()


def test_a_thin_bow_may_be_laid_as_straight_strips() -> None:
    rows, columns = np.mgrid[:PIXELS, :PIXELS]
    far = np.hypot(rows - 150, columns - 122)
    bow = (np.abs(far - 80) < 4) & (rows < 130)
    raster = raster_of(np.where(bow, 3, 0).astype(np.int16))
    (flaw,) = flaws_of(raster, SECTION, LIMITS)
    assert "strips" in [offer.repair for offer in flaw.offers]
    after = repaired(raster, SECTION, LIMITS, flaw, "strips")
    assert not any(f.colour == "red" for f in flaws_of(after, SECTION, LIMITS))


def test_a_flaw_of_another_raster_is_not_mended() -> None:
    raster = _with_box(40, 60, 40, 4)
    (flaw,) = flaws_of(raster, SECTION, LIMITS)
    with pytest.raises(PartWrong, match=r"The place at \(.*\) mm can't be mended by drop"):
        repaired(_with_box(40, 60, 40, 10), SECTION, LIMITS, flaw, "drop")
    with pytest.raises(PartWrong, match="can't be mended by merge"):
        repaired(raster, SECTION, LIMITS, flaw, "merge")


@settings(max_examples=60)
@given(messy())
def test_mending_ends_with_nothing_too_small(raster: Raster) -> None:
    found = mended(raster, SECTION, LIMITS)
    assert flaws_of(found.raster, SECTION, LIMITS) == ()
    assert (found.raster.labels == OUTSIDE).sum() == (raster.labels == OUTSIDE).sum()
    assert bool(found.done) == bool(flaws_of(raster, SECTION, LIMITS))
    again = mended(found.raster, SECTION, LIMITS)
    assert again.done == () and again.changed_m2 == 0


@settings(max_examples=40)
@given(messy())
def test_thin_places_lie_in_their_region_and_are_thinner_than_the_limit(raster: Raster) -> None:
    for place in thin_places(raster, SECTION, LIMITS):
        labels = raster.labels[place.pixels.rows, place.pixels.columns]
        assert (labels == place.region.label).all()
        limit = limit_of(place.region, raster, SECTION, LIMITS)
        assert place.width * raster.metres_per_pixel <= limit + 1e-12
        assert raster.labels[place.at] == place.region.label


@settings(max_examples=40)
@given(messy())
def test_a_mirrored_picture_has_its_thin_places_mirrored(raster: Raster) -> None:
    other = replace(raster, labels=raster.labels[:, ::-1].copy())

    def seen(one: Raster) -> set[tuple[int, int]]:
        places = thin_places(one, SECTION, LIMITS)
        return {(int(r), int(c)) for p in places for r, c in zip(*p.pixels, strict=True)}

    assert {(r, 63 - c) for r, c in seen(raster)} == seen(other)
