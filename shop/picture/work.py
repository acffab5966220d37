"""The parts of a section as work for hands: what is cut, laid and drawn, and what it rests on."""

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from skimage.draw import polygon as cells_of

from shop.picture.rests import Resting, Sections, resting
from shop.picture.shapes import Motif, PicturePart, Section

MM_PER_CELL = 0.5
# Squares first, wedges next, rounds last (an encyclopaedia's account of lettered sticks).
RANK = {"half-round": 2, "round": 2, "copy": 2, "wedge": 1}


@dataclass(frozen=True, slots=True)
class Work:
    """One thing to do: a part to cut and lay, a block to draw, or a drawn copy to lay.

    kind: the part's own, or `drawing`, or `copy`. cut_s, lay_s: seconds of one hand. thick_um: the
    thinnest place while it waits; stack_um: together with all it lies on [um]. rests_on: works
    laid before it; touches: works it is joined to; drawn_by: the drawing a copy comes from.
    area_um2 at log scale, 0 for a drawing.
    """

    id: str
    name: str
    portion: str
    kind: str
    cut_s: int
    lay_s: int
    thick_um: int
    stack_um: int
    area_um2: int
    rests_on: frozenset[str] = frozenset()
    touches: frozenset[str] = frozenset()
    drawn_by: str = ""

    @property
    def rank(self) -> int:
        """0 square, 1 wedge, 2 round."""
        return RANK.get(self.kind, 0)


@dataclass(frozen=True, slots=True)
class Job:
    """All works of one log; `wraps` names what closes it, `locked` the works that hook together."""

    works: tuple[Work, ...]
    wraps: tuple[str, ...] = ()
    locked: tuple[tuple[str, str], ...] = ()


def section_cells(parts: Sequence[PicturePart], section: Section) -> Sections:
    """Part numbers, 1 for the first, on a grid of half a millimetre; rows from the top down."""
    size = math.ceil(section.log_diameter_m * 1000 / MM_PER_CELL) + 2
    cells = np.zeros((size, size), dtype=np.int64)
    for number, part in enumerate(parts, 1):
        own = _inside(part.polygon, size)
        for ring in part.holes:
            own &= ~_inside(ring, size)
        cells[own] = number
    return cells


def _inside(ring: Iterable[tuple[float, float]], size: int) -> NDArray[np.bool_]:
    """Whether the middle of each cell lies in a ring."""
    points = np.asarray(list(ring)) * 1000 / MM_PER_CELL
    found = np.zeros((size, size), dtype=bool)
    found[cells_of(size / 2 - points[:, 1] - 0.5, size / 2 + points[:, 0] - 0.5, (size, size))] = 1
    return found


def job_of(
    parts: Sequence[PicturePart],
    section: Section,
    numbers: Mapping[str, int],
    motifs: Sequence[Motif] = (),
    *,
    upside_down: bool = False,
) -> Job:
    """The works of a section: each part once, and what is made once and cut several times.

    A motif's parts are cut and laid at `scale` times the size, drawn, and its copies laid each in
    one go. Band and casing are not among the works: they close the log. `numbers`: the shop's own,
    `part_time`, `cut_share` and `drawing_time` among them.
    """
    inner = [part for part in parts if not _goes_round(part, section)]
    cells = section_cells(parts, section)
    units = _units(inner, motifs)
    names = list(dict.fromkeys(units.values()))
    placed = _renumbered(cells, [names.index(units[p.id]) + 1 if p in inner else 0 for p in parts])
    laid = resting(placed, MM_PER_CELL, upside_down=upside_down)
    works = _joined([_unit(name, inner, units, motifs, numbers) for name in names], laid)
    for motif in motifs:
        works += _made_once(motif, parts, cells, numbers)
    wraps = tuple(part.name for part in parts if part not in inner)
    return Job(tuple(works), wraps, tuple((names[a - 1], names[b - 1]) for a, b in laid.locked))


def _renumbered(cells: Sections, numbers: Sequence[int]) -> Sections:
    """Cells of part 1, 2 … under other numbers; 0 takes a part away."""
    return np.asarray(np.array([0, *numbers])[cells])


def _goes_round(part: PicturePart, section: Section) -> bool:
    """Whether a part is casing or band: a ring that reaches out of the picture on all sides."""
    reach = min(max(abs(point[axis]) for point in part.polygon) for axis in (0, 1))
    return bool(part.holes) and reach > section.picture_radius_m * 1.001


def _units(parts: Sequence[PicturePart], motifs: Sequence[Motif]) -> dict[str, str]:
    """Part → what is laid in one go: itself, or `motif-n`, the n-th copy of what is made once."""
    found = {part.id: part.id for part in parts}
    for motif in motifs:
        found |= dict.fromkeys(motif.parts, f"{motif.id}-1")
        copies = [p for p in parts if p.made_from and p.made_from.part in motif.parts]
        things = list(dict.fromkeys(p.cluster or p.id for p in copies))
        found |= {p.id: f"{motif.id}-{2 + things.index(p.cluster or p.id)}" for p in copies}
    return found


def _unit(
    name: str,
    parts: Sequence[PicturePart],
    units: Mapping[str, str],
    motifs: Sequence[Motif],
    numbers: Mapping[str, int],
) -> Work:
    """A part by itself, or the n-th piece of a drawn block, as thick as a round of its area."""
    own = [part for part in parts if units[part.id] == name]
    by = next((motif.id for motif in motifs if name.startswith(f"{motif.id}-")), "")
    if not by or own[0].id == name:
        return _part(own[0], numbers)
    area = sum(part.area_m2 for part in own)
    thick, area_um2 = round(2e6 * math.sqrt(area / math.pi)), round(area * 1e12)
    portion = max(own, key=lambda part: part.area_m2).portion
    said, lay = own[0].cluster or own[0].name, _part(own[0], numbers).lay_s
    return Work(
        name, said, portion, "copy", 0, lay, thick, thick, area_um2, drawn_by=f"{by}-drawing"
    )


def _part(part: PicturePart, numbers: Mapping[str, int], scale: float = 1.0) -> Work:
    whole = round(numbers["part_time"] / 1000)
    cut = round(whole * numbers["cut_share"] / 1e6)
    thick, area = round(part.narrowest_m * scale * 1e6), round(part.area_m2 * 1e12)
    given = (part.id, part.name, part.portion, part.kind)
    return Work(*given, cut, whole - cut, thick, thick, area)


def _joined(works: Sequence[Work], laid: Resting, scale: float = 1.0) -> list[Work]:
    """Works 1, 2 … with what they rest on, touch and stand on; too small for a cell: on nothing."""
    return [
        replace(
            work,
            rests_on=frozenset(works[n - 1].id for n in laid.rests_on[number]),
            touches=frozenset(works[n - 1].id for n in laid.touches[number]),
            stack_um=max(work.thick_um, round(laid.stack_mm[number] * scale * 1000)),
        )
        if number in laid.rests_on
        else work
        for number, work in enumerate(works, 1)
    ]


def _made_once(
    motif: Motif, parts: Sequence[PicturePart], cells: Sections, numbers: Mapping[str, int]
) -> list[Work]:
    """A motif's parts at `scale` times the size, and the drawing that follows them."""
    masters = [part for part in parts if part.id in motif.parts]
    places = [masters.index(part) + 1 if part in masters else 0 for part in parts]
    laid = resting(_renumbered(cells, places), MM_PER_CELL)
    bare = [_part(part, numbers, motif.scale) for part in masters]
    drawing, seconds = f"{motif.id}-drawing", round(numbers["drawing_time"] / 1000)
    built = [
        replace(work, touches=work.touches | {drawing}) for work in _joined(bare, laid, motif.scale)
    ]
    name, thick = f"Draw and cut in {motif.copies}", max(work.stack_um for work in built)
    ids = frozenset(work.id for work in built)
    given = (drawing, name, built[0].portion, "drawing", 0, seconds, thick, thick, 0, ids)
    return [*built, Work(*given)]
