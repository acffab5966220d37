"""From a raster to parts: prisms that cover the section once each, with fillers as named parts."""

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

import shapely
from shapely import Polygon

from shop.craft.assemble import masses_of
from shop.picture.cutting import Hands, cut_up
from shop.picture.kinds import kind_of, narrowest_of
from shop.picture.outlines import disc_of, outlines_of
from shop.picture.regions import regions_of
from shop.picture.shapes import (
    Kind,
    Limits,
    PaletteColour,
    PicturePart,
    Raster,
    Region,
    Ring,
    Section,
)

# White gives way where it is pressed round the picture; the picture does not. Deepest notch in
# thinnest strips, and least share of the hull; judgement, common practice knows no figure.
PICTURE_SLACK, PICTURE_FULL = 0.5, 0.75
FILLER_SLACK, FILLER_FULL = 1.35, 0.70
# Parts touch where they lie this near [m] along at least so much [m].
NEAR_M, ALONG_M = 2e-5, 5e-4
CASING = "Casing"


class Piece(NamedTuple):
    """A polygon with its colour and what it belongs to, before it has a name."""

    polygon: Polygon
    colour: PaletteColour
    is_field: bool
    cluster: str


def parts_of(
    raster: Raster, section: Section, limits: Limits, casing: PaletteColour
) -> tuple[PicturePart, ...]:
    """The parts of the picture, the fillers, the band of white and the casing, in that order.

    Their polygons cover the section once each. Colours in the order of the palette, each from
    the largest part down. Masses are those of the planned log.
    """
    pieces = _pieces(raster, limits)
    found = [_part(piece, name) for piece, name in zip(pieces, _names(pieces), strict=True)]
    white = next(colour for colour in raster.palette if colour.treatment == "white")
    return settled([*found, *_rounds(section, white, casing)], section)


def _pieces(raster: Raster, limits: Limits) -> list[Piece]:
    """What the regions are cut into: the picture first, then its field."""
    regions = {region.id: region for region in regions_of(raster)}
    clusters = clusters_of(regions)
    picture = Hands(limits.strip_m, PICTURE_SLACK * limits.strip_m, PICTURE_FULL)
    filler = Hands(limits.strip_m, FILLER_SLACK * limits.strip_m, FILLER_FULL)
    found = []
    for number, outline in outlines_of(raster).items():
        region = regions[number]
        for polygon in cut_up(outline, filler if region.is_field else picture):
            colour = raster.palette[region.label]
            found.append(Piece(polygon, colour, region.is_field, clusters[number]))
    order = {colour.id: i for i, colour in enumerate(raster.palette)}
    found.sort(key=lambda p: (p.is_field, order[p.colour.id], -p.polygon.area))
    return found


def clusters_of(regions: Mapping[int, Region]) -> dict[int, str]:
    """Regions that touch are one thing in the drawing, `a`, `b` …; a hole belongs to its thing.

    The field that reaches several things, or the edge, belongs to none.
    """
    found: dict[int, str] = {}
    for number, region in regions.items():
        if not region.is_field and number not in found:
            name = _letters(len(set(found.values())))
            found |= dict.fromkeys(_thing(number, regions), name)
    grounds = [region for region in regions.values() if region.is_field]
    outer = max((r.area_m2 for r in grounds), default=0.0)
    for region in grounds:
        around = {found[n] for n in region.neighbours if n in found}
        inside = len(around) == 1 and region.area_m2 < outer
        found[region.id] = around.pop() if inside else ""
    return found


def _letters(number: int) -> str:
    """`a` to `z`, then `a1` and on."""
    return "abcdefghijklmnopqrstuvwxyz"[number % 26] + (str(number // 26) if number > 25 else "")


def _thing(start: int, regions: Mapping[int, Region]) -> set[int]:
    seen, waiting = {start}, [start]
    while waiting:
        for other in regions[waiting.pop()].neighbours:
            if other not in seen and not regions[other].is_field:
                seen.add(other)
                waiting.append(other)
    return seen


def _names(pieces: Sequence[Piece]) -> list[str]:
    """`Red strip 1`, or `Red strip` where there is one only."""
    plain = [f"{piece.colour.name} {_kind(piece)}" for piece in pieces]
    counts: dict[str, int] = {}
    found = []
    for name in plain:
        counts[name] = counts.get(name, 0) + 1
        found.append(f"{name} {counts[name]}" if plain.count(name) > 1 else name)
    return found


def _kind(piece: Piece) -> Kind:
    return "filler" if piece.is_field else kind_of(piece.polygon)


def slug(name: str) -> str:
    """`Red strip 1` as `red-strip-1`."""
    return "-".join("".join(c if c.isalnum() else " " for c in name.lower()).split())


def _part(piece: Piece, name: str) -> PicturePart:
    """A part without density, mass and neighbours: they follow when all parts are there."""
    bare = PicturePart(
        id=slug(name),
        name=name,
        portion=piece.colour.id,
        kind=_kind(piece),
        polygon=(),
        area_m2=0.0,
        narrowest_m=0.0,
        density=0.0,
        mass_kg=0.0,
        treatment=piece.colour.treatment,
        place=(0.0, 0.0),
        cluster=piece.cluster,
    )
    return reshaped(bare, piece.polygon)


def reshaped(part: PicturePart, polygon: Polygon) -> PicturePart:
    """The part with another outline, and the area, narrowest and place that follow from it."""
    turned = shapely.orient_polygons(polygon)
    inside = polygon.centroid if polygon.contains(polygon.centroid) else polygon.point_on_surface()
    return replace(
        part,
        polygon=_ring(turned.exterior),
        holes=tuple(_ring(ring) for ring in turned.interiors),
        area_m2=float(polygon.area),
        narrowest_m=narrowest_of(polygon),
        place=(float(inside.x), float(inside.y)),
    )


def _ring(ring: shapely.LinearRing) -> Ring:
    return tuple((float(x), float(y)) for x, y in ring.coords[:-1])


def polygon_of(part: PicturePart) -> Polygon:
    """A part's outline for shapely."""
    return Polygon(part.polygon, part.holes)


def _rounds(section: Section, white: PaletteColour, casing: PaletteColour) -> list[PicturePart]:
    """The band of white and the casing, each a sheet rolled round what lies within."""
    radii = section.picture_radius_m, section.picture_radius_m + section.band_m
    band = disc_of(radii[1]) - disc_of(radii[0])
    jacket = disc_of(section.log_diameter_m / 2) - disc_of(radii[1])
    kinds: list[tuple[Polygon, PaletteColour, str, Kind, float]] = [
        (band, white, f"{white.name} band", "sheet", section.band_m),
        (jacket, casing, CASING, "jacket", section.jacket_m),
    ]
    return [
        replace(_part(Piece(p, colour, False, ""), name), kind=kind, narrowest_m=thick)
        for p, colour, name, kind, thick in kinds
    ]


def settled(parts: Sequence[PicturePart], section: Section) -> tuple[PicturePart, ...]:
    """Densities, masses [kg] of the planned log and neighbours, worked out anew for all parts."""
    dense = [section.densities[part.treatment] for part in parts]
    pairs = [(part.area_m2, rho) for part, rho in zip(parts, dense, strict=True)]
    laid = masses_of(pairs, section.log_kg)
    beside = neighbours_of(parts)
    return tuple(
        replace(part, density=rho, mass_kg=kg, neighbours=beside[part.id])
        for part, rho, kg in zip(parts, dense, laid.masses_kg, strict=True)
    )


def neighbours_of(parts: Sequence[PicturePart]) -> dict[str, tuple[str, ...]]:
    """Ids of the parts each part lies against along more than a point."""
    shapes = [polygon_of(part) for part in parts]
    tree = shapely.STRtree(shapes)
    found: dict[str, set[str]] = {part.id: set() for part in parts}
    for i, j in zip(*tree.query(shapes, predicate="dwithin", distance=NEAR_M), strict=True):
        if i < j and shapes[i].buffer(NEAR_M).intersection(shapes[j].boundary).length > ALONG_M:
            found[parts[i].id].add(parts[j].id)
            found[parts[j].id].add(parts[i].id)
    return {name: tuple(sorted(ids)) for name, ids in found.items()}
