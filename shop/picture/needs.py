"""Sugar an order needs, and what a log gives: bags, metres, rods, minutes at the roller.

Identities of mass; every loss is the shop's own number. Head and tail are the cones at the ends: a
log of the planned girth loses them whole, however little of it is wanted.
"""

from collections.abc import Mapping
from dataclasses import dataclass

from shop.craft.errors import check_range
from shop.craft.size import rod_length

Numbers = Mapping[str, int]
MOST_LOGS = 8
ORDER = "an order of one picture"


@dataclass(frozen=True, slots=True)
class Gives:
    """What some logs give: bags, good rod [m], rods, minutes of drawing, sugar to pack [kg]."""

    packs: int
    metres: float
    rods: float
    draw_minutes: float
    net_kg: float


def ends_kg(log_kg: float, n: Numbers) -> float:
    """Head and tail of one log [kg]."""
    return log_kg * (n["head_share"] + n["tail_share"]) / 1e6


def aside_kg(n: Numbers) -> float:
    """Trial cuts and kept sample of one log [kg]."""
    return (n["trial_mass"] + n["retain_mass"]) / 1e6


def bag_kg(fill_mg: int, n: Numbers) -> float:
    """A bag as it is filled [kg]: its label weight and what is given over it."""
    return (fill_mg + n["giveaway"]) / 1e6


def need_kg(packs: int, fill_mg: int, log_kg: float, n: Numbers, logs: int = 1) -> float:
    """Sugar [kg] that `packs` bags [1–100 000] take from `logs` logs of `log_kg` [kg].

    M = (N·fill + logs·(trial + kept))/(1 − dust) + logs·(head + tail).

    >>> shares = {"head_share": 30_000, "tail_share": 37_500, "dust_share": 30_000}
    >>> masses = {"trial_mass": 50_000, "retain_mass": 100_000, "giveaway": 2_000}
    >>> round(need_kg(80, 100_000, 11.0, shares | masses), 2)
    9.31
    """
    check_range("bags", packs, "1", 1, 100_000, ORDER)
    check_range("log", log_kg, "kg", 0.1, 100, ORDER)
    whole = packs * bag_kg(fill_mg, n) + logs * aside_kg(n)
    return whole / (1 - n["dust_share"] / 1e6) + logs * ends_kg(log_kg, n)


def logs_for(packs: int, fill_mg: int, log_kg: float, n: Numbers) -> int | None:
    """How many logs of `log_kg` [kg] an order takes; None beyond eight."""
    for logs in range(1, MOST_LOGS + 1):
        if need_kg(packs, fill_mg, log_kg, n, logs) <= logs * log_kg:
            return logs
    return None


def gives(
    log_kg: float, fill_mg: int, density: float, rod_m: float, n: Numbers, logs: int = 1
) -> Gives:
    """What `logs` logs of `log_kg` [kg] and mean `density` [kg/m³] give in rods of `rod_m` [m]."""
    good = log_kg - ends_kg(log_kg, n)
    metres = rod_length(good, density, rod_m) * logs
    net = max(0.0, (good * (1 - n["dust_share"] / 1e6) - aside_kg(n)) * logs)
    rods = metres / (n["rod_length"] / 1e6)
    packs = int(net / bag_kg(fill_mg, n) + 1e-9)
    return Gives(packs, metres, rods, rods * n["rod_interval"] / 60_000, net)
