"""How large something is to an eye at two metres, and what is left of it there.

A phone shrunk to a sixth and held at 33 cm is as large to the eye as the whole one at 2 m. One
CSS pixel is taken as 1/160 inch (0.159 mm), Android's density-independent pixel; on an iPhone of
390 points it is 0.166 mm, so an angle here is the smaller one.
ISO 9241-303 asks at least 16 minutes of arc for capital letters and names 20 to 22 (from memory);
an eye of acuity 1.0 resolves strokes of one minute, letters of five (ISO 8596).
"""

from __future__ import annotations

import io
import math

import numpy as np
from PIL import Image
from playwright.sync_api import Locator

PIXEL_MM, FAR_MM, NEAR_MM, SIXTH = 25.4 / 160, 2000.0, 700.0, 6


def minutes(pixels: float, away_mm: float = FAR_MM) -> int:
    """Angle of so many CSS pixels at `away_mm` [whole minutes of arc]."""
    return round(math.degrees(math.atan(pixels * PIXEL_MM / away_mm)) * 60)


def picture_of(what: Locator) -> Image.Image:
    """As it stands on the screen, one pixel a CSS pixel."""
    image = Image.open(io.BytesIO(what.screenshot())).convert("RGB")
    box = what.bounding_box()
    assert box is not None
    return image.resize((round(box["width"]), round(box["height"])), Image.Resampling.BOX)


def _light(image: Image.Image) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Relative luminance of every pixel (WCAG 2.2, from sRGB)."""
    part = np.asarray(image, dtype=np.float64) / 255
    linear = np.where(part <= 0.04045, part / 12.92, ((part + 0.055) / 1.055) ** 2.4)
    return np.asarray(linear @ np.array([0.2126, 0.7152, 0.0722]))


def _ground(light: np.ndarray[tuple[int, ...], np.dtype[np.float64]]) -> float:
    """The commonest lightness: what the letters stand on."""
    return float(np.median(light))


def heights(what: Locator) -> tuple[int, int]:
    """Capitals and x-height [px] of one line without descenders, from its picture."""
    light = _light(picture_of(what))
    apart = np.abs(light - _ground(light))
    ink = (apart > apart.max() / 2).sum(axis=1)
    rows = _longest_run(np.flatnonzero(ink))
    tall = len(rows)
    low, high = rows[0] + round(tall * 0.15), rows[0] + round(tall * 0.6)
    middle = low + int(np.argmax(np.diff(ink[low : high + 1].astype(int)))) + 1
    return tall, int(rows[-1] - middle + 1)


def _longest_run(rows: np.ndarray[tuple[int, ...], np.dtype[np.intp]]) -> list[int]:
    """Rows that hang together: edges of what stands above or below are left out."""
    runs = np.split(rows, np.flatnonzero(np.diff(rows) > 1) + 1)
    return [int(row) for row in max(runs, key=len)]


def contrast_at_a_sixth(what: Locator) -> float:
    """Contrast (WCAG 2.2) that is left between ink and ground when shrunk to a sixth."""
    whole = picture_of(what)
    small = whole.resize(
        (max(1, whole.width // SIXTH), max(1, whole.height // SIXTH)), Image.Resampling.BOX
    )
    light, ground = _light(small), _ground(_light(whole))
    ink = float(light.flat[np.abs(light - ground).argmax()])
    bright, dark = max(ink, ground), min(ink, ground)
    return (bright + 0.05) / (dark + 0.05)
