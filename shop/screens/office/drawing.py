"""The section as a drawing, from the reading end or from the other."""

from dataclasses import dataclass
from typing import Any

from django.utils.safestring import SafeString, mark_safe

from shop.plan.picture import mirrored


def our_svg(text: str) -> SafeString:
    """A drawing that the picture's room made: shapes and colours, and names that it escaped."""
    return mark_safe(text)  # noqa: S308  # nothing in it but what that room wrote


@dataclass(frozen=True, slots=True)
class Drawn:
    """One shape ready for SVG: `points` for a polygon, else a circle [mm, y downwards]."""

    fill: str
    points: str
    x: str
    y: str
    r: str


@dataclass(frozen=True, slots=True)
class Face:
    """One face of the log."""

    title: str
    box: str
    shapes: list[Drawn]


def faces(picture: dict[str, Any]) -> list[Face]:
    """The face at the reading end, and its mirror as a builder on the far side sees it."""
    plain = [_split(shape) for shape in picture["shapes"]]
    return [
        _face("Lead's side: the reading end", picture, plain),
        _face("Mirror side: the other end", picture, [(f, mirrored(s)) for f, s in plain]),
    ]


def _split(shape: dict[str, Any]) -> tuple[str, dict[str, Any]]:
    return shape["swatch"], {k: v for k, v in shape.items() if k not in ("swatch", "part")}


def _face(title: str, picture: dict[str, Any], shapes: list[tuple[str, dict[str, Any]]]) -> Face:
    half = picture["diameter_um"] / 2000 + 2
    box = f"{-half:g} {-half:g} {2 * half:g} {2 * half:g}"
    return Face(title, box, [_drawn(fill, shape) for fill, shape in shapes])


def _drawn(fill: str, shape: dict[str, Any]) -> Drawn:
    if shape["kind"] == "circle":
        x, y, r = (f"{shape[k] * s / 1000:g}" for k, s in (("x", 1), ("y", -1), ("r", 1)))
        return Drawn(fill, "", x, y, r)
    points = " ".join(f"{x / 1000:g},{-y / 1000:g}" for x, y in shape["points"])
    return Drawn(fill, points, "", "", "")
