"""Net quantity in words: metric, and for the US avoirdupois ounces beside it."""

from shop.labels.places import Place
from shop.record.words import decimal

# 1 oz = 28.349 523 125 g exactly (1 lb = 453.592 37 g, NIST SP 811, appendix B), in 10⁻⁶ mg.
OUNCE = 28_349_523_125
MICRO, POUND_HUNDREDTHS = 1_000_000, 1600
KILO_MG = 1_000_000


def net_words(mg: int, place: Place) -> str:
    """The net quantity [mg, whole grams] as it stands on the label.

    US: ounces to hundredths, rounded down so that no unit says more than is in; from a pound on
    with pounds and ounces (21 CFR 101.7, from memory). Sweets are weighed: never fluid ounces.

    >>> from shop.labels.places import place
    >>> net_words(100_000, place("GB")), net_words(1_250_000, place("EU"))
    ('100 g', '1.25 kg')
    >>> net_words(100_000, place("US")), net_words(500_000, place("US"))
    ('Net Wt 3.52 oz (100 g)', 'Net Wt 17.63 oz (1 lb 1.63 oz) 500 g')
    """
    metric = _metric(mg)
    if not place.net["dual"]:
        return metric
    hundredths = mg * 100 * MICRO // OUNCE
    ounces = f"Net Wt {_hundredths(hundredths)} oz"
    if hundredths < POUND_HUNDREDTHS:
        return f"{ounces} ({metric})"
    pounds, rest = divmod(hundredths, POUND_HUNDREDTHS)
    small = f" {_hundredths(rest)} oz" if rest else ""
    return f"{ounces} ({pounds} lb{small}) {metric}"


def _metric(mg: int) -> str:
    """Grams below a kilogram, then kilograms without noughts at the end."""
    if mg < KILO_MG:
        return f"{decimal(mg, 1000, 0)} g"
    text = decimal(mg, KILO_MG, 3).rstrip("0").rstrip(".")
    return f"{text} kg"


def _hundredths(value: int) -> str:
    return decimal(value, 100, 2).rstrip("0").rstrip(".")
