"""The picture as parts: areas at log scale, shapes good enough to draw, what holds them together.

Coordinates are micrometres from the middle, x to the right and y up, seen from the reading end.
Seen from the other end the same prism is its mirror image: x turns its sign.
"""

import math
import re
from dataclasses import dataclass
from typing import Any

from shop.plan.errors import OrderWrong

Shape = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Part:
    """One part of the section.

    `area_um2` at log scale; `portion` is the sugar it is cut from; `block` the step it is laid
    up in; `narrowest_um` its thinnest place; `copies` how many are laid.
    """

    id: str
    name: str
    portion: str
    block: str
    area_um2: int
    narrowest_um: int
    copies: int
    shapes: tuple[Shape, ...]


@dataclass(frozen=True, slots=True)
class Block:
    """Five to seven of these are laid up and ticked, not every part."""

    id: str
    name: str
    say: str
    cue: str


@dataclass(frozen=True, slots=True)
class Picture:
    """A section to build: its parts, what the reading end looks like, whether it has a mirror."""

    title: str
    diameter_um: int
    parts: tuple[Part, ...]
    mirror_symmetric: bool
    reading_end: str
    blocks: tuple[Block, ...]

    def area(self, portion: str) -> int:
        """Area of everything cut from one portion [um²]."""
        return sum(part.area_um2 for part in self.parts if part.portion == portion)

    @property
    def total(self) -> int:
        """Area of the whole section [um²]."""
        return sum(part.area_um2 for part in self.parts)


def circle(x: int, y: int, r: int) -> Shape:
    """A round."""
    return {"kind": "circle", "x": x, "y": y, "r": r}


def polygon(*points: tuple[int, int]) -> Shape:
    """A prism with straight sides."""
    return {"kind": "polygon", "points": [list(point) for point in points]}


def mirrored(shape: Shape) -> Shape:
    """The same shape seen from the other end."""
    if shape["kind"] == "circle":
        return {**shape, "x": -shape["x"]}
    return {**shape, "points": [[-x, y] for x, y in shape["points"]]}


def circle_area(diameter_um: int) -> float:
    """π d²/4 [um²]."""
    return math.pi * diameter_um * diameter_um / 4


TREATMENTS = ("clear", "light", "white")


@dataclass(frozen=True, slots=True)
class Sugar:
    """One sort of sugar in the picture: its swatch, and whether it is pulled.

    `treatment`: `clear` (unpulled), `light` (a few pulls) or `white` (what the rest becomes).
    `dye_mg_per_kg`: pure dye in this portion; 0 where it has none.
    `stocked`: repair stock of it is kept until the casing is on.
    """

    id: str
    name: str
    swatch: str
    treatment: str
    stocked: bool = False
    dye_mg_per_kg: int = 0


def parse_parts(text: str) -> tuple[tuple[Part, ...], tuple[Block, ...], tuple[Sugar, ...]]:
    """Parts typed as data, one a line: `part; sugar; treatment; #swatch; mm²; mm; block`.

    Raises OrderWrong, naming the line and what it wants.
    """
    rows = [_row(n, line) for n, line in enumerate(text.splitlines(), 1) if line.strip()]
    parts = tuple(
        Part(
            _key(r[0]),
            r[0],
            _key(r[1]),
            _key(r[6]),
            round(float(r[4]) * 1e6),
            round(float(r[5]) * 1000),
            1,
            (),
        )
        for r in rows
    )
    sugars = tuple(
        {_key(r[1]): Sugar(_key(r[1]), r[1], r[3], r[2], r[2] == "light") for r in rows}.values()
    )
    blocks = {_key(r[6]): r[6] for r in rows if _key(r[6]) not in ("band", "jacket")}
    if sum(sugar.treatment == "white" for sugar in sugars) != 1:
        raise OrderWrong("the parts", f"{len(rows)} lines", "exactly one sugar must be white")
    return parts, tuple(Block(k, name, f"Lay up: {name}", "") for k, name in blocks.items()), sugars


def _key(name: str) -> str:
    return "".join(c if c.isalnum() else "-" for c in name.strip().lower())[:24] or "part"


def _row(n: int, line: str) -> list[str]:
    cells = [cell.strip() for cell in line.split(";")]
    wanted = "part; sugar; clear, light or white; #swatch; mm²; narrowest mm; block"
    if len(cells) != 7 or cells[2] not in TREATMENTS or not re.fullmatch("#[0-9a-f]{6}", cells[3]):
        raise OrderWrong(f"line {n}", repr(line[:60]), f"it must be: {wanted}")
    for cell in cells[4:6]:
        if not re.fullmatch(r"\d{1,6}(\.\d{1,3})?", cell) or not float(cell):
            raise OrderWrong(f"line {n}", repr(cell[:20]), "areas and widths are numbers over 0")
    return cells
