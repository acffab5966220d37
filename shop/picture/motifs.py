"""Things that stand several times in the picture: built once, drawn down, cut, some turned.

A prism turned end for end shows its mirror image; turned in the hand it shows a half turn. So a
thing and its copies may differ by a shift, a flip and a half turn, and all of them come from one
build at k times the size: n L/k² long, drawn to n L, cut in n (`assemble.built_length`).
"""

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np

from shop.craft.assemble import built_length, masses_of
from shop.picture.alike import (
    ALIKE,
    NOTHING,
    TURNS,
    Image,
    Turn,
    likeness,
    sizes_agree,
    trimmed,
    turn_of,
)
from shop.picture.parts import clusters_of
from shop.picture.regions import components, regions_of
from shop.picture.shapes import MadeFrom, Motif, PicturePart, Raster, Section

# The whole picture is its own mirror image where so much of the disc agrees.
SYMMETRIC = 0.97
SCALES = (3.0, 2.5, 2.0, 1.5)


@dataclass(frozen=True, slots=True)
class Bench:
    """What building once for several rests on; the shop's own numbers.

    part_s: laying up one part [s]; drawing_s: drawing a block out and cutting it [s]; shortest_m:
    the shortest block worth drawing out [m].
    """

    part_s: float
    drawing_s: float
    shortest_m: float


def is_mirror_symmetric(raster: Raster) -> bool:
    """Whether the picture looks the same from the other end.

    A shift of a pixel or two sideways does not count: the axis is found, not assumed.
    """
    inside = np.where(raster.labels == raster.background, NOTHING, raster.labels)
    thing = trimmed(np.where(raster.labels < 0, NOTHING, inside))
    return likeness(thing, thing[:, ::-1]) >= SYMMETRIC


def find_motifs(
    raster: Raster, parts: Sequence[PicturePart], section: Section, bench: Bench
) -> tuple[tuple[PicturePart, ...], tuple[Motif, ...]]:
    """The parts, copies marked with what they are made from, and the motifs.

    Things of the drawing first (all that touches); then single parts of one sugar and shape.
    """
    length = masses_of([(p.area_m2, p.density) for p in parts], section.log_kg).length_m
    groups = [*_alike_things(raster, parts), *_alike_parts(parts)]
    now = {part.id: part for part in parts}
    motifs = []
    for number, (first, copies) in enumerate(_fitting(groups, length, bench), 1):
        scale = _scale(len(copies) + 1, length, bench)
        for ids, turn in copies:
            now |= {
                copy: replace(now[copy], made_from=MadeFrom(one, scale, *turn))
                for one, copy in zip(first, ids, strict=True)
            }
        motifs.append(_motif(f"motif-{number}", first, [t for _, t in copies], length, bench))
    return tuple(now[part.id] for part in parts), tuple(motifs)


Ids = tuple[str, ...]
Group = tuple[Ids, list[tuple[Ids, Turn]]]


def _fitting(groups: Sequence[Group], length_m: float, bench: Bench) -> Iterator[Group]:
    """Groups worth building once, no part in two of them."""
    taken: set[str] = set()
    for first, copies in groups:
        free = [(ids, turn) for ids, turn in copies if not taken & set(ids)]
        if taken & set(first) or not free or not _scale(len(free) + 1, length_m, bench):
            continue
        if _minutes_saved(first, len(free), bench) <= 0:
            continue
        taken |= set(first).union(*(ids for ids, _ in free))
        yield first, free


def _scale(copies: int, length_m: float, bench: Bench) -> float:
    """The largest scale whose block is still long enough to hold; 0 where none is."""
    for scale in SCALES:
        if built_length(copies, length_m, scale) >= bench.shortest_m:
            return scale
    return 0.0


def _motif(name: str, first: Ids, turns: list[Turn], length_m: float, bench: Bench) -> Motif:
    copies = len(turns) + 1
    scale = _scale(copies, length_m, bench)
    return Motif(
        id=name,
        parts=first,
        copies=copies,
        flips=sum(turn.flipped for turn in turns),
        scale=scale,
        build_m=built_length(copies, length_m, scale),
        drawn_m=copies * length_m,
        minutes_saved=_minutes_saved(first, len(turns), bench),
    )


def _minutes_saved(first: Ids, copies: int, bench: Bench) -> float:
    """Parts that need not be laid up again, less the drawing [min of one pair of hands]."""
    return (len(first) * copies * bench.part_s - bench.drawing_s) / 60


def _alike_things(raster: Raster, parts: Sequence[PicturePart]) -> list[Group]:
    """Things of two parts and more whose images agree, largest first, with their parts paired."""
    members: dict[str, list[PicturePart]] = {}
    for part in parts:
        if part.cluster:
            members.setdefault(part.cluster, []).append(part)
    images = _images(raster)
    names = sorted(members, key=lambda n: (-(images[n] != NOTHING).sum(), n))
    groups: list[Group] = []
    used: set[str] = set()
    for i, name in enumerate(names):
        if name in used or len(members[name]) < 2:
            continue
        copies = []
        for other in names[i + 1 :]:
            pair = None if other in used else _paired(images, members, name, other)
            if pair:
                used.add(other)
                copies.append(pair)
        if copies:
            groups.append((tuple(part.id for part in members[name]), copies))
    return groups


def _images(raster: Raster) -> dict[str, Image]:
    """Each thing of the drawing by itself: labels where it is, NOTHING elsewhere, trimmed."""
    ids = components(raster.labels)
    regions = {region.id: region for region in regions_of(raster)}
    things: dict[str, list[int]] = {}
    for number, name in clusters_of(regions).items():
        if name and not regions[number].is_field:
            things.setdefault(name, []).append(number)
    return {
        name: trimmed(np.where(np.isin(ids, numbers), raster.labels, np.int16(NOTHING)))
        for name, numbers in things.items()
    }


def _paired(
    images: dict[str, Image], members: dict[str, list[PicturePart]], one: str, other: str
) -> tuple[Ids, Turn] | None:
    """How the other thing is a copy of the one, and which of its parts is which."""
    if len(members[one]) != len(members[other]):
        return None
    scored = [(likeness(turn.of(images[one]), images[other]), turn) for turn in TURNS]
    best, turn = max(scored, key=lambda pair: (round(pair[0], 3), -TURNS.index(pair[1])))
    if best < ALIKE:
        return None
    order = _match(members[one], members[other], turn)
    return (tuple(part.id for part in order), turn) if order else None


def _match(
    ones: Sequence[PicturePart], others: Sequence[PicturePart], turn: Turn
) -> list[PicturePart]:
    """Each part of the one with the nearest of its sugar in the other; empty where none fits."""
    x0, y0 = _middle(ones)
    x1, y1 = _middle(others)
    across, up = turn.signs
    free, found = list(others), []
    for part in ones:
        wanted = (part.place[0] - x0) * across + x1, (part.place[1] - y0) * up + y1
        near = [p for p in free if sizes_agree(p, part)]
        if not near:
            return []
        found.append(min(near, key=lambda p: (math.dist(p.place, wanted), p.id)))
        free.remove(found[-1])
    return found


def _middle(parts: Sequence[PicturePart]) -> tuple[float, float]:
    whole = sum(part.area_m2 for part in parts)
    x, y = (sum(part.place[i] * part.area_m2 for part in parts) / whole for i in (0, 1))
    return x, y


def _alike_parts(parts: Sequence[PicturePart]) -> list[Group]:
    """Single parts of one sugar and one shape, the largest first."""
    able = [p for p in parts if p.kind not in ("filler", "jacket", "sheet")]
    groups: list[Group] = []
    used: set[str] = set()
    for i, part in enumerate(able):
        copies: list[tuple[Ids, Turn]] = []
        for other in able[i + 1 :]:
            turn = None if {part.id, other.id} & used else turn_of(part, other)
            if turn:
                copies.append(((other.id,), turn))
        if copies:
            used |= {part.id, *(ids[0] for ids, _ in copies)}
            groups.append(((part.id,), copies))
    return groups
