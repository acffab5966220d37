"""Where a part waits, and how long it will still stick there.

Minutes come from `craft`'s cooling model and are worth ± 30 %; under a heater the sugar stays
soft, but grains or dries after a while, so the shop's own limit ends it there.
"""

from collections.abc import Mapping, Sequence
from typing import Literal

from shop.craft.conduction import Body
from shop.craft.cool import open_times
from shop.craft.heat import boiled_sugar

Place = Literal["board", "iron", "heater"]
PLACES: tuple[Place, ...] = ("board", "iron", "heater")
STEPS = 40


def sticking_seconds(
    thick_um: Sequence[int], place: Place, numbers: Mapping[str, int]
) -> list[int]:
    """How long strips so thick [um, 100 um – 1 m] still join after they are laid at `place` [s].

    From `open_from` until their mean is at `part_limit`, in the shop's room; all cooled together.
    Under the heater at most `heater_hold`. Whole seconds, rounded down.

    Source of the model: `craft.cool.open_times`; what the places are like is the shop's own.
    """
    low, high = numbers["part_limit"] / 1000, numbers["open_from"] / 1000
    hold = numbers["heater_hold"] // 1000
    if place == "heater" and numbers["heater_air"] / 1000 >= low:
        return [hold] * len(thick_um)
    bodies = [_body(thick / 1e6, place, numbers) for thick in thick_um]
    seconds = [int(s) for s in open_times(bodies, from_c=high, to_c=low, steps=STEPS)]
    return [min(s, hold) for s in seconds] if place == "heater" else seconds


def _body(thick_m: float, place: Place, n: Mapping[str, int]) -> Body:
    """A strip on the dry board, on the bare iron, or on the board under the heater."""
    sugar = boiled_sugar(n["clear_density"] / 1000)
    air = n["heater_air" if place == "heater" else "room"] / 1000
    bed = n["iron"] / 1000 if place == "iron" else air
    below = n["iron_contact" if place == "iron" else "board_contact"] / 10
    return Body(thick_m, sugar, n["open_from"] / 1000, air_c=air, below=below, bed_c=bed)
