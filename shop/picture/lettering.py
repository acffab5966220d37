"""Text as lettering: capitals laid from straight strips, a stroke a fifth of their height.

Our own plain letters: each is a few strokes along straight lines on a grid five strokes high.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely
from shapely import LineString, Polygon

from shop.picture.errors import PartWrong, TooLarge, TooSmallToRead
from shop.picture.shapes import Limits, Section
from shop.sentences import Sentence

HIGH = 5.0
BETWEEN = 1.0
SPACE = 2.0
MM = 1000.0
# Width in strokes, then the middle lines of its strips as `x y` pairs, `;` between strips.
STROKES = {
    "A": (4, ".5 0 .5 3.5 1.5 4.5 2.5 4.5 3.5 3.5 3.5 0;.5 1.9 3.5 1.9"),
    "B": (
        4,
        ".5 .5 .5 4.5 2.5 4.5 3.3 3.9 3.3 3.1 2.5 2.5 .5 2.5;2.5 2.5 3.5 1.9 3.5 1.1 2.7 .5 .5 .5",
    ),
    "C": (4, "4 4.5 1.5 4.5 .5 3.5 .5 1.5 1.5 .5 4 .5"),
    "D": (4, ".5 .5 .5 4.5 2.5 4.5 3.5 3.5 3.5 1.5 2.5 .5 .5 .5"),
    "E": (4, "4 4.5 .5 4.5 .5 .5 4 .5;.5 2.5 3.4 2.5"),
    "F": (4, "4 4.5 .5 4.5 .5 0;.5 2.5 3.4 2.5"),
    "G": (4, "4 4.5 1.5 4.5 .5 3.5 .5 1.5 1.5 .5 3.5 .5 3.5 2.3 2 2.3"),
    "H": (4, ".5 0 .5 5;3.5 0 3.5 5;.5 2.5 3.5 2.5"),
    "I": (1, ".5 0 .5 5"),
    "J": (3, "2.5 5 2.5 1.5 1.5 .5 0 .5"),
    "K": (4, ".5 0 .5 5;3.5 5.2 .8 2.5 3.5 -.2"),
    "L": (3, ".5 5 .5 .5 3 .5"),
    "M": (5, ".5 0 .5 4.4 2.5 2 4.5 4.4 4.5 0"),
    "N": (4, ".5 0 .5 5;3.5 0 3.5 5;.5 4.4 3.5 .6"),
    "O": (4, "2 .5 1.5 .5 .5 1.5 .5 3.5 1.5 4.5 2.5 4.5 3.5 3.5 3.5 1.5 2.5 .5 2 .5"),
    "P": (4, ".5 0 .5 4.5 2.5 4.5 3.5 3.8 3.5 2.7 2.5 2 .5 2"),
    "Q": (4, "2 .5 1.5 .5 .5 1.5 .5 3.5 1.5 4.5 2.5 4.5 3.5 3.5 3.5 1.5 2.5 .5 2 .5;2.3 1.7 4 0"),
    "R": (4, ".5 0 .5 4.5 2.5 4.5 3.5 3.8 3.5 2.7 2.5 2 .5 2;2 2 3.6 -.2"),
    "S": (4, "4 4.5 1.3 4.5 .5 3.9 .5 3.1 1.3 2.5 2.7 2.5 3.5 1.9 3.5 1.1 2.7 .5 0 .5"),
    "T": (4, "0 4.5 4 4.5;2 4.5 2 0"),
    "U": (4, ".5 5 .5 1.5 1.5 .5 2.5 .5 3.5 1.5 3.5 5"),
    "V": (4, ".5 5.2 2 .7 3.5 5.2"),
    "W": (5, ".5 5 .5 .6 2.5 3 4.5 .6 4.5 5"),
    "X": (4, ".4 5.2 3.6 -.2;.4 -.2 3.6 5.2"),
    "Y": (4, ".4 5.2 2 2.4 3.6 5.2;2 2.4 2 0"),
    "Z": (4, "0 4.5 3.3 4.5 .7 .5 4 .5"),
}
# The same from the other end (job of the two faces): symmetric about the upright.
BOTH_WAYS = frozenset("AHIMOTUVWXY")


@dataclass(frozen=True, slots=True, eq=False)
class Letter:
    """One letter where it stands: its outline [m, log scale] for shapely."""

    letter: str
    outline: Polygon


def reads_both_ways(text: str) -> bool:
    """Whether a row of capitals reads the same from either end of the rod.

    >>> reads_both_ways("OTTO"), reads_both_ways("TOM")
    (True, False)
    """
    plain = _capitals(text).replace(" ", "")
    return set(plain) <= BOTH_WAYS and plain == plain[::-1]


def row(
    text: str, height_m: float, section: Section, limits: Limits, y_m: float = 0.0
) -> tuple[Letter, ...]:
    """The text in one row, its middle at (0, `y_m`) [m], letters `height_m` high [m].

    Raises TooSmallToRead below what hands lay or eyes read, TooLarge where it does not fit into
    the picture, PartWrong for a sign that is no capital.
    """
    plain, stroke = _checked(text, height_m, section, limits)
    places, wide = _places(plain)
    found = [
        Letter(sign, _moved(sign, stroke, (x - wide / 2) * stroke, y_m - height_m / 2))
        for sign, x in places
    ]
    reach = max(math.hypot(x, y) for one in found for x, y in shapely.get_coordinates(one.outline))
    _check_fits("The row", reach, section.picture_radius_m)
    return tuple(found)


def ring(text: str, height_m: float, section: Section, limits: Limits) -> tuple[Letter, ...]:
    """The text round the edge of the picture, tops outward, clockwise from the reading end.

    Letters lie on the circle of their feet and are not bent. Raises as `row`; the ring is full
    where its end would meet its beginning.
    """
    plain, stroke = _checked(text, height_m, section, limits)
    places, wide = _places(plain)
    # The upper corners of a straight letter stand farther out than its middle.
    widest = max(STROKES[sign][0] for sign, _ in places) * stroke
    feet = math.sqrt(max(section.picture_radius_m**2 - widest**2 / 4, 0.0)) - height_m
    around = 2 * math.pi * max(feet, 0.0)
    _check_fits("The ring", (wide + BETWEEN) * stroke, around)
    return tuple(
        Letter(sign, _stood(sign, stroke, (x - wide / 2) * stroke / feet, feet))
        for sign, x in places
    )


def _capitals(text: str) -> str:
    plain = " ".join(text.upper().split())
    for sign in plain:
        if sign != " " and sign not in STROKES:
            raise PartWrong(
                repr(sign),
                Sentence("can't be laid from strips"),
                Sentence("use the letters A to Z"),
            )
    if not plain:
        raise PartWrong("The text", "is empty", Sentence("write what shall be read"))
    return plain


def _checked(text: str, height_m: float, section: Section, limits: Limits) -> tuple[str, float]:
    """Capitals and the width of a stroke [m], if hands and eyes can do with them."""
    plain, stroke = _capitals(text), height_m / HIGH
    in_rod = height_m / section.diameter_ratio
    instead = Sentence("make the letters or the rod bigger, or the text shorter")
    if in_rod < limits.letter_m:
        raise TooSmallToRead(
            Sentence("A letter in the rod"), in_rod * MM, limits.letter_m * MM, instead
        )
    if stroke < limits.strip_m - 1e-9:
        raise TooSmallToRead(
            Sentence("A stroke at the log"), stroke * MM, limits.strip_m * MM, instead
        )
    return plain, stroke


def _check_fits(name: str, value_m: float, limit_m: float) -> None:
    if value_m > limit_m:
        instead = Sentence("use fewer letters, or smaller ones in a bigger rod")
        raise TooLarge(name, round(value_m * MM, 1), round(limit_m * MM, 1), "mm", instead)


def _places(plain: str) -> tuple[list[tuple[str, float]], float]:
    """Left edge of each letter and the width of the whole, in strokes."""
    found, at = [], 0.0
    for sign in plain:
        if sign == " ":
            at += SPACE
            continue
        found.append((sign, at))
        at += STROKES[sign][0] + BETWEEN
    return found, at - BETWEEN


def letter_outline(sign: str) -> Polygon:
    """A letter on its grid: a stroke is 1, its height 5, its lower left corner the origin."""
    wide, lines = STROKES[sign]
    strips = [_strip(line.split()) for line in lines.split(";")]
    whole = shapely.intersection(shapely.union_all(strips), shapely.box(0, 0, wide, HIGH))
    return max(shapely.get_parts(whole), key=lambda part: part.area)


def _strip(numbers: Sequence[str]) -> Any:
    values = [float(n) for n in numbers]
    line = LineString(list(zip(values[::2], values[1::2], strict=True)))
    return line.buffer(0.5, cap_style="flat", join_style="mitre")


def _moved(sign: str, stroke: float, x: float, y: float) -> Polygon:
    return shapely.transform(letter_outline(sign), lambda at: at * stroke + [x, y])


def _stood(sign: str, stroke: float, turn: float, feet: float) -> Polygon:
    """On the circle of the feet, its middle `turn` clockwise from the top [rad]."""
    wide = STROKES[sign][0] * stroke
    middle = turn + wide / 2 / feet
    cos, sin = math.cos(middle), math.sin(middle)

    def place(at: Any) -> Any:
        across, up = at[:, 0] * stroke - wide / 2, at[:, 1] * stroke + feet
        return shapely.get_coordinates(
            shapely.points(across * cos + up * sin, up * cos - across * sin)
        )

    return shapely.transform(letter_outline(sign), place)
