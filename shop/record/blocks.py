"""What each part weighs in the log: its share of what the section takes of its sugar."""

from shop.plan.whole import half_up
from shop.record.check import Sheet
from shop.record.steps import State


def part_masses(sheet: Sheet, state: State) -> dict[str, int | None]:
    """Part → mass of all its copies [mg] in the log as now reckoned; null while that isn't known.

    `static/js/record/blocks.js` does the same.
    """
    areas: dict[str, int] = {}
    for part in sheet["parts"]:
        areas[part["portion"]] = areas.get(part["portion"], 0) + part["area_um2"]
    used = {portion: state["figures"].get(f"{portion}_used") for portion in areas}
    return {
        part["id"]: None
        if (mass := used[part["portion"]]) is None
        else half_up(mass * part["area_um2"], areas[part["portion"]])
        for part in sheet["parts"]
    }


def block_mass(sheet: Sheet, state: State, block: str) -> int | None:
    """Mass of one block's parts [mg]; null while one of them isn't known."""
    masses = part_masses(sheet, state)
    own = [masses[part["id"]] for part in sheet["parts"] if part["block"] == block]
    known = [mass for mass in own if mass is not None]
    return sum(known) if known and len(known) == len(own) else None
