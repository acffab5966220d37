"""The picture as parts: areas at log scale, shapes good enough to draw, what holds them together.

Coordinates are micrometres from the middle, x to the right and y up, seen from the reading end.
Seen from the other end the same prism is its mirror image: x turns its sign.
"""

import math
from dataclasses import dataclass
from typing import Any

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
class Picture:
    """A section to build: its parts, what the reading end looks like, whether it has a mirror."""

    title: str
    diameter_um: int
    parts: tuple[Part, ...]
    mirror_symmetric: bool
    reading_end: str
    blocks: tuple[tuple[str, str], ...]

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
