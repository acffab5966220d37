"""CIEDE2000 against its published test data; an image comes in the shop's colours only.

The table is G. Sharma, W. Wu, E. N. Dalal, 'The CIEDE2000 color-difference formula', Color
Research and Application 30 (2005), table 1: 34 pairs in CIELAB with their difference.
"""

from io import BytesIO

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image
from skimage.measure import euler_number

from shop.picture.buildable import flaws_of
from shop.picture.colours import (
    Reduced,
    denoised,
    difference,
    lab_of,
    noise_of,
    reduce_colours,
    sharpened,
    smoothed,
)
from shop.picture.errors import NotRead, PartWrong, TooLarge
from shop.picture.place import disc, lay_in
from shop.picture.reading import Read, read_image
from shop.picture.shapes import OUTSIDE, PaletteColour
from tests.picture.drawings import ALL, beehive, letters
from tests.picture.scene import LIMITS, PALETTE, SECTION

SHARMA = """
50 2.6772 -79.7751 50 0 -82.7485 2.0425
50 3.1571 -77.2803 50 0 -82.7485 2.8615
50 2.8361 -74.0200 50 0 -82.7485 3.4412
50 -1.3802 -84.2814 50 0 -82.7485 1.0000
50 -1.1848 -84.8006 50 0 -82.7485 1.0000
50 -0.9009 -85.5211 50 0 -82.7485 1.0000
50 0 0 50 -1 2 2.3669
50 -1 2 50 0 0 2.3669
50 2.4900 -0.0010 50 -2.4900 0.0009 7.1792
50 2.4900 -0.0010 50 -2.4900 0.0010 7.1792
50 2.4900 -0.0010 50 -2.4900 0.0011 7.2195
50 2.4900 -0.0010 50 -2.4900 0.0012 7.2195
50 -0.0010 2.4900 50 0.0009 -2.4900 4.8045
50 -0.0010 2.4900 50 0.0010 -2.4900 4.8045
50 -0.0010 2.4900 50 0.0011 -2.4900 4.7461
50 2.5 0 50 0 -2.5 4.3065
50 2.5 0 73 25 -18 27.1492
50 2.5 0 61 -5 29 22.8977
50 2.5 0 56 -27 -3 31.9030
50 2.5 0 58 24 15 19.4535
50 2.5 0 50 3.1736 0.5854 1.0000
50 2.5 0 50 3.2972 0 1.0000
50 2.5 0 50 1.8634 0.5757 1.0000
50 2.5 0 50 3.2592 0.3350 1.0000
60.2574 -34.0099 36.2677 60.4626 -34.1751 39.4387 1.2644
63.0109 -31.0961 -5.8663 62.8187 -29.7946 -4.0864 1.2630
61.2901 3.7196 -5.3901 61.4292 2.2480 -4.9620 1.8731
35.0831 -44.1164 3.7933 35.0232 -40.0716 1.5901 1.8645
22.7233 20.0904 -46.6940 23.0331 14.9730 -42.5619 2.0373
36.4612 47.8580 18.3852 36.2715 50.5065 21.2231 1.4146
90.8027 -2.0831 1.4410 91.1528 -1.6435 0.0447 1.4441
90.9257 -0.5406 -0.9208 88.6381 -0.8985 -0.7239 1.5381
6.7747 -0.2908 -2.4247 5.8714 -0.0985 -2.2286 0.6377
2.0776 0.0795 -1.1350 0.9033 -0.0636 -0.5514 0.9082
"""


def test_ciede2000_is_the_published_one() -> None:
    rows = np.array([[float(x) for x in line.split()] for line in SHARMA.split("\n") if line])
    assert len(rows) == 34
    found = difference(rows[:, :3], rows[:, 3:6])
    assert np.abs(found - rows[:, 6]).max() < 1e-4


def test_lab_of_the_primaries_is_bruce_lindbloom_s() -> None:
    # B. Lindbloom's calculator for sRGB, D65, no adaptation (from memory, one decimal).
    primaries = np.array([[[255, 0, 0], [0, 255, 0], [0, 0, 255], [255, 255, 255]]], np.uint8)
    wanted = [[53.2, 80.1, 67.2], [87.7, -86.2, 83.2], [32.3, 79.2, -107.9], [100.0, 0.0, 0.0]]
    assert np.abs(lab_of(primaries)[0] - wanted).max() < 0.1


def _colours(name: str) -> set[str]:
    return {colour.id for colour in reduce_colours(read_image(ALL[name]()), PALETTE).palette}


def test_a_drawing_keeps_its_colours_and_gets_no_others() -> None:
    assert _colours("letters") == {"white", "red"}
    assert _colours("symmetric") == {"white", "red", "green", "brown"}
    assert _colours("beehive") == {"white", "yellow", "brown", "clear"}
    assert len(_colours("photo")) <= 5


def test_fewer_colours_keep_those_that_tell_most() -> None:
    read = read_image(beehive())
    found = [{c.id for c in reduce_colours(read, PALETTE, most=n).palette} for n in (1, 2)]
    assert found == [{"white", "brown"}, {"white", "brown", "yellow"}]


def test_the_maker_chooses_background_clear_and_what_is_seen_through() -> None:
    read = read_image(letters())
    red = reduce_colours(read, PALETTE, background="red")
    assert red.palette[red.background].id == "red"
    window = reduce_colours(read, PALETTE, becomes={"red": "clear"})
    assert {c.id for c in window.palette} == {"white", "clear"}
    image = Image.new("RGBA", (64, 64), "#c8202c")
    image.paste((0, 0, 0, 0), (16, 16, 48, 48))
    out = BytesIO()
    image.save(out, "PNG")
    seen = reduce_colours(read_image(out.getvalue()), PALETTE, see_through="clear")
    assert seen.palette[seen.labels[32, 32]].id == "clear"
    with pytest.raises(PartWrong, match="mauve is not a colour of this shop; choose white"):
        reduce_colours(read, PALETTE, background="mauve")
    with pytest.raises(PartWrong, match="2 whites; exactly one sugar must be white"):
        reduce_colours(read, [*PALETTE, PaletteColour("milk", "Milk", "#ffffff", "white")])


def test_blends_along_an_edge_are_gone_and_a_thin_line_stays() -> None:
    rgb = np.full((20, 20, 3), 255, np.uint8)
    rgb[:, 10:] = (200, 32, 44)
    rgb[:, 9] = (227, 140, 150)
    assert len(np.unique(sharpened(rgb).reshape(-1, 3), axis=0)) == 2
    line = np.full((20, 20, 3), 255, np.uint8)
    line[:, 8] = (200, 32, 44)
    assert (sharpened(line)[:, 8] == (200, 32, 44)).all()
    labels = np.zeros((20, 20), np.int16)
    labels[:, 8] = 1
    assert (smoothed(labels, 5) == labels).all()


@pytest.mark.parametrize("sigma", [0.0, 4.0, 9.0, 15.0])
def test_noise_is_measured_as_it_was_added(sigma: float) -> None:
    random = np.random.default_rng(1)
    clean = read_image(beehive()).rgb // 2 + 60  # away from black and white, where noise is cut off
    noisy = np.clip(np.rint(clean + random.normal(0, sigma, clean.shape)), 0, 255).astype(np.uint8)
    # The mean of three channels has a noise less by the root of three.
    assert abs(noise_of(noisy) - sigma / np.sqrt(3)) < 0.1 * sigma + 0.2
    assert (denoised(noisy) == noisy).all() == (sigma == 0)


def test_a_camera_s_noise_leaves_no_more_places_than_the_drawing_has() -> None:
    random = np.random.default_rng(2)
    clean = read_image(letters()).rgb
    noisy = np.clip(clean + random.normal(0, 20, clean.shape), 0, 255).astype(np.uint8)
    read = Read(noisy, np.zeros(noisy.shape[:2], bool))
    raster = lay_in(reduce_colours(read, PALETTE), SECTION, 4e-6)
    assert {c.id for c in raster.palette} == {"white", "red"}
    assert flaws_of(raster, SECTION, LIMITS) == ()


def test_the_picture_just_fits_into_the_disc() -> None:
    raster = lay_in(reduce_colours(read_image(beehive()), PALETTE), SECTION, 4e-6)
    assert (raster.labels[~disc(len(raster.labels))] == OUTSIDE).all()
    rows, columns = np.nonzero((raster.labels != raster.background) & (raster.labels >= 0))
    points = [raster.point(float(r), float(c)) for r, c in zip(rows, columns, strict=True)]
    farthest = max(np.hypot(x, y) for x, y in points)
    assert 0.98 * SECTION.picture_radius_m < farthest <= SECTION.picture_radius_m


def test_a_square_fills_of_the_disc_what_a_square_in_a_circle_does() -> None:
    labels = np.zeros((200, 200), np.int16)
    labels[30:130, 60:160] = 1
    raster = lay_in(Reduced(labels, PALETTE[:2], 0), SECTION, 4e-6)
    share = (raster.labels == 1).sum() / (raster.labels != OUTSIDE).sum()
    # A pixel of room is left all round, one in 160 of the radius.
    assert abs(share - 2 / np.pi) < 0.02


def test_nothing_to_draw_and_no_room_are_said() -> None:
    one = Read(np.full((40, 40, 3), 250, np.uint8), np.zeros((40, 40), bool))
    with pytest.raises(NotRead, match="background only; draw something"):
        lay_in(reduce_colours(one, PALETTE), SECTION, 4e-6)
    wide = SECTION.__class__(11, 0.02, 0.014, 0.006, 0.008, SECTION.densities)
    with pytest.raises(TooLarge, match="Casing and band is 14 mm; at most 10 mm"):
        lay_in(reduce_colours(read_image(letters()), PALETTE), wide, 4e-6)


@pytest.mark.parametrize("name", ALL)
def test_the_same_picture_gives_the_same_raster(name: str) -> None:
    once, again = (
        lay_in(reduce_colours(read_image(ALL[name]()), PALETTE), SECTION, 4e-6) for _ in range(2)
    )
    assert (once.labels == again.labels).all()


@given(st.integers(0, 2**32 - 1))
def test_a_mirrored_image_has_the_same_colours_in_the_same_shares(seed: int) -> None:
    random = np.random.default_rng(seed)
    blocks = random.integers(0, len(PALETTE), (6, 6)).repeat(8, 0).repeat(8, 1)
    shop = np.array([[int(c.hex[i : i + 2], 16) for i in (1, 3, 5)] for c in PALETTE], np.uint8)
    read = Read(shop[blocks], np.zeros(blocks.shape, bool))
    other = Read(shop[blocks[:, ::-1]], np.zeros(blocks.shape, bool))
    one, two = (reduce_colours(r, PALETTE, background="white") for r in (read, other))
    assert one.palette == two.palette
    assert (one.labels == two.labels[:, ::-1]).all()


def test_holes_are_neither_made_nor_lost() -> None:
    raster = lay_in(reduce_colours(read_image(ALL["symmetric"]()), PALETTE), SECTION, 4e-6)
    green = [c.id for c in raster.palette].index("green")
    assert euler_number(raster.labels == green, connectivity=1) == -1  # one thing with two holes


def test_reduced_is_what_lay_in_takes() -> None:
    plain = Reduced(np.eye(32, dtype=np.int16), PALETTE[:2], 0)
    assert lay_in(plain, SECTION, 0.0).palette == PALETTE[:2]
