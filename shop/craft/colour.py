"""Colour: how much a portion needs, what the finished piece then holds, and what is allowed."""

from collections.abc import Sequence
from typing import Literal, NamedTuple

from shop.craft.errors import CraftError, OutOfRange, check_range
from shop.sentences import Sentence

Jurisdiction = Literal["EU", "NI", "GB", "US"]
IDENTITY = "mass balance"
VERIFY = "from memory: verify before use"
CHECKED = "seen in a source"
SHARES = "Hartel, Manufacturing Confectioner, 2012"
# Flash points of flavourings' carriers [°C], from memory.
FLASH_POINTS = {"ethanol": 13.0, "limonene": 48.0}


def powder_mass(portion_kg: float, dose_mg_per_kg: float, purity: float) -> float:
    """Powder [mg] that gives `portion_kg` [kg] the pure dye `dose_mg_per_kg` [mg/kg].

    m = m_portion · dose / purity, purity [kg/kg, 0.05–1]: limits count the colouring principle,
    not the powder (Regulation (EC) 1333/2008, Annex II, from memory).

    >>> round(powder_mass(1.2, 150, 0.87), 1)
    206.9
    """
    check_range("purity", purity, "kg/kg", 0.05, 1, "a certificate of the colour")
    check_range("portion", portion_kg, "kg", 0, 1000, IDENTITY)
    check_range("dose", dose_mg_per_kg, "mg/kg", 0, 1e5, IDENTITY)
    return portion_kg * dose_mg_per_kg / purity


class Liquid(NamedTuple):
    """Liquid colour to weigh [g], and the moisture [kg/kg] it brings to its portion."""

    grams: float
    moisture: float


def liquid_mass(portion_kg: float, dose_mg_per_kg: float, strength: float) -> Liquid:
    """The same from a liquid of `strength` [kg pure dye per kg, 0.001–0.5]; the rest is water.

    Water-based colour softens its portion and can bleed across a hot joint.

    >>> liquid = liquid_mass(1.2, 150, 0.03)
    >>> round(liquid.grams, 1), round(liquid.moisture, 4)
    (6.0, 0.0048)
    """
    check_range("strength", strength, "kg/kg", 0.001, 0.5, "a certificate of the colour")
    check_range("portion", portion_kg, "kg", 1e-6, 1000, IDENTITY)
    grams = powder_mass(portion_kg, dose_mg_per_kg, 1.0) / 1000 / strength
    return Liquid(grams, grams * (1 - strength) / (1000 * portion_kg + grams))


def piece_level(portions: Sequence[tuple[float, float]]) -> float:
    """Pure dye in the finished piece [mg/kg] from portions `(kg, mg/kg)`: Σ mᵢcᵢ/Σ mᵢ.

    >>> round(piece_level([(6.0, 0), (2.2, 400), (1.6, 250), (1.54, 0)]), 1)
    112.9
    """
    if not portions:
        raise OutOfRange("portions", 0, "1", 1, 1000, IDENTITY)
    for kg, level in portions:
        check_range("portion", kg, "kg", 1e-9, 1000, IDENTITY)
        check_range("dose", level, "mg/kg", 0, 1e5, IDENTITY)
    return sum(kg * level for kg, level in portions) / sum(kg for kg, _ in portions)


class Limit(NamedTuple):
    """Most pure dye [mg/kg] in sugar confectionery (category 05.2); None: no figure. `together`:
    the colours of that group are added up."""

    colour: str
    most_mg_per_kg: float | None
    together: bool
    source: str
    sure: str


class NotAllowed(CraftError):
    """A colour that may not be used there, or that this program has no rule for."""


ANNEX = "Regulation (EC) 1333/2008, Annex II, category 05.2"
GROUP_THREE = (
    "E100",
    "E102",
    "E120",
    "E122",
    "E129",
    "E131",
    "E132",
    "E133",
    "E142",
    "E151",
    "E155",
    "E160e",
    "E161b",
)
SINGLE = {"E104": 30.0, "E110": 35.0, "E124": 20.0}
CERTIFIED = ("Blue 1", "Blue 2", "Green 3", "Red 40", "Yellow 5", "Yellow 6")
BANNED = {
    "EU": {"E171": "taken off the list by Regulation (EU) 2022/63"},
    "NI": {"E171": "Regulation (EU) 2022/63 applies in Northern Ireland"},
    "GB": {},
    "US": {"Red 3": "90 FR 4628: not in food from 15 January 2027"},
}
# Annex V: these six must carry the warning about activity and attention in children.
WARNED = ("E102", "E104", "E110", "E122", "E124", "E129")


def limit_for(colour: str, jurisdiction: Jurisdiction) -> Limit:
    """The limit of one colour; raises NotAllowed where there is none to go by.

    >>> limit_for("E110", "EU").most_mg_per_kg, limit_for("E133", "GB").together
    (35.0, True)
    """
    if why := BANNED[jurisdiction].get(colour):
        raise NotAllowed(Sentence("{colour} may not be used there: {why}.", colour=colour, why=why))
    if jurisdiction == "US":
        if colour in CERTIFIED:
            return Limit(colour, None, False, "21 CFR 74: good practice, certified lots", CHECKED)
        if colour == "E171":
            return Limit(colour, 10_000.0, False, "21 CFR 73.575: 1 % by weight", CHECKED)
    elif colour in SINGLE:
        return Limit(colour, SINGLE[colour], False, "Regulation (EU) 232/2012", VERIFY)
    elif colour in GROUP_THREE:
        return Limit(colour, 300.0, True, f"{ANNEX}, group III together", VERIFY)
    raise NotAllowed(
        Sentence(
            "This program has no rule for {colour} in {jurisdiction}; ask your authority.",
            colour=colour,
            jurisdiction=jurisdiction,
        )
    )


class Finding(NamedTuple):
    """A limit against the finished piece and against its worst portion [mg/kg]."""

    limit: Limit
    piece: float
    worst_portion: float
    piece_passes: bool
    portion_passes: bool


def held_against(
    portions: Sequence[tuple[float, float]], colour: str, jurisdiction: Jurisdiction
) -> Finding:
    """One colour in portions `(kg, mg/kg)` against its limit, food as sold.

    The worst portion is judged as well as the piece: a part may be tested by itself (judgement).

    >>> found = held_against([(6.0, 0), (2.2, 400), (1.6, 250), (1.54, 0)], "E133", "EU")
    >>> found.piece_passes, found.portion_passes
    (True, False)
    """
    limit = limit_for(colour, jurisdiction)
    piece, worst = piece_level(portions), max(level for _, level in portions)
    most = limit.most_mg_per_kg
    return Finding(
        limit, piece, worst, most is None or piece <= most, most is None or worst <= most
    )


def share_of_table(on_table_kg: float, share: float) -> float:
    """Acid or flavour [kg] for a `share` [kg/kg, 0–0.03] of what lies on the table at that moment.

    Usual: acid 0–2 %, flavour 0.2–0.3 % (Hartel 2012).

    >>> round(share_of_table(11.0, 0.01), 3)
    0.11
    """
    check_range("mass on the table", on_table_kg, "kg", 0, 1000, IDENTITY)
    check_range("share", share, "kg/kg", 0, 0.03, SHARES)
    return on_table_kg * share


def flash_caution(carrier: str, sugar_c: float) -> str:
    """The caution for a flavour's carrier over sugar of `sugar_c` [°C]; "" below its flash point.

    >>> flash_caution("ethanol", 105)
    'ethanol flashes from 13 °C: flame out, pour low, stand upwind'
    """
    flash = FLASH_POINTS.get(carrier)
    if flash is None or sugar_c < flash:
        return ""
    return f"{carrier} flashes from {flash:.0f} °C: flame out, pour low, stand upwind"
