"""How the sweets of one order will look and read: the usual one, and some out of the scatter."""

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from shop.craft.errors import check_range
from shop.picture.face import Face, face_of
from shop.picture.legibility import Legibility, legibility
from shop.picture.preview import Amounts, drawn_amounts, drawn_down, usual
from shop.picture.shapes import Drawn

SAMPLES = 6


@dataclass(frozen=True, slots=True, eq=False)
class Looks:
    """Faces of one picture, all at the rod's size and seen from the reading end.

    drawing: as it was asked for; planned: the section as it is built; usual: cut from a usual rod;
    samples: cut from rods out of the shop's scatter. Scores are against the drawing.
    """

    drawing: Face
    planned: Face
    usual: Face
    amounts: Amounts
    samples: tuple[Face, ...]
    score: Legibility
    sample_scores: tuple[float, ...]

    def as_json(self) -> dict[str, Any]:
        """`Legibility.as_json` of the usual sweet, and `scatter`: the `low` and `high` score."""
        told = self.score.as_json()
        if self.sample_scores:
            low, high = min(self.sample_scores), max(self.sample_scores)
            told["scatter"] = {"low": round(low, 3), "high": round(high, 3)}
        return told


def looks(
    drawn: Drawn,
    casing: str,
    numbers: Mapping[str, int],
    doubts: Mapping[str, int],
    *,
    samples: int = SAMPLES,
    seed: int = 1,
) -> Looks:
    """The usual sweet and `samples` [0–50] others; the same `seed` shows the same ones.

    `casing`: `#rrggbb`. `doubts`: ± two standard deviations by number, as in the shop's numbers.

        doubts = {key: number.doubt for key, number in shop.plan.numbers.defaults().items()}
        looks(drawn, casing_sugar().hex, numbers, doubts).as_json()
    """
    check_range("samples", samples, "1", 0, 50, "a look at the scatter")
    drawing, planned = face_of(drawn, casing, drawn.before), face_of(drawn, casing)
    log_m, middle = drawn.section.log_diameter_m, usual(numbers)
    amounts = [drawn_amounts(numbers, doubts, seed + n) for n in range(samples)]
    faces = tuple(drawn_down(planned, each, log_m) for each in amounts)
    seen = drawn_down(planned, middle, log_m)
    scores = tuple(
        legibility(drawing, face, numbers, each.bleed_mm).score
        for face, each in zip(faces, amounts, strict=True)
    )
    told = legibility(drawing, seen, numbers, middle.bleed_mm)
    return Looks(drawing, planned, seen, middle, faces, told, scores)
