"""A polygon cut into pieces that hands can make: nearly convex, few, none needlessly thin.

Approximate convex decomposition (Lien and Amato, Computational Geometry 35, 2006): a piece with
a notch deeper than `slack` is cut through it, along a side, level or upright, whichever leaves
least to cut; then pieces that go together are joined again (Hertel and Mehlhorn, 1983, as a
greedy rule). What is cut is only divided: the pieces cover the polygon once each.
"""

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LinearRing, LineString, Point, Polygon

Vector = tuple[float, float]
# A cut is drawn so much past what it meets [m], or rounding leaves it short of the far side.
PAST = 1e-7
MOST_PIECES = 60
# Sides shorter than this [m] belong to a curve and are no guide for a cut.
LONG_M = 0.004
# What a slanted cut counts more than a level or upright one; 0.5 is a piece left to cut.
SLANTED = 0.15
LEVEL, UPRIGHT = (1.0, 0.0), (0.0, 1.0)


@dataclass(frozen=True, slots=True)
class Hands:
    """How pieces may be: thinnest [m], deepest notch [m], and least share of their hull [1]."""

    thin_m: float
    slack_m: float
    least_full: float


def cut_up(polygon: Polygon, hands: Hands) -> list[Polygon]:
    """The pieces of a polygon, from the largest down. A ring round a core stays one piece.

    Cut twice, once with level and upright cuts preferred; slanted ones must save two pieces.
    """
    if is_one_piece(polygon, hands):
        return [polygon]
    plain, any_way = (_cut_once(polygon, hands, slanted) for slanted in (SLANTED, 0.0))
    return any_way if len(any_way) < len(plain) - 1 else plain


def _cut_once(polygon: Polygon, hands: Hands, slanted: float) -> list[Polygon]:
    done: list[Polygon] = []
    waiting = [polygon]
    while waiting:
        piece = waiting.pop()
        if is_one_piece(piece, hands) or len(done) + len(waiting) >= MOST_PIECES:
            done.append(piece)
            continue
        parted = _best(piece, _cuts(piece), hands, slanted)
        waiting += parted
        done += [] if parted else [piece]
    return sorted(_joined(done, hands), key=lambda p: -p.area)


def is_one_piece(piece: Polygon, hands: Hands) -> bool:
    """Whether hands can make it in one: full enough, without a deep notch, or a ring."""
    filled = Polygon(piece.exterior)
    if not _is_full(filled, hands):
        return False
    return not piece.interiors or is_ring(piece, hands)


def _is_full(piece: Polygon, hands: Hands) -> bool:
    hull = piece.convex_hull
    missing = hull.area - piece.area
    if missing > max((1 - hands.least_full) * hull.area, 1.5 * hands.thin_m**2):
        return False
    corners = shapely.points(shapely.get_coordinates(piece.exterior))
    return float(shapely.distance(corners, hull.exterior).max()) <= hands.slack_m


def is_ring(piece: Polygon, hands: Hands) -> bool:
    """A sheet wrapped round one core: nowhere thin, hardly thicker here than there."""
    if len(piece.interiors) != 1:
        return False
    core = Polygon(piece.interiors[0])
    if not _is_full(core, hands):
        return False
    corners = shapely.points(shapely.get_coordinates(shapely.segmentize(core.exterior, 0.002)))
    across = shapely.distance(corners, piece.exterior)
    return bool(across.min() >= 0.5 * across.max() and across.max() <= 2 * _radius(core))


def _radius(piece: Polygon) -> float:
    return math.sqrt(piece.area / math.pi)


def _cuts(piece: Polygon) -> Iterator[Any]:
    """Lines worth trying: from the deepest notch, or along the sides of a hole."""
    if piece.interiors:
        hole = max(piece.interiors, key=lambda ring: Polygon(ring).area)
        yield from _tangents(piece, hole)
        return
    ring = shapely.get_coordinates(piece.exterior)[:-1]
    if not piece.exterior.is_ccw:
        ring = ring[::-1]
    hull = piece.convex_hull.exterior
    depth = shapely.distance(shapely.points(ring), hull)
    before, after = np.roll(ring, 1, axis=0), np.roll(ring, -1, axis=0)
    came, goes = ring - before, after - ring
    turn = came[:, 0] * goes[:, 1] - came[:, 1] * goes[:, 0]
    notches = np.flatnonzero((turn < 0) & (depth > depth.max() / 2))
    for i in notches[np.argsort(-depth[notches], kind="stable")][:6]:
        sides = ring[i] - before[i], ring[i] - after[i]
        ways = [_unit(side) for side in sides if np.hypot(*side) >= LONG_M]
        ways += [LEVEL, UPRIGHT, (-1.0, 0.0), (0.0, -1.0)]
        for way in ways:
            yield from _from(piece, ring[i], way)
        for j in notches:
            if i < j:
                yield LineString([ring[i], ring[j]])


def _tangents(piece: Polygon, hole: LinearRing) -> Iterator[Any]:
    """Chords level and upright that touch a hole at its ends, or follow one of its sides."""
    ring = shapely.get_coordinates(hole)[:-1]
    for axis, way in ((1, LEVEL), (0, UPRIGHT)):
        for at in (ring[:, axis].argmin(), ring[:, axis].argmax()):
            yield _chord(piece, hole, ring[at], way)
    sides = np.roll(ring, -1, axis=0) - ring
    lengths = np.hypot(*sides.T)
    for i in np.flatnonzero(lengths >= LONG_M):
        yield _chord(piece, hole, ring[i], _unit(sides[i]))


def _unit(vector: NDArray[np.float64]) -> Vector:
    length = float(np.hypot(*vector)) or 1.0
    return float(vector[0]) / length, float(vector[1]) / length


def _from(piece: Polygon, start: NDArray[np.float64], way: Vector) -> Iterator[LineString]:
    """From a corner through the piece to the first side it meets; nothing where it leads out."""
    x, y = start
    ahead = Point(x + way[0] * 1e-5, y + way[1] * 1e-5)
    if not piece.contains(ahead):
        return
    ray = LineString([(x, y), (x + way[0], y + way[1])])
    far = _first_met(piece, ray, Point(x, y))
    if far is not None:
        yield LineString([(x, y), (x + way[0] * (far + PAST), y + way[1] * (far + PAST))])


def _first_met(piece: Polygon, ray: LineString, start: Point) -> float | None:
    met = shapely.intersection(ray, piece.boundary)
    points = shapely.points(shapely.get_coordinates(met))
    far = shapely.distance(points, start) if len(points) else np.array([])
    far = far[far > 1e-5]
    return float(far.min()) if len(far) else None


def _chord(piece: Polygon, hole: LinearRing, at: NDArray[np.float64], way: Vector) -> Any:
    """What of a line through the piece touches the hole: from side to side, past both."""
    far = np.multiply(way, 10.0)
    inside = shapely.get_parts(shapely.intersection(piece, LineString([at - far, at + far])))
    touching = [
        _longer(part)
        for part in inside
        if part.geom_type == "LineString" and part.length > 1e-5 and part.distance(hole) < 1e-6
    ]
    return shapely.union_all(touching)


def _longer(line: LineString) -> LineString:
    ends = shapely.get_coordinates(line)[[0, -1]]
    past = np.multiply(_unit(ends[1] - ends[0]), PAST)
    return LineString([ends[0] - past, ends[1] + past])


def _best(piece: Polygon, cuts: Iterable[Any], hands: Hands, slanted: float) -> list[Polygon]:
    """The pieces of the cut that leaves least to cut, is short, and makes nothing thin."""
    best: tuple[float, list[Polygon]] = (math.inf, [])
    size = math.sqrt(piece.area)
    for cut in cuts:
        pieces = pieces_of(piece, cut)
        if len(pieces) < 2 and len(piece.interiors) == sum(len(p.interiors) for p in pieces):
            continue
        faults = [_fault(p, hands) for p in pieces]
        score = 0.1 * cut.length / size + sum(faults) / piece.area + 0.1 * len(pieces)
        score += 0.5 * sum(fault > 0 for fault in faults) + slanted * _slants(cut)
        if score < best[0] - 1e-9:
            score += 0.4 * sum(_is_thin(p, hands.thin_m) for p in pieces)
        if score < best[0] - 1e-9:
            best = score, pieces
    return best[1]


def _slants(cut: Any) -> bool:
    """Whether a cut is neither level nor upright: such are harder to lay against."""
    left, low, right, high = cut.bounds
    return bool(min(right - left, high - low) > 0.02 * max(right - left, high - low))


def pieces_of(piece: Polygon, cut: Any) -> list[Polygon]:
    """The polygons that lines divide a polygon into; the polygon itself if they don't."""
    lines = shapely.get_parts(shapely.union(piece.boundary, cut))
    faces = shapely.get_parts(shapely.polygonize(lines))
    shapely.prepare(piece)
    within = shapely.contains(piece, shapely.point_on_surface(faces))
    found = [face for face in faces[within] if face.area > 1e-12]
    return found if abs(sum(p.area for p in found) - piece.area) < 1e-12 else [piece]


def _fault(piece: Polygon, hands: Hands) -> float:
    """How far a piece is from its hull [m²]; nothing where it can be made in one."""
    if is_one_piece(piece, hands):
        return 0.0
    return float(piece.convex_hull.area - piece.area)


def _is_thin(piece: Polygon, least_m: float) -> bool:
    return bool(piece.buffer(-least_m * 0.48, quad_segs=2).is_empty)


def _joined(pieces: Sequence[Polygon], hands: Hands) -> list[Polygon]:
    """Pieces put together again: what makes one piece, then thin ones into a neighbour."""
    found = list(pieces)
    while pair := _pair(found, hands):
        one, other, whole = pair
        found = [p for i, p in enumerate(found) if i not in (one, other)] + [whole]
    return found


def _pair(pieces: Sequence[Polygon], hands: Hands) -> tuple[int, int, Polygon] | None:
    """The two pieces that go together best, if any."""
    best: tuple[float, int, int, Polygon] | None = None
    for i, j in itertools.combinations(range(len(pieces)), 2):
        if not pieces[i].intersects(pieces[j]):
            continue
        whole = shapely.union(pieces[i], pieces[j], grid_size=0)
        if whole.geom_type != "Polygon":
            continue
        thin = _is_thin(pieces[i], hands.thin_m) or _is_thin(pieces[j], hands.thin_m)
        if not thin and not is_one_piece(whole, hands):
            continue
        score = whole.area / whole.convex_hull.area - (0.0 if is_one_piece(whole, hands) else 1.0)
        if best is None or score > best[0] + 1e-9:
            best = score, i, j, whole
    return best[1:] if best else None
