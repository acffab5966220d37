"""The bench at the fire: today's marks, what a peak made, heat and minutes."""

from typing import Any

from shop.craft import boil
from shop.craft.calculation import Answer, Option, Result, calculation
from shop.craft.reckon_kettle import (
    AT_EQUILIBRIUM,
    BOIL_DOUBT,
    IF97,
    PRESSURE,
    STARZAK,
    pressure_of,
)
from shop.craft.syrup import moisture_at
from shop.sentences import Sentence

UTAH = "Utah State University Extension (2006), the rule that subtracts"
BROWNS_FROM_C = 130.0
WORTH_SAYING_K = 0.1


@calculation(
    "mark",
    "Where to take off and where to put the flame out today",
    Option("sea-level", "degC", "the recipe's temperature at sea level", needed=True),
    Option("carry-over", "delta_degC", "what this kettle still gains", default="1K"),
    *PRESSURE,
)
def _mark(given: dict[str, Any]) -> Answer:
    pressure, sources = pressure_of(given)
    simple = boil.overcook_by_subtracting(given["sea-level"], pressure)
    take_off = boil.take_off(simple.wanted_moisture, pressure)
    notes = ["For a true thermometer; ask 'thermometer' for what yours shows."]
    if simple.kelvin > WORTH_SAYING_K:
        notes.append(
            "Subtracting only what water boils lower by ends "
            f"{simple.kelvin:.1f} K too hot: syrup drops by more than water."
        )
    return Answer(
        {
            "take_off": Result(take_off, "degC"),
            "flame_off": Result(boil.flame_off(take_off, given["carry-over"]), "degC"),
            "moisture": Result(simple.wanted_moisture * 100, "percent"),
            "by_subtracting": Result(take_off + simple.kelvin, "degC"),
            "moisture_by_subtracting": Result(simple.made_moisture * 100, "percent"),
        },
        [STARZAK, IF97, *sources, UTAH],
        notes,
    )


@calculation(
    "peak",
    "What a peak made of the charge",
    Option("temperature", "degC", "true peak, corrected", needed=True),
    Option("dry", "kg", "dry solids in the kettle", needed=True),
    *PRESSURE,
)
def _peak(given: dict[str, Any]) -> Answer:
    pressure, sources = pressure_of(given)
    cooked = boil.after_peak(given["temperature"], pressure, given["dry"])
    low, high = (max(cooked.moisture + side * BOIL_DOUBT, 0) for side in (-1, 1))
    masses = [given["dry"] / (1 - moisture) for moisture in (low, high)]
    return Answer(
        {
            "moisture": Result(cooked.moisture * 100, "percent", low * 100, high * 100),
            "mass": Result(cooked.mass_kg, "kg", *masses),
            "at_sea_level": Result(cooked.sea_level_c, "degC"),
        },
        [STARZAK, IF97, *sources],
        [AT_EQUILIBRIUM],
    )


@calculation(
    "fire",
    "Heat and minutes from cold to the mark",
    Option("dry", "kg", "dry solids in the kettle", needed=True),
    Option("water", "kg", "all water in the kettle, the syrup's too", needed=True),
    Option("to", "degC", "true take-off", needed=True),
    Option("from", "degC", "where it starts", default="20degC"),
    Option("power", "W", "net into the syrup", needed=True),
    *PRESSURE,
)
def _fire(given: dict[str, Any]) -> Answer:
    pressure, sources = pressure_of(given)
    dry, water = given["dry"], given["water"]
    warming = boil.heat_to_boil(
        dry_kg=dry, water_kg=water, from_c=given["from"], pressure_pa=pressure
    )
    boiling = boil.boil_off_heat(
        dry_kg=dry,
        from_moisture=water / (dry + water),
        to_moisture=moisture_at(given["to"], pressure),
        pressure_pa=pressure,
    )
    last = boil.minutes_between(
        dry_kg=dry,
        from_c=BROWNS_FROM_C,
        to_c=given["to"],
        pressure_pa=pressure,
        net_power_w=given["power"],
    )
    heat = warming + boiling
    minutes = boil.boil_minutes(heat, given["power"])
    return Answer(
        {
            "heat": Result(heat / 1e6, "MJ"),
            "minutes": Result(minutes, "min"),
            "minutes_above_130": Result(last, "min"),
        },
        [STARZAK, IF97, *sources, "Mohos 2010, appendix 1, heat capacity of sucrose"],
        [Sentence("Net power is yours to measure: time a pot of water from cold to the boil.")],
    )
