"""A 512 × 512 picture from its file to parts and motifs; the floor is decoding and one transform.

Each of the five pictures of the tests counts with its usual time; the slowest is the row.
"""

import time
from collections.abc import Callable
from functools import partial
from io import BytesIO

import numpy as np
from PIL import Image
from scipy.ndimage import distance_transform_edt

from shop.picture.colours import reduce_colours
from shop.picture.draw import draw
from shop.picture.reading import read_image
from shop.plan.from_drawing import (
    casing_sugar,
    palette_of,
    section_of,
    shop_of,
    shop_sugars,
)
from shop.plan.numbers import shop_numbers
from tests.bench.rows import Row, percentile
from tests.picture.drawings import ALL

TIMES = 5


def measure_picture() -> list[Row]:
    """Seconds for the slowest picture; budget 2 s."""
    pictures = [make() for make in ALL.values()]
    slowest = max(_seconds(partial(_to_parts, data)) for data in pictures)
    bare = max(_seconds(partial(_bare, data)) for data in pictures)
    return [Row("picture_to_parts_seconds", slowest, "s", bare, budget=2.0)]


def _to_parts(data: bytes) -> None:
    numbers = shop_numbers({})
    section = section_of(numbers, log_mg=11_000_000, rod_um=14_000)
    reduced = reduce_colours(read_image(data), palette_of(shop_sugars()))
    draw(reduced, section, shop_of(numbers, casing_sugar()))


def _bare(data: bytes) -> None:
    """Decode, and one distance transform over the whole: less can't find what is thin."""
    grey = np.asarray(Image.open(BytesIO(data)).convert("L"))
    distance_transform_edt(grey < 128)


def _seconds(work: Callable[[], object]) -> float:
    work()
    times = []
    for _ in range(TIMES):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return round(percentile(times, 0.5) / 1000, 3)
