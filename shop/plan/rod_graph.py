"""The graph's lower half: rods, pieces, packs, and where the log went."""

from shop.plan.graph import Graph
from shop.plan.portion import PPM, Wanted

CIRCLE = 785_398_163  # π/4 in parts of 10⁹


def write(g: Graph, wanted: Wanted) -> None:
    """From the log to the packs."""
    _rods(g, wanted)
    _pieces(g, wanted)
    _packs(g, wanted)
    _balance(g)


def _rods(g: Graph, wanted: Wanted) -> None:
    """From the log to metres of rod, by volume."""
    g.given("rod_wanted", "um", wanted.rod_um, "Rod wanted")
    g.read("rod_diameter", "um", "gauge", "rod_wanted", "Rod gauge")
    g.given("gauge_low", "um", wanted.rod_um - 500, "Thinnest rod")
    g.given("gauge_high", "um", wanted.rod_um + 500, "Thickest rod")
    for name, d in (("rod_area_wanted", "rod_wanted"), ("rod_area", "rod_diameter")):
        g.add(name, "um2", ["product", d, d, CIRCLE, 10**9], "Rod section")
    g.over("diameter_ratio", "ratio", "log_diameter", "rod_wanted", PPM, "Diameter ratio")
    ratio = ("log_area", "rod_area_wanted")
    g.over("length_ratio", "ratio", *ratio, PPM, "Length ratio", band=True)
    for end in ("head", "tail"):
        share = g.number(f"{end}_share", f"{end.title()} share")
        g.times(f"{end}_planned", "mg", "log_mass", share, PPM, f"{end.title()} expected")
        g.read(f"{end}_mass", "mg", end, f"{end}_planned", end.title())
    terms = {"log_mass": 1, "head_mass": -1, "tail_mass": -1}
    g.sum("rods_mass", "mg", terms, "In good rods", band=True)
    g.over("rods_volume", "mm3", "rods_mass", "mean_density", PPM, "Volume of the rods")
    g.over("rod_metres", "um", "rods_volume", "rod_area", 10**9, "Good rod", band=True)
    g.number("rod_length", "Rod length")
    g.over("rods", "1", "rod_metres", "rod_length", 1, "Rods", band=True)
    g.read("oval_read", "um", "oval", "", "Widest less narrowest")
    g.over("oval_share", "ppm", "oval_read", "rod_diameter", PPM, "Oval")


def _pieces(g: Graph, wanted: Wanted) -> None:
    """A thick rod is cut shorter, so that a piece keeps its mass."""
    g.given("piece_wanted", "um", wanted.piece_um, "Piece length wanted")
    g.times("piece_volume", "1", "rod_area_wanted", "piece_wanted", 10**9, "mm³ a piece")
    g.times("piece_mass", "mg", "piece_volume", "mean_density", PPM, "A piece", band=True)
    thinner = ["quotient", "rod_area_wanted", "rod_area", PPM, 1]
    g.add("rod_area_ratio", "ppm", thinner, "Thinner by")
    g.times("cut_length", "um", "piece_wanted", "rod_area_ratio", PPM, "Cut at")


def _packs(g: Graph, wanted: Wanted) -> None:
    """What will be packed; where it runs short, the extra in each bag shrinks first."""
    g.number("dust_share", "Dust and chips")
    g.sum("keep_share", "ppm", {"whole": 1, "dust_share": -1}, "Not dust")
    g.times("cut_mass", "mg", "rods_mass", "keep_share", PPM, "In whole pieces")
    _rejects(g)
    n = g.numbers
    g.given("set_aside", "mg", n["trial_mass"] + n["retain_mass"], "Trials and kept sample")
    terms = {"cut_mass": 1, "set_aside": -1, "rejects_forecast": -1}
    g.sum("net_mass", "mg", terms, "To pack", band=True)
    g.over("pieces", "1", "net_mass", "piece_mass", 1, "Pieces", band=True)
    g.given("packs_wanted", "1", wanted.packs, "Bags ordered")
    g.given("label_fill", "mg", wanted.fill_mg, "On the label")
    g.number("giveaway", "Extra in a bag, set", "giveaway_set")
    g.floor_over("fill_left", "mg", "net_mass", "packs_wanted", "A bag, if only those ordered")
    g.sum("giveaway_left", "mg", {"fill_left": 1, "label_fill": -1}, "Extra that is left")
    g.given("no_extra", "mg", 0, "None")
    g.add("giveaway_least", "mg", ["max", "no_extra", "giveaway_left"], "Extra, at least")
    g.add("giveaway", "mg", ["min", "giveaway_set", "giveaway_least"], "Extra in a bag")
    g.sum("fill", "mg", {"label_fill": 1, "giveaway": 1}, "In a bag")
    g.floor_over("packs", "1", "net_mass", "fill", "Bags forecast", band=True)
    g.sum("packs_spare", "1", {"packs": 1, "packs_wanted": -1}, "Bags over the order")


def _rejects(g: Graph) -> None:
    """Bad pieces of the first rack stand for all racks."""
    g.number("rack_rods", "Rods in a rack")
    g.times("rack_metres", "um", "rod_length", "rack_rods", 1, "Rod in a rack")
    g.over("mg_per_rod_metre", "1", "rods_mass", "rod_metres", PPM, "Rod, mg a metre")
    g.times("rack_mass", "mg", "rack_metres", "mg_per_rod_metre", PPM, "In a rack")
    g.read("rejects_read", "mg", "rejects", "", "Bad pieces of the first rack")
    g.over("reject_share", "ppm", "rejects_read", "rack_mass", PPM, "Bad in the first rack")
    g.given("no_rejects", "ppm", 0, "None seen yet")
    g.add("reject_expected", "ppm", ["first", "reject_share", "no_rejects"], "Bad, expected")
    a, b = "cut_mass", "reject_expected"
    g.times("rejects_forecast", "mg", a, b, PPM, "Bad pieces, forecast")


def _balance(g: Graph) -> None:
    """Where the log went, from what was weighed; unknown stays unknown."""
    for what in ("head", "tail", "rejects", "dust", "trial", "retain"):
        g.read(f"{what}_weighed_mass", "mg", what, "", what.title())
    g.read("log_weighed_mass", "mg", "log_mass", "", "Log, weighed")
    g.add("bags", "1", ["tally", "bags"], "Bags packed")
    g.read("bag_mass", "mg", "bag_mass", "fill", "In a bag, mean")
    g.times("packed_mass", "mg", "bags", "bag_mass", 1, "Packed")
