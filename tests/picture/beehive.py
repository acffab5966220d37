"""The demo's beehive as parts: 25 to lay, of them ten white blocks, and band and casing."""

from dataclasses import replace
from functools import cache

import numpy as np
from shapely import Point, Polygon, box
from shapely.geometry.base import BaseGeometry
from shapely.ops import unary_union

from shop.picture.shapes import (
    OUTSIDE,
    Drawn,
    Kind,
    MadeFrom,
    Motif,
    PaletteColour,
    PicturePart,
    Raster,
    Section,
    Treatment,
)
from shop.picture.work import MM_PER_CELL, section_cells

DENSITIES: dict[Treatment, float] = {"clear": 1450.0, "light": 1300.0, "white": 1250.0}
SECTION = Section(11.0, 0.150, 0.014, 0.006, 0.008, DENSITIES)
TREATMENTS: dict[str, Treatment] = {"yellow": "light", "white": "white"}
SWATCHES = {
    "yellow": "#f2c230",
    "brown": "#4a2811",
    "wings": "#cfe3ec",
    "white": "#fdf8ec",
    "jacket": "#e0982c",
}
PORTIONS = ("white", "yellow", "brown", "wings", "jacket")
PALETTE = tuple(
    PaletteColour(name, name.capitalize(), SWATCHES[name], TREATMENTS.get(name, "clear"))
    for name in PORTIONS[:-1]
)
BEE = ("left-of-bee", "right-of-bee", "stripe", "wing")
# Where the white is parted, mm: left, below, right, above.
BLOCKS = (
    (-70, -70, 70, -40),
    (-70, -40, 0, -20),
    (0, -40, 70, -20),
    (-70, -20, 0, 9),
    (0, -20, 70, 9),
    (-70, 9, 0, 26),
    (0, 9, 70, 26),
    (-70, 26, -20, 70),
    (-20, 26, 20, 70),
    (20, 26, 70, 70),
)


def part(
    name: str, portion: str, kind: Kind, shape: BaseGeometry, cluster: str = ""
) -> PicturePart:
    """A part from a shape in mm."""
    assert isinstance(shape, Polygon), name
    treatment = TREATMENTS.get(portion, "clear")
    rings = [
        tuple((x / 1000, y / 1000) for x, y in ring.coords[:-1])
        for ring in (shape.exterior, *shape.interiors)
    ]
    inside = shape.representative_point()
    return PicturePart(
        id=name.replace(" ", "-"),
        name=name.capitalize(),
        portion=portion,
        kind=kind,
        polygon=rings[0],
        area_m2=shape.area / 1e6,
        narrowest_m=2 * inscribed_mm(shape) / 1000,
        density=DENSITIES[treatment],
        mass_kg=shape.area / 1e6 * DENSITIES[treatment] * 0.48,
        treatment=treatment,
        place=(inside.x / 1000, inside.y / 1000),
        cluster=cluster,
        holes=tuple(rings[1:]),
    )


def inscribed_mm(shape: Polygon) -> float:
    """Radius of the widest round inside [mm]."""
    low, high = 0.0, 80.0
    while high - low > 0.01:
        middle = (low + high) / 2
        low, high = (low, middle) if shape.buffer(-middle).is_empty else (middle, high)
    return low


def bee(side: int, tag: str) -> list[PicturePart]:
    """A bee on the left (−1) or right (1): two half-rounds with a stripe between, and a wing."""
    x = 36 * side
    body = Point(x, 26).buffer(11.3, 32)
    wing = Point(38 * side, 41.2).buffer(4.37, 16).difference(body)
    shapes: list[tuple[str, str, Kind, BaseGeometry]] = [
        ("left of bee", "yellow", "half-round", body & box(x - 12, 0, x - 3, 60)),
        ("right of bee", "yellow", "half-round", body & box(x + 3, 0, x + 12, 60)),
        ("stripe", "brown", "bar", body & box(x - 3, 0, x + 3, 60)),
        ("wing", "wings", "round", wing),
    ]
    return [part(name + tag, sugar, kind, at, f"Bee{tag}") for name, sugar, kind, at in shapes]


@cache
def beehive() -> tuple[PicturePart, ...]:
    """All 27 parts; the second bee is a part of its own, four times."""
    hive = [
        part("layer one left", "yellow", "bar", box(-28, -40, -6, -26), "Hive"),
        part("layer one right", "yellow", "bar", box(6, -40, 28, -26), "Hive"),
        part("door", "brown", "bar", box(-6, -40, 6, -26), "Hive"),
        part("line one", "brown", "strip", box(-22, -26, 22, -20), "Hive"),
        part("layer two", "yellow", "bar", box(-20, -20, 20, -9), "Hive"),
        part("line two", "brown", "strip", box(-13, -9, 13, -3), "Hive"),
        part("layer three", "yellow", "bar", box(-11, -3, 11, 9), "Hive"),
    ]
    drawn = [*hive, *bee(-1, ""), *bee(1, " two")]
    scene = Point(0, 0).buffer(61, 64)
    free = scene.difference(unary_union([in_mm(p) for p in drawn]))
    field = [
        part(f"white {n}", "white", "filler", max(_polygons(free & box(*at)), key=lambda s: s.area))
        for n, at in enumerate(BLOCKS, 1)
    ]
    band = Point(0, 0).buffer(69, 64).difference(scene)
    casing = Point(0, 0).buffer(75, 64).difference(Point(0, 0).buffer(69, 64))
    return (
        *drawn,
        *field,
        part("band", "white", "sheet", band),
        part("casing", "jacket", "jacket", casing),
    )


def in_mm(part: PicturePart) -> Polygon:
    """A part's outline [mm]."""
    return Polygon([(x * 1000, y * 1000) for x, y in part.polygon])


def one_bee() -> tuple[tuple[PicturePart, ...], tuple[Motif, ...]]:
    """The same picture with the second bee cut from the first, built at twice the size."""
    parts = tuple(
        replace(
            p, made_from=MadeFrom(p.id.removesuffix("-two"), 2.0, flipped=True, half_turn=False)
        )
        if p.id.endswith("-two")
        else p
        for p in beehive()
    )
    return parts, (Motif("bee", BEE, 2, 1, 2.0, 0.24, 0.96, 3.0),)


def drawn_beehive(*, once: bool = False) -> Drawn:
    """The beehive as a drawing without a flaw; `once`: the second bee cut from the first."""
    parts, motifs = one_bee() if once else (beehive(), ())
    cells = section_cells(parts, SECTION)
    index = [0, *(PORTIONS.index(part.portion) for part in parts)]
    step = MM_PER_CELL / 1000
    middles = (np.arange(len(cells)) - (len(cells) - 1) / 2) * step
    far = np.hypot(middles[:, None], middles)
    labels = np.array(index)[cells]
    labels[far > SECTION.picture_radius_m] = OUTSIDE
    raster = Raster(labels.astype(np.int16), step, PALETTE, 0)
    return Drawn(raster, SECTION, parts, motifs, mirror_symmetric=True)


def _polygons(shape: BaseGeometry) -> list[Polygon]:
    found = getattr(shape, "geoms", [shape])
    return [each for each in found if isinstance(each, Polygon)]
