"""What this shop's own finished boils took of hands, and how much of them became packs."""

from dataclasses import dataclass

from shop.lessons.hands import middle
from shop.store.lessons import finished_boils


@dataclass(frozen=True, slots=True)
class Worked:
    """Median minutes of each role by its name, from so many boils; the median yield [ppm]."""

    minutes: dict[str, tuple[int, int]]
    yield_ppm: int | None
    boils: int


def worked(shop_id: int) -> Worked:
    """From the shop's newest finished boils."""
    boils = finished_boils(shop_id)
    found: dict[str, list[int]] = {}
    for boil in boils:
        for role, minutes in boil.minutes.items():
            found.setdefault(role, []).append(minutes)
    known = {role: (middle(some) or 0, len(some)) for role, some in found.items()}
    yields = [boil.yield_ppm for boil in boils if boil.yield_ppm is not None]
    return Worked(known, middle(yields), len(boils))
