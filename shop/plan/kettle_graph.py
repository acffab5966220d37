"""The graph's upper half: today's mark, the peak, the masses, what to weigh of each colour."""

from functools import cache

from shop.craft.colour import powder_mass
from shop.craft.mixture import drop_ratio
from shop.craft.syrup import moisture_at
from shop.craft.water import water_boiling_point
from shop.plan.graph import Graph
from shop.plan.portion import PPM, Portion, Wanted

SEA_LEVEL_PA = 101_325


def write(g: Graph, wanted: Wanted, portions: list[Portion]) -> None:
    """From boiling water to the portions on the table."""
    _marks(g)
    _peak(g)
    _masses(g, wanted)
    _portions(g, portions)


def _marks(g: Graph) -> None:
    """Today's mark on this thermometer. One boiling-water reading tells the thermometer's error
    against the boiling point at today's pressure; beyond the limit the thermometer is suspect and
    there is no mark at all."""
    g.number("air_pressure", "Air pressure, set", "air_pressure_set")
    g.read("air_pressure", "Pa", "barometer", "air_pressure_set", "Air pressure")
    points = range(65_000, 108_001, 1_000)
    g.table(
        "water_boils",
        "m°C",
        "air_pressure",
        points,
        lambda pa: water_boiling_point(pa) * 1000,
        "Water boils at",
    )
    g.read("boil_reading", "m°C", "boiling_water", "water_boils", "Boiling water read")
    g.sum(
        "thermometer_error", "mK", {"boil_reading": 1, "water_boils": -1}, "Thermometer is off by"
    )
    limit = g.numbers["thermometer_suspect"]
    g.add(
        "trusted_error", "mK", ["guard", "thermometer_error", -limit, limit], "Thermometer, trusted"
    )
    g.given("sea_level_boil", "m°C", water_boiling_point(SEA_LEVEL_PA) * 1000, "Water at sea level")
    g.sum("water_drop", "mK", {"sea_level_boil": 1, "water_boils": -1}, "Water boils lower by")
    wanted_c = g.numbers["take_off_sea_level"]
    g.number("take_off_sea_level", "Take-off at sea level")
    g.given("mark_ratio", "ppm", _drop_ratio(wanted_c), "Syrup drops per water's")
    g.times("mark_drop", "mK", "water_drop", "mark_ratio", PPM, "Syrup boils lower by")
    terms = {"take_off_sea_level": 1, "mark_drop": -1, "trusted_error": 1}
    g.sum("take_off_mark", "m°C", terms, "Take-off mark")
    g.number("carry_over", "Kettle still gains")
    g.sum("flame_off_mark", "m°C", {"take_off_mark": 1, "carry_over": -1}, "Flame-off mark")


@cache
def _drop_ratio(sea_level: int) -> float:
    """`drop_ratio` [ppm] of a cook [m°C at sea level], taken between there and 85 kPa."""
    return drop_ratio(sea_level / 1000, 85_000.0) * PPM


def _peak(g: Graph) -> None:
    """From the raw peak to moisture: the correction is applied once, here."""
    g.read("peak_read", "m°C", "peak", "take_off_mark", "Peak as read")
    g.sum("peak_true", "m°C", {"peak_read": 1, "trusted_error": -1}, "Peak, true")
    points = range(125_000, 163_001, 2_000)
    # Twice: the ratio belongs to the composition, which the first pass only comes near to.
    for came, name in (("peak_true", "peak_first"), ("peak_first", "peak_sea_level")):
        ratio, drop = f"{name}_ratio", f"{name}_drop"
        g.table(ratio, "ppm", came, points, _drop_ratio, "Syrup drops per water's")
        g.times(drop, "mK", "water_drop", ratio, PPM, "Higher at sea level")
        g.sum(name, "m°C", {"peak_true": 1, drop: 1}, "Peak, as at sea level")
    g.sum("overcook", "mK", {"peak_sea_level": 1, "take_off_sea_level": -1}, "Over the wanted cook")
    fine = range(125_000, 162_501, 500)
    g.table(
        "moisture_formula",
        "ppm",
        "peak_sea_level",
        fine,
        lambda t: moisture_at(t / 1000, SEA_LEVEL_PA) * PPM,
        "Moisture by the formula",
    )
    g.number("moisture_offset", "This kettle's own")
    terms = {"moisture_formula": 1, "moisture_offset": 1}
    g.sum("moisture", "ppm", terms, "Moisture", band=True)


def _masses(g: Graph, wanted: Wanted) -> None:
    """Dry solids stay; water, acid, flavour and what sticks to iron change."""
    g.given("sugar_planned", "mg", wanted.sugar_mg, "Sugar to weigh")
    g.read("sugar_mass", "mg", "sugar_weighed", "sugar_planned", "Sugar")
    for part in ("syrup", "water"):
        g.number(f"{part}_per_sugar", f"{part.title()} to sugar", f"{part}_ratio")
        words = f"{part.title()} to weigh"
        g.times(f"{part}_planned", "mg", "sugar_mass", f"{part}_ratio", PPM, words)
        g.read(f"{part}_mass", "mg", f"{part}_weighed", f"{part}_planned", part.title())
    g.sum("charge", "mg", {"sugar_mass": 1, "syrup_mass": 1, "water_mass": 1}, "Charge")
    g.number("syrup_solids", "Solids of the syrup")
    g.times("syrup_dry", "mg", "syrup_mass", "syrup_solids", PPM, "Dry in the syrup")
    g.sum("dry", "mg", {"sugar_mass": 1, "syrup_dry": 1}, "Dry solids")
    g.given("whole", "ppm", PPM, "All of it")
    g.sum("solids", "ppm", {"whole": 1, "moisture": -1}, "Solids when cooked")
    g.over("base_mass", "mg", "dry", "solids", PPM, "Cooked mass", band=True)
    for what in ("acid", "flavour"):
        share = g.number(f"{what}_share", f"{what.title()} share")
        g.times(f"{what}_dose", "mg", "base_mass", share, PPM, f"{what.title()} to weigh")
        g.read(f"{what}_mass", "mg", f"{what}_weighed", f"{what}_dose", what.title())
    terms = {"base_mass": 1, "acid_mass": 1, "flavour_mass": 1}
    g.sum("table_mass", "mg", terms, "On the table")
    g.number("table_loss", "Left on iron")
    g.sum("kept_share", "ppm", {"whole": 1, "table_loss": -1}, "Not left on iron")
    g.times("usable", "mg", "table_mass", "kept_share", PPM, "To build with", band=True)


def _portions(g: Graph, portions: list[Portion]) -> None:
    """Every portion's planned mass, and the white that is left."""
    stocked = sum(p.mg_per_metre * (PPM + p.stock) for p in portions) / PPM
    g.given("mg_per_metre_stocked", "1", stocked, "Grams a metre with stock")
    g.over("length_planned", "um", "usable", "mg_per_metre_stocked", PPM, "Length planned")
    rest = {"usable": 1}
    for p in portions:
        g.given(f"{p.id}_per_metre", "1", p.mg_per_metre, f"{p.name}, mg a metre")
        if not p.white:
            g.given(f"{p.id}_stocked", "1", p.mg_per_metre * (PPM + p.stock) / PPM, "With stock")
            a, b = "length_planned", f"{p.id}_stocked"
            g.times(f"{p.id}_planned", "mg", a, b, PPM, f"{p.name} to weigh")
            g.read(f"{p.id}_mass", "mg", f"{p.id}_weighed", f"{p.id}_planned", p.name)
            rest[f"{p.id}_mass"] = -1
            per_kg = powder_mass(1.0, p.dye_mg_per_kg, g.numbers["dye_purity"] / PPM)
            g.given(f"{p.id}_dye_per_kg", "1", per_kg, "Dye, mg a kilogram")
            a, b = f"{p.id}_mass", f"{p.id}_dye_per_kg"
            g.times(f"{p.id}_dye", "mg", a, b, PPM, f"{p.name} dye, powder")
    white = next(p for p in portions if p.white)
    g.sum(f"{white.id}_mass", "mg", rest, f"{white.name}, the rest")
    for p in portions:
        if not p.white:
            _band_of_weight(g, p)
        g.over(f"{p.id}_reach", "um", f"{p.id}_mass", f"{p.id}_per_metre", PPM, f"{p.name} reaches")


def _band_of_weight(g: Graph, p: Portion) -> None:
    """Within 3 % or two steps of the hot scale, whichever is larger (10 g)."""
    g.given(f"{p.id}_step", "mg", 10_000, "Two scale steps")
    g.given(f"{p.id}_share", "ppm", 30_000, "Three per cent")
    g.times(f"{p.id}_three", "mg", f"{p.id}_planned", f"{p.id}_share", PPM, "Three per cent of it")
    g.add(f"{p.id}_play", "mg", ["max", f"{p.id}_step", f"{p.id}_three"], "Allowed either way")
    for side, sign in (("low", -1), ("high", 1)):
        terms = {f"{p.id}_planned": 1, f"{p.id}_play": sign}
        g.sum(f"{p.id}_{side}", "mg", terms, f"{p.name}, {side}")
