"""What rests on what and what touches what, read from a section where every part has its number.

A section is an array of part numbers, rows from the top down, 0 outside the log. Seen from either
end the answer is the same: a prism lies on the same prism all along.
"""

from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import binary_fill_holes, distance_transform_edt, find_objects

Sections = NDArray[np.integer]
Pairs = NDArray[np.int64]
# A face carries what lies on it until it is steeper than about 75°: then it only touches.
CARRIES = 0.2
# A pair in which each lies on the other, the shorter time by at least so much, hooks together.
HOOKS = 0.25
# Shorter contacts are corners [mm].
LEAST_MM = 1.0


@dataclass(frozen=True, slots=True)
class Resting:
    """Who lies on whom, by part number.

    rests_on: part → parts that must lie before it; touches: part → all it is joined to;
    locked: pairs that hook into each other, so that one can't simply be laid on the other;
    stack_mm: how thick a part is together with all it rests on [mm].
    """

    rests_on: dict[int, frozenset[int]]
    touches: dict[int, frozenset[int]]
    locked: tuple[tuple[int, int], ...]
    stack_mm: dict[int, float]


def resting(labels: Sections, mm_per_pixel: float, *, upside_down: bool = False) -> Resting:
    """Read supports and contacts from a section of part numbers.

    A part rests on another where it lies above it over at least 1 mm; one that is enclosed lies
    before what encloses it. Where parts carry each other in turn the shortest contact gives way and
    is told in `locked`. `upside_down` builds the picture standing on its head.

    >>> wall = np.array([[3, 3], [1, 2]]).repeat(8, axis=0).repeat(8, axis=1)
    >>> found = resting(wall, 1.0)
    >>> sorted(found.rests_on[3]), sorted(found.touches[1])
    ([1, 2], [2, 3])
    """
    section = np.flipud(labels) if upside_down else labels
    most = int(section.max())
    over = _contacts(section[:-1], section[1:], most)
    beside = _contacts(section[:, :-1], section[:, 1:], most)
    meeting = over + over.T + beside + beside.T
    least = max(1.0, LEAST_MM / mm_per_pixel)
    ids = [int(i) for i in np.unique(section) if i]
    edges, hooked = _edges(section, over, meeting, least, ids)
    rests, turned = _without_rings(edges, ids)
    touches = {
        i: frozenset(j for j in ids if j != i and meeting[i, j] >= least) | rests[i] for i in ids
    }
    locked = tuple(dict.fromkeys([*hooked, *turned]))
    return Resting(rests, touches, locked, _stacks(section, rests, mm_per_pixel))


def _contacts(first: Sections, second: Sections, most: int) -> Pairs:
    """How many cells of part a stand before one of part b, as a table [a, b]."""
    apart = (first != second) & (first > 0) & (second > 0)
    pairs = first[apart].astype(np.int64) * (most + 1) + second[apart]
    return np.bincount(pairs, minlength=(most + 1) ** 2).reshape(most + 1, most + 1)


def _edges(
    section: Sections, over: Pairs, meeting: Pairs, least: float, ids: list[int]
) -> tuple[list[tuple[float, int, int]], list[tuple[int, int]]]:
    """(length, part, what it rests on), the surest first, and pairs that hook into each other.

    Enclosed parts come before all others. Of a hooked pair the smaller is laid into the larger.
    """
    found = [(float("inf"), ring, core) for ring, core in _enclosed(section, ids)]
    held = {frozenset(pair[1:]) for pair in found}
    hooked = []
    sizes = np.bincount(section.ravel())
    for a, b in combinations(ids, 2):
        up, down = float(over[a, b]), float(over[b, a])
        if frozenset((a, b)) in held or max(up, down) < max(least, CARRIES * meeting[a, b]):
            continue
        upper, lower = (a, b) if up > down else (b, a)
        if min(up, down) >= max(least, HOOKS * max(up, down)):
            upper, lower = (a, b) if sizes[a] < sizes[b] else (b, a)
            hooked.append((upper, lower))
        found.append((abs(up - down), upper, lower))
    return sorted(found, key=lambda edge: (-edge[0], edge[1], edge[2])), hooked


def _enclosed(section: Sections, ids: list[int]) -> list[tuple[int, int]]:
    """Pairs (ring, core): the core lies in a hole of the ring."""
    found = []
    boxes = find_objects(section.astype(np.int64))
    for ring in ids:
        box = boxes[ring - 1]
        if box is None:
            continue
        inside = section[box]
        own = inside == ring
        hole = binary_fill_holes(own) & ~own
        for core in (int(i) for i in np.unique(inside[hole]) if i):
            if (section == core).sum() == (inside[hole] == core).sum():
                found.append((ring, core))
    return found


def _without_rings(
    edges: list[tuple[float, int, int]], ids: list[int]
) -> tuple[dict[int, frozenset[int]], list[tuple[int, int]]]:
    """Edges kept one by one while no part comes to rest on itself, and those that gave way."""
    below: dict[int, set[int]] = {i: set() for i in ids}
    locked = []
    for _, part, under in edges:
        if part in _all_below(under, below):
            locked.append((part, under))
        else:
            below[part].add(under)
    return {i: frozenset(found) for i, found in below.items()}, locked


def _all_below(part: int, below: dict[int, set[int]] | dict[int, frozenset[int]]) -> set[int]:
    """A part and everything that carries it."""
    seen, ahead = {part}, [part]
    while ahead:
        fresh = below[ahead.pop()] - seen
        seen |= fresh
        ahead += fresh
    return seen


def _stacks(
    section: Sections, rests: dict[int, frozenset[int]], mm_per_pixel: float
) -> dict[int, float]:
    """How thick each part is with all that carries it: it cools as one piece with them [mm].

    The middle height of the columns under its top, but no more than the thickest place.
    """
    found = {}
    for part in rests:
        whole = np.isin(section, list(_all_below(part, rests)))
        columns = np.flatnonzero((section == part).any(axis=0))
        tops = np.argmax((section == part)[:, columns], axis=0)
        heights = [_run(whole[top:, column]) for top, column in zip(tops, columns, strict=True)]
        thickest = 2 * float(distance_transform_edt(np.pad(whole, 1)).max())
        found[part] = min(float(np.median(heights)), thickest) * mm_per_pixel
    return found


def _run(column: NDArray[np.bool_]) -> int:
    """How many cells are filled in one go from the first on."""
    gaps = np.flatnonzero(~column)
    return int(gaps[0]) if gaps.size else column.size
