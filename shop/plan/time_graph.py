"""The graph's clocks: when things must be done by, working bands, hands, how long is left."""

from shop.plan.graph import Graph
from shop.plan.portion import PPM, Wanted


def write(g: Graph, wanted: Wanted) -> None:
    """From lighting to packing, beside the masses."""
    _clock(g, wanted)
    _bands(g)
    _table(g)
    _parts(g)
    _turning(g)
    _damp(g)


def _clock(g: Graph, wanted: Wanted) -> None:
    """When things must be done by."""
    for name in ("lit", "at_130", "poured", "closed", "first_rod"):
        g.add(f"{name}_at", "time", ["moment", name], f"{name.replace('_', ' ').title()}")
    zone = sum(g.numbers[key] for key in ("zone", "handover", "spread"))
    g.given("latest_light_up", "time", wanted.shift_end - zone, "Latest light-up")
    g.given("planned_light_up", "time", wanted.light_up, "Planned light-up")
    g.sum("light_up_spare", "ms", {"latest_light_up": 1, "lit_at": -1}, "Lit before the latest")
    g.number("zone", "No handover for")
    g.number("spread", "Spread of the day")
    g.sum("zone_until", "time", {"lit_at": 1, "zone": 1}, "No handover before")
    g.sum("zone_latest", "time", {"zone_until": 1, "spread": 1}, "No handover before, latest")
    g.sum("above_130", "ms", {"poured_at": 1, "at_130_at": -1}, "Time above 130 °C")
    g.number("open_window", "From poured to closed")
    g.number("open_loss", "Shorter per kelvin")
    g.times("open_lost", "ms", "overcook", "open_loss", 1000, "Sticks shorter by", band=True)
    terms = {"poured_at": 1, "open_window": 1, "open_lost": -1}
    g.sum("close_by", "time", terms, "Log closed by")


def _bands(g: Graph) -> None:
    """Where it works and how many strokes it wants after this cook."""
    g.number("band_shift", "Band moves")
    g.times("shift", "mK", "overcook", "band_shift", PPM, "Working band higher by", band=True)
    for name, key in (("pull_at", "pull_temperature"), ("build_at", "build_temperature")):
        g.number(key, "Band, set", f"{name}_set")
        g.sum(name, "m°C", {f"{name}_set": 1, "shift": 1}, "Work it at")
    g.number("strokes", "Strokes, set", "strokes_set")
    g.number("strokes_per_kelvin", "More per kelvin")
    g.times("strokes_millikelvin", "1", "strokes_set", "overcook", 1, "Strokes times overcook")
    a, b = "strokes_millikelvin", "strokes_per_kelvin"
    g.times("strokes_extra", "1", a, b, 1000 * PPM, "More strokes")
    g.sum("strokes", "1", {"strokes_set": 1, "strokes_extra": 1}, "Strokes", band=True)
    g.number("cut_low", "Cut from")
    g.number("cut_high", "Cut up to")


def _table(g: Graph) -> None:
    """A warm table takes longer."""
    g.given("table_cool", "m°C", 31_000, "A cool table")
    g.read("table_read", "m°C", "table_temperature", "table_cool", "Table")
    g.sum("table_warmer", "mK", {"table_read": 1, "table_cool": -1}, "Table warmer by")
    g.number("table_plastic", "To plastic on a cool table")
    g.number("table_slowing", "Slower per kelvin")
    g.times("slower_per_kelvin", "ms", "table_plastic", "table_slowing", PPM, "Slower")
    g.times("slower", "ms", "slower_per_kelvin", "table_warmer", 1000, "Slower by")
    g.sum("plastic_in", "ms", {"table_plastic": 1, "slower": 1}, "To plastic", band=True)


def _parts(g: Graph) -> None:
    """A part below the coldest that joins is warmed again."""
    g.number("part_limit", "Coldest part to join")
    g.read("part_read", "m°C", "part_temperature", "build_at", "Coldest part")
    g.sum("part_short", "mK", {"part_limit": 1, "part_read": -1}, "Part too cold by")
    g.number("warming", "To warm a part, per kelvin")
    g.times("part_warming", "ms", "part_short", "warming", 1000, "Warming needed")
    g.given("no_time", "ms", 0, "None")
    g.add("rewarm", "ms", ["max", "no_time", "part_warming"], "Warm it again for", band=True)
    g.number("open_from", "A part is laid at")
    g.read("part_known", "m°C", "part_temperature", "", "Coldest part, read")
    g.sum("part_left", "mK", {"part_known": 1, "part_limit": -1}, "Warmer than the coldest by")
    g.sum("part_span", "mK", {"open_from": 1, "part_limit": -1}, "From laid to the coldest")
    g.over("part_share", "ppm", "part_left", "part_span", PPM, "Of its time left, as read")
    g.given("all_time", "ppm", PPM, "All of it")
    g.add("part_share_most", "ppm", ["min", "all_time", "part_share"], "At most all of it")
    g.given("no_share", "ppm", 0, "None of it")
    # A straight line: it cools faster at first, so this says a little too little.
    g.add("open_share", "ppm", ["max", "no_share", "part_share_most"], "Of its time left")


def _turning(g: Graph) -> None:
    """Oval rods turn longer: more at once, more hands, or a slower rhythm for the same hands."""
    g.number("rod_cool", "A rod turns for, set")
    g.number("oval_limit", "Oval up to")
    g.sum("oval_over", "ppm", {"oval_share": 1, "oval_limit": -1}, "Oval beyond it by")
    g.number("oval_rolling", "Longer per cent")
    g.times("oval_longer", "ms", "oval_over", "oval_rolling", 10_000, "Turn longer by")
    g.add("oval_known", "ms", ["first", "oval_longer", "no_time"], "Turn longer, if it was read")
    g.add("roll_on", "ms", ["max", "no_time", "oval_known"], "Roll on for")
    g.sum("roll_for", "ms", {"rod_cool": 1, "roll_on": 1}, "A rod turns for", band=True)
    g.number("rod_interval", "From rod to rod, set", "rod_interval_set")
    g.ceil_over("rods_turning", "roll_for", "rod_interval_set", "Rods turning at once")
    g.number("rods_per_hand", "Rods a hand keeps round")
    g.ceil_over("rolling_hands", "rods_turning", "rods_per_hand", "Hands that roll")
    g.ceil_over("rods_planned", "rod_cool", "rod_interval_set", "Rods turning, planned")
    g.ceil_over("hands_planned", "rods_planned", "rods_per_hand", "Hands that roll, planned")
    a, b = "hands_planned", "rods_per_hand"
    g.times("rods_kept_round", "1", a, b, 1, "Rods those hands keep round")
    g.ceil_over("interval_kept", "roll_for", "rods_kept_round", "Slowest they can follow")
    g.add("rod_interval", "ms", ["max", "rod_interval_set", "interval_kept"], "From rod to rod")
    g.times("drawing", "ms", "rods", "rod_interval", 1, "Drawing takes", band=True)
    g.sum("last_rod_by", "time", {"first_rod_at": 1, "drawing": 1}, "Last rod at")


def _damp(g: Graph) -> None:
    """How long sweets may lie open at packing: shorter in damp air, never longer than usual."""
    g.read("room_humidity", "ppm", "humidity", "", "Room humidity")
    g.read("pack_room", "ppm", "pack_humidity", "", "Humidity at packing")
    g.number("humidity_limit", "Dry enough up to")
    g.sum("damper", "ppm", {"pack_room": 1, "humidity_limit": -1}, "Damper by")
    g.number("pack_loss", "Shorter per cent")
    g.times("pack_lost", "ms", "damper", "pack_loss", 10_000, "Shorter by")
    g.number("pack_window", "Time to pack in dry air")
    g.sum("pack_left", "ms", {"pack_window": 1, "pack_lost": -1}, "Time to pack here")
    g.add("pack_most", "ms", ["min", "pack_window", "pack_left"], "At most")
    g.add("pack_within", "ms", ["max", "no_time", "pack_most"], "Pack within", band=True)
