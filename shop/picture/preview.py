"""How the cut face will look: the section drawn down, rounded, squeezed, twisted, oval, and seen.

A model of what drawing does, not a forecast of one rod: every amount is the shop's own number with
its scatter, drawn by a seed, so that the same seed shows the same sweet.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np
from scipy.ndimage import map_coordinates

from shop.craft.errors import check_range
from shop.picture.face import Face
from shop.picture.flow import Floats, rounded
from shop.picture.shapes import OUTSIDE

# Two standard deviations in a doubt, as the plan's bands have it.
DOUBTS = 2.0


@dataclass(frozen=True, slots=True)
class Amounts:
    """What drawing did to one rod.

    rounding_mm: at the log. squeeze: share of its area the middle has lost to the skin [1, 0–0.5].
    swirl: turn of the skin against the middle [turns]. oval: widest less narrowest over the mean
    [1, 0–0.5], along `oval_at` [turns]. off_mm: the picture off the middle, x and y at the log.
    bleed_mm: at the rod.
    """

    rounding_mm: float
    squeeze: float
    swirl: float
    oval: float
    oval_at: float
    off_mm: tuple[float, float]
    bleed_mm: float


def usual(numbers: Mapping[str, int]) -> Amounts:
    """The middle of the shop's scatter: no oval, no swirl, in the middle."""
    return Amounts(
        rounding_mm=numbers["rounding"] / 1000,
        squeeze=numbers["squeeze"] / 1e6,
        swirl=numbers["swirl"] / 1e6,
        oval=0.0,
        oval_at=0.0,
        off_mm=(numbers["wander"] / 1000, 0.0),
        bleed_mm=numbers["bleed"] / 1000,
    )


def drawn_amounts(numbers: Mapping[str, int], doubts: Mapping[str, int], seed: int) -> Amounts:
    """One rod out of the shop's scatter; `doubts`: ± two standard deviations by number.

    Ovals up to `oval_limit` are as usual as rounder rods: evenly from none to that.
    """
    chance = np.random.default_rng(seed)

    def scattered(key: str) -> float:
        return float(chance.normal(numbers[key], doubts[key] / DOUBTS))

    way = chance.uniform(0, 2 * math.pi)
    off = abs(scattered("wander")) / 1000
    return Amounts(
        rounding_mm=max(0.0, scattered("rounding")) / 1000,
        squeeze=float(np.clip(scattered("squeeze") / 1e6, 0, 0.5)),
        swirl=scattered("swirl") / 1e6,
        oval=float(chance.uniform(0, numbers["oval_limit"] / 1e6)),
        oval_at=float(chance.uniform(0, 0.5)),
        off_mm=(off * math.cos(way), off * math.sin(way)),
        bleed_mm=numbers["bleed"] / 1000,
    )


def drawn_down(face: Face, amounts: Amounts, log_diameter_m: float) -> Face:
    """A face after drawing: corners rounded, then every cell carried where the flow takes it.

    Places are in log radii, x to the right and y up; the maps go back from where a cell comes to.
    """
    check_range("squeeze", amounts.squeeze, "1", 0, 0.5, "the squeeze of a section")
    check_range("oval", amounts.oval, "1", 0, 0.5, "an oval rod")
    cell_mm = log_diameter_m * 1000 / face.across
    cells = rounded(face.cells, amounts.rounding_mm / cell_mm)
    middle, radius = len(cells) / 2 - 0.5, face.across / 2
    away = (np.arange(len(cells)) - middle) / radius
    x, y = np.meshgrid(away, -away)
    x, y = _without_oval(x, y, amounts)
    x, y = _without_swirl(x, y, amounts.swirl)
    x, y = _without_drift(x, y, amounts.off_mm, log_diameter_m * 500)
    x, y = _without_squeeze(x, y, amounts.squeeze)
    places = [middle - y * radius, middle + x * radius]
    moved = map_coordinates(cells, places, order=0, mode="constant", cval=OUTSIDE)
    return replace(face, cells=moved.astype(np.int16))


def _without_oval(x: Floats, y: Floats, amounts: Amounts) -> tuple[Floats, Floats]:
    """Where a cell of the oval lay in the round: wider one way, narrower the other, same area."""
    turn, wide = 2 * math.pi * amounts.oval_at, 1 + amounts.oval / 2
    cos, sin = math.cos(turn), math.sin(turn)
    along, across = (x * cos + y * sin) / wide, (y * cos - x * sin) * wide
    return along * cos - across * sin, along * sin + across * cos


def _without_swirl(x: Floats, y: Floats, turns: float) -> tuple[Floats, Floats]:
    """Skin turned by `turns` against the middle, growing with the square of the radius."""
    back = -2 * math.pi * turns * np.minimum(x * x + y * y, 1.0)
    return x * np.cos(back) - y * np.sin(back), x * np.sin(back) + y * np.cos(back)


def _without_drift(
    x: Floats, y: Floats, off_mm: tuple[float, float], radius_mm: float
) -> tuple[Floats, Floats]:
    """Picture off the middle; the rim stays. A flow without sources: areas stay to first order.

    Velocity of the stream function (off × r)(1 − r²)² in log radii.
    """
    dx, dy = off_mm[0] / radius_mm, off_mm[1] / radius_mm
    room = np.clip(1 - x * x - y * y, 0, None)
    stream = dx * y - dy * x
    vx = dx * room**2 - 4 * y * room * stream
    vy = dy * room**2 + 4 * x * room * stream
    return x - vx, y - vy


def _without_squeeze(x: Floats, y: Floats, share: float) -> tuple[Floats, Floats]:
    """A soft middle runs ahead and thins: r'² = r²(1 − q) + q r⁴; here back from r' to r."""
    if not share:
        return x, y
    after = x * x + y * y
    before = (np.sqrt((1 - share) ** 2 + 4 * share * after) - (1 - share)) / (2 * share)
    scale = np.sqrt(np.divide(before, after, out=np.ones_like(after), where=after > 1e-12))
    inside = after <= 1
    return np.where(inside, x * scale, x), np.where(inside, y * scale, y)
