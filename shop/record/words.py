"""Values as people read them: from a fixed unit to a few characters, whole-number arithmetic only.

`static/js/record/words.js` gives the same text.
"""

from collections.abc import Callable

from shop.plan.whole import half_up

NARROW = "\u202f"


def decimal(n: int, d: int, places: int) -> str:
    """n/d with a fixed number of decimals, halves upwards.

    >>> decimal(149_049, 1000, 1), decimal(-5, 10, 0)
    ('149.0', '0')
    """
    scaled = half_up(n * 10**places, d)
    whole, part = divmod(abs(scaled), 10**places)
    sign = "\u2212" if scaled < 0 else ""
    return f"{sign}{whole}" + (f".{part:0{places}d}" if places else "")


def _temperature(value: int, wanted: str, places: int) -> str:
    if wanted == "degF":
        return f"{decimal(value * 9 + 160_000, 5000, places)}{NARROW}°F"
    return f"{decimal(value, 1000, places)}{NARROW}°C"


def _difference(value: int, wanted: str, places: int) -> str:
    if wanted == "degF":
        return f"{decimal(value * 9, 5000, places)}{NARROW}°F"
    return f"{decimal(value, 1000, places)}{NARROW}K"


def _mass(value: int, wanted: str, places: int) -> str:
    if wanted == "lb":
        # Under a pound in ounces: what is weighed on a bench scale.
        if abs(value) * 100 < 45_359_237:
            return f"{decimal(value * 1600, 45_359_237, 2)}{NARROW}oz"
        return f"{decimal(value * 100, 45_359_237, 2)}{NARROW}lb"
    if abs(value) >= 1_000_000:
        return f"{decimal(value, 1_000_000, 2)}{NARROW}kg"
    return f"{decimal(value, 1000, 1 if abs(value) < 10_000 else 0)}{NARROW}g"


def _length(value: int, wanted: str, places: int) -> str:
    if wanted == "in":
        return f"{decimal(value, 25_400, 3 if abs(value) < 100_000 else 2)}{NARROW}in"
    if abs(value) >= 1_000_000:
        return f"{decimal(value, 1_000_000, 1)}{NARROW}m"
    return f"{decimal(value, 1000, 1 if abs(value) < 100_000 else 0)}{NARROW}mm"


def _share(value: int, wanted: str, places: int) -> str:
    return f"{decimal(value, 10_000, 1 if abs(value) < 100_000 else 0)}{NARROW}%"


def _duration(value: int, wanted: str, places: int) -> str:
    if abs(value) < 120_000:
        return f"{decimal(value, 1000, 0)}{NARROW}s"
    return f"{decimal(value, 60_000, 0)}{NARROW}min"


FORMS: dict[str, Callable[[int, str, int], str]] = {
    "m°C": _temperature,
    "mK": _difference,
    "mg": _mass,
    "um": _length,
    "ppm": _share,
    "ms": _duration,
    "ratio": lambda value, wanted, places: f"{decimal(value, 1_000_000, 1)}{NARROW}×",
    "um2": lambda value, wanted, places: f"{decimal(value, 1_000_000, 0)}{NARROW}mm²",
    "mm3": lambda value, wanted, places: f"{decimal(value, 1_000_000, 2)}{NARROW}L",
    "g/m3": lambda value, wanted, places: f"{decimal(value, 1000, 0)}{NARROW}kg/m³",
    "Pa": lambda value, wanted, places: f"{decimal(value, 100, 0)}{NARROW}hPa",
    "1": lambda value, wanted, places: decimal(value, 1, 0),
}


def say(value: int | None, unit: str, wanted: str = "", places: int = 1) -> str:
    """The value in words, `–` where it is not known.

    `wanted` may be `degF`, `lb` or `in`; `places` counts for temperatures only.

    >>> say(8_420_000, "mg"), say(14_800, "um"), say(148_000, "m°C", "degF", 0)
    ('8.42\\u202fkg', '14.8\\u202fmm', '298\\u202f°F')
    """
    return "–" if value is None else FORMS[unit](value, wanted, places)


def say_range(value: int | None, spread: int, unit: str, wanted: str = "", places: int = 1) -> str:
    """`low to high` where the spread [ppm] is not nought, else the value."""
    if value is None or not spread:
        return say(value, unit, wanted, places)
    half = half_up(abs(value) * spread, 1_000_000)
    low, high = (say(v, unit, wanted, places) for v in (value - half, value + half))
    return low if low == high else f"{low.split(NARROW)[0]}–{high}"
