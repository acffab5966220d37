"""The bench from kettle to table: boil, moisture, charge, thermometer, dye, cooling, glass."""

from typing import Any

from shop.craft import colour, cook
from shop.craft.air import pressure_from_boiling_water, pressure_from_forecast
from shop.craft.bands import Doubt, band
from shop.craft.calculation import Answer, AskedWrong, Option, Result, calculation
from shop.craft.conduction import Body, cool
from shop.craft.glass import (
    TG_SUCROSE_C,
    dry_glass_of_mix,
    dry_glass_of_syrup,
    glass_transition,
    viscosities,
)
from shop.craft.heat import Thermal
from shop.craft.mixture import (
    mean_molar_mass,
    mix_boiling_point,
    mix_moisture_at,
    mix_water_activity,
)
from shop.craft.syrup import MOLAR_MASS_SUCROSE
from shop.craft.thermometer import from_two_points
from shop.craft.water import pressure_at_altitude, water_boiling_point
from shop.sentences import Sentence

STARZAK = "Starzak and Peacock, Zuckerindustrie (1997), coefficients from a summary"
IF97 = "IAPWS R7-97(2012), region 4, through the iapws package"
BALANCE = "Mass balance"
ATMOSPHERE = "U.S. Standard Atmosphere 1976"
BOIL_DOUBT = 0.005
SUSPECT_K = 5.0

PRESSURE = (
    Option("pressure", "Pa", "air pressure in the room"),
    Option("altitude", "m", "height, for the standard atmosphere"),
    Option("forecast", "Pa", "the weather report's pressure, as if at sea level, with altitude"),
    Option("water-boils-at", "degC", "what a trusted thermometer shows in boiling water"),
)
MIX = (
    Option("glucose-share", "", "glucose syrup's share of the dry solids"),
    Option("de", "", "its dextrose equivalent", "number"),
)


def pressure_of(given: dict[str, Any]) -> tuple[float, list[str]]:
    ways = [name for name in ("pressure", "altitude", "water-boils-at") if name in given]
    if len(ways) > 1:
        raise AskedWrong(f"Give one of {', '.join(ways)}: each says how high the air pressure is.")
    if "forecast" in given:
        if "altitude" not in given:
            raise AskedWrong("A forecast's pressure is told as if at sea level: give altitude too.")
        return pressure_from_forecast(given["forecast"], given["altitude"]), [ATMOSPHERE]
    if "altitude" in given:
        return pressure_at_altitude(given["altitude"]), [ATMOSPHERE]
    if "water-boils-at" in given:
        return pressure_from_boiling_water(given["water-boils-at"]), []
    return given.get("pressure", 101_325.0), []


def molar_mass_of(given: dict[str, Any]) -> tuple[float, list[str]]:
    if "glucose-share" not in given:
        return MOLAR_MASS_SUCROSE, []
    note = "Glucose syrup is counted by its mean molar mass: a model nobody has validated."
    return mean_molar_mass(given["glucose-share"], given.get("de", 42.0)), [note]


AT_EQUILIBRIUM = "A rolling boil is only nearly at rest: ± 0.5 % moisture in any claim."


@calculation(
    "boil",
    "Where a syrup boils today",
    Option("solids", "", "dry solids", needed=True),
    *PRESSURE,
    *MIX,
)
def _boil(given: dict[str, Any]) -> Answer:
    (pressure, sources), (molar, notes) = pressure_of(given), molar_mass_of(given)
    solids = given["solids"]
    boils = mix_boiling_point(solids, pressure, molar)
    low, high = (
        mix_boiling_point(min(max(solids + side * BOIL_DOUBT, 0), 0.995), pressure, molar)
        for side in (-1, 1)
    )
    return Answer(
        {
            "boiling_point": Result(boils, "degC", low, high),
            "water_boiling_point": Result(water_boiling_point(pressure), "degC"),
            "water_activity": Result(mix_water_activity(solids, boils, molar), ""),
        },
        [STARZAK, IF97, *sources],
        [AT_EQUILIBRIUM, *notes],
    )


@calculation(
    "moisture",
    "What a cook to that temperature leaves of water",
    Option("temperature", "degC", "true temperature of the boil", needed=True),
    *PRESSURE,
    *MIX,
)
def _moisture(given: dict[str, Any]) -> Answer:
    (pressure, sources), (molar, notes) = pressure_of(given), molar_mass_of(given)
    moisture = mix_moisture_at(given["temperature"], pressure, molar)
    low, high = max(moisture - BOIL_DOUBT, 0), moisture + BOIL_DOUBT
    return Answer(
        {"moisture": Result(moisture * 100, "percent", low * 100, high * 100)},
        [STARZAK, IF97, *sources],
        [AT_EQUILIBRIUM, *notes],
    )


@calculation(
    "charge",
    "What goes into the kettle",
    Option("cooked", "kg", "wanted cooked mass", needed=True),
    Option("moisture", "", "wanted moisture", needed=True),
    Option("sucrose-share", "", "sucrose's share of the dry solids", default="60%"),
    Option("syrup-solids", "", "dry solids of the glucose syrup", default="80.3%"),
    Option("water-per-sucrose", "", "water to sucrose, as weighed", default="30%"),
)
def _charge(given: dict[str, Any]) -> Answer:
    made = cook.charge_for(
        cooked_kg=given["cooked"],
        moisture=given["moisture"],
        sucrose_share=given["sucrose-share"],
        syrup_solids=given["syrup-solids"],
        water_per_sucrose=given["water-per-sucrose"],
    )
    masses = {name: getattr(made, name) for name in ("sucrose", "syrup", "water", "evaporated")}
    results = {name: Result(kg, "kg") for name, kg in masses.items()}
    share = Result(given["cooked"] / made.total * 100, "percent")
    return Answer({**results, "yield": share}, [BALANCE])


@calculation(
    "thermometer",
    "What a thermometer shows at the wanted temperature",
    Option("ice", "degC", "its reading in crushed ice", needed=True),
    Option("boil", "degC", "its reading in boiling water", needed=True),
    Option("water-boils-at", "degC", "where water boils today", needed=True),
    Option("wanted", "degC", "the true temperature wanted", needed=True),
)
def _thermometer(given: dict[str, Any]) -> Answer:
    def shows(ice: float, boil: float) -> float:
        found = from_two_points(ice, boil, given["water-boils-at"], suspect_k=SUSPECT_K)
        return found.raw(given["wanted"])

    at = band(shows, {"ice": Doubt(given["ice"], 0.5), "boil": Doubt(given["boil"], 0.5)})
    simple = given["wanted"] + given["boil"] - given["water-boils-at"]
    return Answer(
        {"reading": Result(at.value, "degC", at.low, at.high)},
        ["A straight line through two readings", IF97],
        [
            Sentence(
                "Taking off only the boiling-water error would show {simple:.1f} °C.", simple=simple
            ),
            Sentence("Readings doubtful by ± 0.5 K; 150 °C is half as far again as the test goes."),
        ],
    )


@calculation(
    "dye",
    "Powder for a portion, or what a mix of portions holds",
    Option("portion", "kg", "the portion"),
    Option("dose", "mg/kg", "pure dye in it"),
    Option("purity", "", "pure dye in the powder", default="100%"),
    Option("strength", "", "pure dye in a liquid colour, in place of powder"),
    Option("mix", "kg@mg/kg", "portions such as 6.0kg@0mg/kg,2.2kg@400mg/kg", "parts"),
    Option(
        "colour",
        "",
        "a colour by its number, held against its limit",
        "choice",
        choices=(*colour.GROUP_THREE, *colour.SINGLE, *colour.CERTIFIED, "E171"),
    ),
    Option(
        "jurisdiction",
        "",
        "where it is sold",
        "choice",
        default="EU",
        choices=("EU", "NI", "GB", "US"),
    ),
)
def _dye(given: dict[str, Any]) -> Answer:
    if "mix" in given:
        return _mix(given)
    if not {"portion", "dose"} <= set(given):
        raise AskedWrong("dye needs --portion and --dose, or --mix.")
    if "strength" in given:
        return _liquid(given)
    powder = colour.powder_mass(given["portion"], given["dose"], given["purity"])
    return Answer({"powder": Result(powder, "mg")}, [BALANCE])


def _liquid(given: dict[str, Any]) -> Answer:
    liquid = colour.liquid_mass(given["portion"], given["dose"], given["strength"])
    results = {
        "liquid": Result(liquid.grams, "g"),
        "moisture_brought": Result(liquid.moisture * 100, "percent"),
    }
    return Answer(
        results, [BALANCE], [Sentence("Water softens its portion and can bleed over a hot joint.")]
    )


def _mix(given: dict[str, Any]) -> Answer:
    portions = given["mix"]
    results = {
        "piece_level": Result(colour.piece_level(portions), "mg/kg"),
        "worst_portion": Result(max(level for _, level in portions), "mg/kg"),
    }
    if "colour" not in given:
        return Answer(results, [BALANCE])
    found = colour.held_against(portions, given["colour"], given["jurisdiction"])
    limit = found.limit
    if limit.most_mg_per_kg is None:
        return Answer(
            results, [BALANCE, limit.source], [Sentence("No figure; {sure}.", sure=limit.sure)]
        )
    said = "within" if found.piece_passes else "over"
    part = "within" if found.portion_passes else "over"
    results["limit"] = Result(limit.most_mg_per_kg, "mg/kg")
    note = f"The piece is {said} the limit, the worst portion {part} it; {limit.sure}."
    return Answer(results, [BALANCE, limit.source], [note])


@calculation(
    "sheet-cooling",
    "A poured sheet on a table after some time",
    Option("thickness", "m", "of the sheet", needed=True),
    Option("conductivity", "W/m/K", "of the sugar", default="0.3W/m/K"),
    Option("density", "kg/m^3", "of the sugar", default="1430kg/m^3"),
    Option("heat-capacity", "J/kg/K", "of the sugar", default="1900J/kg/K"),
    Option("below", "W/m^2/K", "contact with the table", default="200W/m^2/K"),
    Option("table", "degC", "temperature of the table", default="30degC"),
    Option("air", "degC", "temperature of the air", default="24degC"),
    Option("start", "degC", "temperature poured", default="145degC"),
    Option("after", "s", "time since", needed=True),
    Option("above-adiabatic", "", "no heat lost above", "flag"),
)
def _sheet_cooling(given: dict[str, Any]) -> Answer:
    bodies = [sheet_of(given, pace) for pace in (1.0, 0.7, 1.3)]
    course = cool(bodies, [given["after"]] * 3)
    places = {"top": course.skin, "bottom": course.bottom, "mean": course.mean}
    results = {}
    for name, rows in places.items():
        value, slow, fast = (float(rows[i, -1]) for i in range(3))
        results[name] = Result(value, "degC", min(slow, fast), max(slow, fast))
    return Answer(
        results,
        ["One-dimensional conduction, held against the series solution for slabs"],
        [
            Sentence(
                "The band is contact and conductivity ± 30 %: one reading of your "
                "own is worth more."
            )
        ],
    )


def sheet_of(given: dict[str, Any], pace: float) -> Body:
    sugar = Thermal(given["conductivity"] * pace, given["density"], given["heat-capacity"])
    return Body(
        given["thickness"],
        sugar,
        given["start"],
        air_c=given["air"],
        above=0.0 if "above-adiabatic" in given else None,
        below=given["below"] * pace,
        bed_c=given["table"],
    )


@calculation(
    "glass",
    "Where boiled sugar turns to glass, and how thick it is above that",
    Option("moisture", "", "of the sugar", needed=True),
    Option("temperature", "degC", "for the viscosity"),
    *MIX,
)
def _glass(given: dict[str, Any]) -> Answer:
    moisture = given["moisture"]
    tg = glass_transition(moisture)
    seen = [glass_transition(moisture, dry, k) for dry, k in ((60.0, 5.42), (70.0, 3.675))]
    if "glucose-share" in given:
        share, syrup = given["glucose-share"], dry_glass_of_syrup(given.get("de", 42.0))
        mixed = dry_glass_of_mix({TG_SUCROSE_C: 1 - share, syrup: share})
        seen.append(glass_transition(moisture, mixed))
    results = {"glass_transition": Result(tg, "degC", min(seen), max(seen))}
    notes = [
        "Commercial boiled sweets measure 28 to 49 °C (Kawai et al. 2019).",
        "Whether glucose syrup raises it, sources disagree: it widens the band, not the value.",
    ]
    sources = ["Gordon and Taylor's form, k 4.7, dry sucrose 62 °C (Berk 2009; k from memory)"]
    if "temperature" in given:
        two = viscosities(moisture, given["temperature"], tg)
        low, high = sorted(two[:2])
        results["log10_viscosity"] = Result(two.by_glass, "", low, high)
        notes.append("Two formulas, not two measurements: good for ranking, not for a force.")
        sources += ["Williams, Landel and Ferry, universal constants", "Génotelle, from memory"]
    return Answer(results, sources, notes)
