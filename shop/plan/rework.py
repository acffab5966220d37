"""Which scrap may be melted into a boil, and how much of it.

Same acid class and allergen class, darker or same colour, a small share of the charge; never
floor sweepings, never after glass or blade damage. Sour scrap inverts sugar as it melts and makes
later boils sticky (study of rework syrup with sodium lactate; the rest is common practice, no
source). Local rules and the site's own plan for allergens come first.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from shop.picture.colours import difference, lab_of, rgb_of
from shop.plan.numbers import Numbers
from shop.sentences import Sentence, listed

PPM = 1_000_000
FLOOR = "floor"


@dataclass(frozen=True, slots=True)
class Tin:
    """Scrap in a tin: `mg` left, what it is, and the facts it is judged by.

    `swatch` is the colour it melts to, as `#rrggbb`; `spoilt` why it is never melted back.
    """

    mg: int
    what: str
    sour: bool
    flavour: str
    swatch: str
    allergens: frozenset[str]
    spoilt: str = ""


@dataclass(frozen=True, slots=True)
class Into:
    """The boil it would go into: all its `sugars` (name, swatch), `charge` [mg] of sugar, syrup
    and water, `melted` [mg] what was melted into it so far."""

    sour: bool
    flavour: str
    sugars: Sequence[tuple[str, str]]
    allergens: frozenset[str]
    charge: int
    melted: int = 0


@dataclass(frozen=True, slots=True)
class Rework:
    """At most so much [mg]; nought has its reasons. `mind` is no reason against it."""

    most: int
    why_not: tuple[str, ...] = ()
    mind: tuple[str, ...] = ()


def rework(tin: Tin, into: Into, numbers: Numbers) -> Rework:
    """Whether this tin may be melted into this boil, and at most how much."""
    reasons = [*_never(tin), *_class(tin, into), *_colour(tin, into, numbers)]
    share = numbers["rework_share"]
    room = max(into.charge * share // PPM - into.melted, 0)
    if not room:
        reasons.append(
            Sentence("The boil has its {share:g} % of scrap already.", share=share / 10_000)
        )
    if reasons:
        return Rework(0, tuple(reasons))
    mind = (
        ()
        if tin.flavour == into.flavour
        else (Sentence("It tastes of {flavour}.", flavour=tin.flavour),)
    )
    return Rework(min(tin.mg, room), mind=mind if tin.flavour else ())


def _never(tin: Tin) -> list[str]:
    if tin.what == FLOOR:
        return [Sentence("Floor sweepings are never melted back.")]
    return [Sentence("It is spoilt: {spoilt}.", spoilt=tin.spoilt)] if tin.spoilt else []


def _class(tin: Tin, into: Into) -> list[str]:
    words = {True: Sentence("sour"), False: Sentence("not sour")}
    found: list[str] = []
    if tin.sour != into.sour:
        found.append(
            Sentence("It is {tin}, the boil is {boil}.", tin=words[tin.sour], boil=words[into.sour])
        )
    if tin.allergens != into.allergens:
        none = Sentence("none")
        told = [", ".join(sorted(some)) or none for some in (tin.allergens, into.allergens)]
        found.append(
            Sentence("Its allergens are {tin}, the boil's {boil}.", tin=told[0], boil=told[1])
        )
    return found


def _colour(tin: Tin, into: Into, numbers: Numbers) -> list[str]:
    """Every sugar of the boil must be as dark as the scrap or darker: it tints all of them."""
    same = numbers["rework_same_colour"]
    lighter = [name for name, swatch in into.sugars if not hides(swatch, tin.swatch, same)]
    return (
        [Sentence("The boil has sugar that is lighter: {some}.", some=listed(lighter))]
        if lighter
        else []
    )


def hides(swatch: str, scrap: str, same: int) -> bool:
    """Whether a sugar is no lighter than scrap: darker in CIELAB, or the same to within `same`
    [thousandths of ΔE00] (CIE 142)."""
    one, other = lab_of(np.array([[rgb_of(swatch), rgb_of(scrap)]], dtype=np.uint8))[0]
    return bool(one[0] <= other[0] or float(difference(one, other)) * 1000 <= same)


def melted_swatch(sugars: Sequence[tuple[str, int, bool]]) -> str:
    """Colour that sugars melt to together: `(swatch, mg, has dye)`, mixed in linear light.

    White is white by the air pulled into it, which goes when it melts: what has no dye counts
    only where nothing has any.

    >>> melted_swatch([("#000000", 1, True), ("#ffffff", 1, True), ("#00ff00", 9, False)])
    '#bcbcbc'
    """
    dyed = [one for one in sugars if one[2]] or list(sugars)
    rgb = np.array([rgb_of(swatch) for swatch, _, _ in dyed]) / 255
    linear = np.where(rgb <= 0.04045, rgb / 12.92, ((rgb + 0.055) / 1.055) ** 2.4)
    mean = np.average(linear, axis=0, weights=[max(mg, 1) for _, mg, _ in dyed])
    back = np.where(mean <= 0.0031308, mean * 12.92, 1.055 * mean ** (1 / 2.4) - 0.055)
    return "#" + "".join(f"{round(float(part) * 255):02x}" for part in back)
