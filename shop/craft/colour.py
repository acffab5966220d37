"""Colour: how much powder a portion needs, and what the finished piece then holds."""

from collections.abc import Sequence

from shop.craft.errors import check_range


def powder_mass(portion_kg: float, dose_mg_per_kg: float, purity: float) -> float:
    """Powder [mg] that gives `portion_kg` [kg] the pure dye `dose_mg_per_kg` [mg/kg].

    m = m_portion · dose / purity, purity [kg/kg, 0.05–1]: limits count the colouring principle,
    not the powder (Regulation (EC) 1333/2008, Annex II, from memory).

    >>> round(powder_mass(1.2, 150, 0.87), 1)
    206.9
    """
    check_range("purity", purity, "kg/kg", 0.05, 1, "a certificate of the colour")
    return portion_kg * dose_mg_per_kg / purity


def piece_level(portions: Sequence[tuple[float, float]]) -> float:
    """Pure dye in the finished piece [mg/kg] from portions `(kg, mg/kg)`.

    >>> round(piece_level([(6.0, 0), (2.2, 400), (1.6, 250), (1.54, 0)]), 1)
    112.9
    """
    return sum(kg * level for kg, level in portions) / sum(kg for kg, _ in portions)
