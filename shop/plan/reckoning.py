"""The reckoning graph: how one reading re-plans everything below it.

Built from `craft` once, when the sheet is frozen; evaluated on every phone with whole numbers.
The rules where a weight or a density is off are in docs/decisions/0004-length-gives.md.
"""

import math
from dataclasses import dataclass

from shop.craft.colour import powder_mass
from shop.craft.syrup import boiling_point, moisture_at
from shop.craft.water import water_boiling_point
from shop.plan.graph import Graph
from shop.plan.numbers import Numbers

SEA_LEVEL_PA = 101_325
PPM = 1_000_000
CIRCLE = 785_398_163  # π/4 in parts of 10⁹


@dataclass(frozen=True, slots=True)
class Portion:
    """One sort of sugar in the log: its grams per metre as planned, and its own stock.

    `grams_per_metre` [mg/m]; `density` [g/m3]; `white` is what the rest becomes.
    """

    id: str
    name: str
    area_um2: int
    density: int
    stock: int
    white: bool
    dye_mg_per_kg: int = 0

    @property
    def mg_per_metre(self) -> int:
        """Area × density: 1 um² · 1 g/m³ = 1e-9 mg/m."""
        return round(self.area_um2 * self.density / 1e9)


@dataclass(frozen=True, slots=True)
class Wanted:
    """What the order asks of the batch, in fixed units; moments are ms since 1970."""

    packs: int
    fill_mg: int
    rod_um: int
    piece_um: int
    sugar_mg: int
    shift_end: int
    light_up: int


def reckoning(numbers: Numbers, portions: list[Portion], wanted: Wanted) -> Graph:
    """The graph of one batch."""
    g = Graph()
    _marks(g, numbers)
    _peak(g, numbers)
    _masses(g, numbers, wanted)
    _portions(g, numbers, portions)
    _log(g, numbers, portions)
    _rods(g, numbers, wanted)
    _packs(g, numbers, wanted)
    _clock(g, numbers, wanted)
    _damp(g, numbers)
    _balance(g)
    return g


def _marks(g: Graph, n: Numbers) -> None:
    """Today's mark on this thermometer. One boiling-water reading tells the thermometer's error
    against the boiling point at today's pressure; beyond the limit the thermometer is suspect and
    there is no mark at all."""
    g.given("air_pressure_set", "Pa", n["air_pressure"], "Air pressure, set")
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
    limit = n["thermometer_suspect"]
    g.add(
        "trusted_error", "mK", ["guard", "thermometer_error", -limit, limit], "Thermometer, trusted"
    )
    g.given("sea_level_boil", "m°C", water_boiling_point(SEA_LEVEL_PA) * 1000, "Water at sea level")
    g.sum("water_drop", "mK", {"sea_level_boil": 1, "water_boils": -1}, "Water boils lower by")
    g.given("take_off_sea_level", "m°C", n["take_off_sea_level"], "Take-off at sea level")
    g.given("mark_ratio", "ppm", _drop_ratio(n["take_off_sea_level"]), "Syrup drops per water's")
    g.times("mark_drop", "mK", "water_drop", "mark_ratio", PPM, "Syrup boils lower by")
    terms = {"take_off_sea_level": 1, "mark_drop": -1, "trusted_error": 1}
    g.sum("take_off_mark", "m°C", terms, "Take-off mark", 0)
    g.given("carry_over", "mK", n["carry_over"], "Kettle still gains")
    g.sum("flame_off_mark", "m°C", {"take_off_mark": 1, "carry_over": -1}, "Flame-off mark")


def _drop_ratio(sea_level: int) -> float:
    """Kelvin the syrup boils lower per kelvin of water [ppm], at the composition that boils at
    `sea_level` [m°C] at 101 325 Pa; taken between 85 kPa and there."""
    low = 85_000.0
    solids = 1 - moisture_at(sea_level / 1000, SEA_LEVEL_PA)
    syrup = sea_level / 1000 - boiling_point(solids, low)
    water = water_boiling_point(SEA_LEVEL_PA) - water_boiling_point(low)
    return syrup / water * PPM


def _peak(g: Graph, n: Numbers) -> None:
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
        "moisture",
        "ppm",
        "peak_sea_level",
        fine,
        lambda t: moisture_at(t / 1000, SEA_LEVEL_PA) * PPM,
        "Moisture",
        170_000,
    )


def _masses(g: Graph, n: Numbers, wanted: Wanted) -> None:
    """Dry solids stay; water, acid, flavour and what sticks to iron change."""
    g.given("sugar_planned", "mg", wanted.sugar_mg, "Sugar to weigh")
    g.read("sugar_mass", "mg", "sugar_weighed", "sugar_planned", "Sugar")
    for part in ("syrup", "water"):
        g.given(f"{part}_ratio", "ppm", n[f"{part}_per_sugar"], f"{part.title()} to sugar")
        words = f"{part.title()} to weigh"
        g.times(f"{part}_planned", "mg", "sugar_mass", f"{part}_ratio", PPM, words)
        g.read(f"{part}_mass", "mg", f"{part}_weighed", f"{part}_planned", part.title())
    g.sum("charge", "mg", {"sugar_mass": 1, "syrup_mass": 1, "water_mass": 1}, "Charge")
    g.given("syrup_solids", "ppm", n["syrup_solids"], "Solids of the syrup")
    g.times("syrup_dry", "mg", "syrup_mass", "syrup_solids", PPM, "Dry in the syrup")
    g.sum("dry", "mg", {"sugar_mass": 1, "syrup_dry": 1}, "Dry solids")
    g.given("whole", "ppm", PPM, "All of it")
    g.sum("solids", "ppm", {"whole": 1, "moisture": -1}, "Solids when cooked")
    g.over("base_mass", "mg", "dry", "solids", PPM, "Cooked mass", 6_000)
    for what, share in (("acid", "acid_share"), ("flavour", "flavour_share")):
        g.given(share, "ppm", n[share], f"{what.title()} share")
        g.times(f"{what}_dose", "mg", "base_mass", share, PPM, f"{what.title()} to weigh")
        g.read(f"{what}_mass", "mg", f"{what}_weighed", f"{what}_dose", what.title())
    terms = {"base_mass": 1, "acid_mass": 1, "flavour_mass": 1}
    g.sum("table_mass", "mg", terms, "On the table")
    g.given("kept_share", "ppm", PPM - n["table_loss"], "Not left on iron")
    g.times("usable", "mg", "table_mass", "kept_share", PPM, "To build with", 8_000)


def _portions(g: Graph, n: Numbers, portions: list[Portion]) -> None:
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
            per_kg = powder_mass(1.0, p.dye_mg_per_kg, n["dye_purity"] / PPM)
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


def _log(g: Graph, n: Numbers, portions: list[Portion]) -> None:
    """The portion that runs out first ends the log; light white makes it fatter."""
    reaches = [f"{p.id}_reach" for p in portions]
    g.add("log_length_forecast", "um", ["min", *reaches], "Log length", 15_000)
    g.read("log_length", "um", "log_length", "log_length_forecast", "Log length")
    for p in portions:
        g.times(
            f"{p.id}_used", "mg", "log_length_forecast", f"{p.id}_per_metre", PPM, f"{p.name} used"
        )
        g.sum(f"{p.id}_spare", "mg", {f"{p.id}_mass": 1, f"{p.id}_used": -1}, f"{p.name} over")
        g.given(f"{p.id}_density_set", "g/m3", p.density, f"{p.name} density, set")
        density = f"{p.id}_density_set"
        if p.white:
            density = g.read(
                f"{p.id}_density", "g/m3", "white_density", density, f"{p.name} density"
            )
        g.over(f"{p.id}_volume", "mm3", f"{p.id}_used", density, PPM, f"{p.name} volume")
    g.sum("log_mass_forecast", "mg", {f"{p.id}_used": 1 for p in portions}, "Log mass", 10_000)
    g.read("log_mass", "mg", "log_mass", "log_mass_forecast", "Log mass")
    g.sum("log_volume", "mm3", {f"{p.id}_volume": 1 for p in portions}, "Log volume")
    g.over("mean_density", "g/m3", "log_mass_forecast", "log_volume", PPM, "Mean density", 20_000)
    g.over("area_forecast", "um2", "log_volume", "log_length_forecast", 10**9, "Section area")
    g.read("girth_read", "um", "girth", "", "Girth")
    g.add(
        "area_by_girth",
        "um2",
        ["product", "girth_read", "girth_read", 10**6, 12_566_371],
        "Section by girth",
    )
    g.add("log_area", "um2", ["first", "area_by_girth", "area_forecast"], "Section area")
    squares = [d * 1000 for d in range(80, 301, 2)]
    areas = [round(d * d * math.pi / 4) for d in squares]
    roots = dict(zip(areas, squares, strict=True))
    g.table("log_diameter", "um", "log_area", areas, lambda a: roots[a], "Log diameter", 8_000)


def _rods(g: Graph, n: Numbers, wanted: Wanted) -> None:
    """From the log to metres of rod, by volume; a thick rod is cut shorter."""
    g.given("rod_wanted", "um", wanted.rod_um, "Rod wanted")
    g.read("rod_diameter", "um", "gauge", "rod_wanted", "Rod gauge")
    g.given("gauge_low", "um", wanted.rod_um - 500, "Thinnest rod")
    g.given("gauge_high", "um", wanted.rod_um + 500, "Thickest rod")
    for name, d in (("rod_area_wanted", "rod_wanted"), ("rod_area", "rod_diameter")):
        g.add(name, "um2", ["product", d, d, CIRCLE, 10**9], "Rod section")
    g.over("diameter_ratio", "ratio", "log_diameter", "rod_wanted", PPM, "Diameter ratio")
    g.over("length_ratio", "ratio", "log_area", "rod_area_wanted", PPM, "Length ratio", 20_000)
    for end in ("head", "tail"):
        g.given(f"{end}_share", "ppm", n[f"{end}_share"], f"{end.title()} share")
        g.times(f"{end}_planned", "mg", "log_mass", f"{end}_share", PPM, f"{end.title()} expected")
        g.read(f"{end}_mass", "mg", end, f"{end}_planned", end.title())
    terms = {"log_mass": 1, "head_mass": -1, "tail_mass": -1}
    g.sum("rods_mass", "mg", terms, "In good rods", 15_000)
    g.over("rods_volume", "mm3", "rods_mass", "mean_density", PPM, "Volume of the rods")
    g.over("rod_metres", "um", "rods_volume", "rod_area", 10**9, "Good rod", 30_000)
    g.given("rod_length", "um", n["rod_length"], "Rod length")
    g.over("rods", "1", "rod_metres", "rod_length", 1, "Rods", 30_000)
    g.given("piece_wanted", "um", wanted.piece_um, "Piece length wanted")
    g.times("piece_volume", "1", "rod_area_wanted", "piece_wanted", 10**9, "mm³ a piece")
    g.times("piece_mass", "mg", "piece_volume", "mean_density", PPM, "A piece", 30_000)
    g.add(
        "rod_area_ratio", "ppm", ["quotient", "rod_area_wanted", "rod_area", PPM, 1], "Thinner by"
    )
    g.times("cut_length", "um", "piece_wanted", "rod_area_ratio", PPM, "Cut at")


def _packs(g: Graph, n: Numbers, wanted: Wanted) -> None:
    """What will be packed."""
    g.given("keep_share", "ppm", PPM - n["dust_share"], "Not dust")
    g.times("cut_mass", "mg", "rods_mass", "keep_share", PPM, "In whole pieces")
    g.given("set_aside", "mg", n["trial_mass"] + n["retain_mass"], "Trials and kept sample")
    g.sum("net_mass", "mg", {"cut_mass": 1, "set_aside": -1}, "To pack", 20_000)
    g.over("pieces", "1", "net_mass", "piece_mass", 1, "Pieces", 30_000)
    g.given("fill", "mg", wanted.fill_mg + n["giveaway"], "In a bag")
    g.given("half_fill", "mg", (wanted.fill_mg + n["giveaway"]) // 2, "Half a bag")
    g.sum("net_less_half", "mg", {"net_mass": 1, "half_fill": -1}, "To pack, less half a bag")
    g.over("packs", "1", "net_less_half", "fill", 1, "Bags forecast", 20_000)
    g.given("packs_wanted", "1", wanted.packs, "Bags ordered")
    g.sum("packs_spare", "1", {"packs": 1, "packs_wanted": -1}, "Bags over the order")


def _clock(g: Graph, n: Numbers, wanted: Wanted) -> None:
    """When things must be done by, and the working bands after this cook."""
    for name in ("lit", "at_130", "poured", "closed", "first_rod"):
        g.add(f"{name}_at", "time", ["moment", name], f"{name.replace('_', ' ').title()}")
    g.given("latest_light_up", "time", wanted.shift_end - _zone(n), "Latest light-up")
    g.given("planned_light_up", "time", wanted.light_up, "Planned light-up")
    g.sum("above_130", "ms", {"poured_at": 1, "at_130_at": -1}, "Time above 130 °C")
    g.given("open_window", "ms", n["open_window"], "From poured to closed")
    g.given("open_loss", "ms", n["open_loss"], "Shorter per kelvin")
    g.times("open_lost", "ms", "overcook", "open_loss", 1000, "Sticks shorter by", 300_000)
    terms = {"poured_at": 1, "open_window": 1, "open_lost": -1}
    g.sum("close_by", "time", terms, "Log closed by")
    g.given("band_shift", "ppm", n["band_shift"], "Band moves")
    g.times("shift", "mK", "overcook", "band_shift", PPM, "Working band higher by", 300_000)
    for name, key in (("pull_at", "pull_temperature"), ("build_at", "build_temperature")):
        g.given(f"{name}_set", "m°C", n[key], "Band, set")
        g.sum(name, "m°C", {f"{name}_set": 1, "shift": 1}, "Work it at", 0)
    g.given("strokes_set", "1", n["strokes"], "Strokes, set")
    g.given("strokes_per_kelvin", "ppm", n["strokes_per_kelvin"], "More per kelvin")
    g.times("strokes_millikelvin", "1", "strokes_set", "overcook", 1, "Strokes times overcook")
    a, b = "strokes_millikelvin", "strokes_per_kelvin"
    g.times("strokes_extra", "1", a, b, 1000 * PPM, "More strokes")
    g.sum("strokes", "1", {"strokes_set": 1, "strokes_extra": 1}, "Strokes", 200_000)
    g.read("room_humidity", "ppm", "humidity", "", "Room humidity")
    g.read("pack_room", "ppm", "pack_humidity", "", "Humidity at packing")
    g.given("table_cool", "m°C", 31_000, "A cool table")
    g.read("table_read", "m°C", "table_temperature", "table_cool", "Table")
    g.sum("table_warmer", "mK", {"table_read": 1, "table_cool": -1}, "Table warmer by")
    g.given("table_plastic", "ms", n["table_plastic"], "To plastic on a cool table")
    g.given("table_slowing", "ppm", n["table_slowing"], "Slower per kelvin")
    g.times("slower_per_kelvin", "ms", "table_plastic", "table_slowing", PPM, "Slower")
    g.times("slower", "ms", "slower_per_kelvin", "table_warmer", 1000, "Slower by")
    g.sum("plastic_in", "ms", {"table_plastic": 1, "slower": 1}, "To plastic", 300_000)
    g.given("part_limit", "m°C", n["part_limit"], "Coldest part to join")
    g.read("part_read", "m°C", "part_temperature", "build_at", "Coldest part")
    g.sum("part_short", "mK", {"part_limit": 1, "part_read": -1}, "Part too cold by")
    g.given("warming", "ms", n["warming"], "To warm a part, per kelvin")
    g.times("part_warming", "ms", "part_short", "warming", 1000, "Warming needed")
    g.given("no_time", "ms", 0, "None")
    g.add("rewarm", "ms", ["max", "no_time", "part_warming"], "Warm it again for", 400_000)
    g.given("rod_interval", "ms", n["rod_interval"], "From rod to rod")
    g.times("drawing", "ms", "rods", "rod_interval", 1, "Drawing takes", 100_000)
    g.sum("last_rod_by", "time", {"first_rod_at": 1, "drawing": 1}, "Last rod at")
    g.sum("light_up_spare", "ms", {"latest_light_up": 1, "lit_at": -1}, "Lit before the latest")
    g.given("cut_low", "m°C", n["cut_low"], "Cut from")
    g.given("cut_high", "m°C", n["cut_high"], "Cut up to")


def _damp(g: Graph, n: Numbers) -> None:
    """How long sweets may lie open at packing: shorter in damp air, never longer than usual."""
    g.given("humidity_limit", "ppm", n["humidity_limit"], "Dry enough up to")
    g.sum("damper", "ppm", {"pack_room": 1, "humidity_limit": -1}, "Damper by")
    g.given("pack_loss", "ms", n["pack_loss"], "Shorter per cent")
    g.times("pack_lost", "ms", "damper", "pack_loss", 10_000, "Shorter by")
    g.given("pack_window", "ms", n["pack_window"], "Time to pack in dry air")
    g.sum("pack_left", "ms", {"pack_window": 1, "pack_lost": -1}, "Time to pack here")
    g.add("pack_most", "ms", ["min", "pack_window", "pack_left"], "At most")
    g.add("pack_within", "ms", ["max", "no_time", "pack_most"], "Pack within", 300_000)


def _zone(n: Numbers) -> int:
    """From the latest light-up to the shift's end [ms]."""
    return n["zone"] + n["handover"] + n["spread"]


def _balance(g: Graph) -> None:
    """Where the log went, from what was weighed; unknown stays unknown."""
    for what in ("head", "tail", "dust", "trial", "retain"):
        g.read(f"{what}_weighed_mass", "mg", what, "", what.title())
    g.read("log_weighed_mass", "mg", "log_mass", "", "Log, weighed")
    g.add("bags", "1", ["tally", "bags"], "Bags packed")
    g.read("bag_mass", "mg", "bag_mass", "fill", "In a bag, mean")
    g.times("packed_mass", "mg", "bags", "bag_mass", 1, "Packed")
