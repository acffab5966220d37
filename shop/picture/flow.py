"""Corners round off: each part of a picture shrinks its outline and keeps its area.

Threshold dynamics (Merriman, Bence and Osher 1992; for many phases Esedoglu and Otto, Comm. Pure
Appl. Math. 68 (2015) 808): blur the mask of every part by a Gaussian of σ and let each cell go to
the part that is strongest there. That moves edges by their curvature for a time σ²/2. Areas are
kept by a bias for each part, as in auction dynamics (Jacobs, Merkurjev and Esedoglu 2018).

A model: soft sugar rounds by surface tension like any very thick liquid, but sugar against sugar
has less of it than sugar against air, and how much nobody has measured.
"""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import gaussian_filter, label

from shop.craft.errors import check_range
from shop.craft.glass import log10_viscosity

Floats = NDArray[np.float64]
Cells = NDArray[np.int16]
# Surface tension of strong sugar solution against air [N/m], from memory: 0.076–0.082.
SURFACE_TENSION = 0.08
# A blur under this many cells does not move an edge at all (Ruuth 1998).
LEAST_SIGMA = 2.0
MOST_STEPS = 6
TRIES = 24
# Specks under so many cells are the raster's, not parts: they go to what is round them.
SPECK = 4


def rounding_m(temperature_c: float, tg_c: float, seconds: float) -> float:
    """How far corners round in `seconds` [s, 0–10⁵] at a temperature [°C], at most [m]: γ t/η.

    The only length that surface tension γ, time and viscosity η make; sintering drops and corners
    round at that rate within a factor of about one (Frenkel 1945; Hopper, J. Fluid Mech. 213 (1990)
    349). η by WLF over the glass transition `tg_c` [°C].

    >>> round(rounding_m(75.0, 40.0, 1800.0) * 1000, 1)
    1.6
    """
    check_range("time", seconds, "s", 0, 1e5, "rounding by surface tension")
    viscosity = math.pow(10, log10_viscosity(temperature_c, tg_c))
    return SURFACE_TENSION * seconds / viscosity


def rounded(cells: Cells, length: float, *, keep_areas: bool = True) -> Cells:
    """Cells [−1 outside, else a colour] after corners have rounded to about `length` [cells].

    The time of the flow is length²/2: without `keep_areas` a disc of that radius is just gone,
    r(t)² = r₀² − 2t. With it every connected part keeps its area to
    a hundredth or two.
    `length` 0–200; under 2 cells nothing moves.
    """
    check_range("rounding", length, "cells", 0, 200, "the flow of a raster")
    steps = min(MOST_STEPS, int((length / LEAST_SIGMA) ** 2))
    if not steps:
        return cells.copy()
    parts, colours = connected(cells)
    sigma = length / math.sqrt(steps)
    inside = cells >= 0
    areas = np.bincount(parts[parts >= 0], minlength=len(colours)).astype(float)
    for _ in range(steps):
        parts = _step(parts, areas, inside, sigma, keep_areas=keep_areas)
    return np.where(inside, np.asarray(colours, dtype=np.int16)[parts], -1).astype(np.int16)


def connected(cells: Cells) -> tuple[NDArray[np.intp], list[int]]:
    """Cells by connected part, 0, 1 …, and the colour of each; −1 outside and for specks."""
    parts = np.full(cells.shape, -1, dtype=np.intp)
    colours: list[int] = []
    for colour in (int(c) for c in np.unique(cells) if c >= 0):
        found, count = label(cells == colour)
        sizes = np.bincount(found.ravel(), minlength=count + 1)
        for number in range(1, count + 1):
            if sizes[number] >= SPECK:
                parts[found == number] = len(colours)
                colours.append(colour)
    return parts, colours


def _step(
    parts: NDArray[np.intp],
    areas: Floats,
    inside: NDArray[np.bool_],
    sigma: float,
    *,
    keep_areas: bool,
) -> NDArray[np.intp]:
    """One blur and one choice; the rim has no outside to blur into."""
    weight = np.maximum(gaussian_filter(inside.astype(float), sigma), 1e-9)
    masks = [(parts == n) & inside for n in range(len(areas))]
    strength = np.stack([gaussian_filter(mask.astype(float), sigma) / weight for mask in masks])
    if not keep_areas:
        return np.asarray(strength.argmax(axis=0))
    return _keeping(strength, areas, np.array([_outline(mask) for mask in masks]), inside, sigma)


def _outline(mask: NDArray[np.bool_]) -> float:
    """Length of a part's edge [cells]: its steps, of which a slanting edge has 4/π too many."""
    steps = (mask[1:] != mask[:-1]).sum() + (mask[:, 1:] != mask[:, :-1]).sum()
    return max(1.0, float(steps) * math.pi / 4)


def _keeping(
    strength: Floats, areas: Floats, outlines: Floats, inside: NDArray[np.bool_], sigma: float
) -> NDArray[np.intp]:
    """The choice whose biases give every part the area it had.

    Along an edge the difference of two strengths falls by 2/(σ√2π) a cell, so a bias moves it by a
    known width; a part that overshoots goes on in smaller steps.
    """
    biases, pace = np.zeros(len(areas)), np.full(len(areas), 1.0)
    width = outlines * sigma * math.sqrt(2 * math.pi) / 2
    best, held, least = strength.argmax(axis=0), biases, math.inf
    before = np.zeros(len(areas))
    for _ in range(TRIES):
        chosen = (strength + biases[:, None, None]).argmax(axis=0)
        missing = areas - np.bincount(chosen[inside], minlength=len(areas))
        if (off := float(np.abs(missing).sum())) < least:
            best, held, least = chosen, biases, off
        pace = np.where(missing * before < 0, pace / 2, pace)
        biases, before = biases + pace * missing / width, missing
    return _settled(best, strength + held[:, None, None], areas, inside)


def _settled(
    chosen: NDArray[np.intp], value: Floats, areas: Floats, inside: NDArray[np.bool_]
) -> NDArray[np.intp]:
    """What a part still lacks is taken, where a neighbour with too much gives up least.

    Straight edges flip by whole rows at one bias; this parts a row.
    """
    chosen = chosen.copy()
    over = np.bincount(chosen[inside], minlength=len(areas)) - areas
    for part in np.argsort(over):
        for giver in np.argsort(-over):
            wanted = int(min(-over[part], over[giver]))
            if wanted <= 0:
                continue
            rows, columns = np.nonzero((chosen == giver) & inside & _beside(chosen == part))
            cost = value[giver, rows, columns] - value[part, rows, columns]
            first = np.argsort(cost, kind="stable")[:wanted]
            chosen[rows[first], columns[first]] = part
            over[part] += len(first)
            over[giver] -= len(first)
    return chosen


def _beside(mask: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Cells that share a side with a mask."""
    near = np.zeros_like(mask)
    near[1:] |= mask[:-1]
    near[:-1] |= mask[1:]
    near[:, 1:] |= mask[:, :-1]
    near[:, :-1] |= mask[:, 1:]
    return near
