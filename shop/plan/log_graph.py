"""The graph's middle: the log, its length, its section, and the sheets rolled round it."""

import math
from collections.abc import Sequence

from shop.plan.graph import Graph
from shop.plan.portion import PPM, Portion, Round

FOUR_PI = 12_566_371  # 4π in millionths
PI = 3_141_592_654  # π in parts of 10⁹
# Square roots by straight lines between diameters 2 mm apart: 0.03 % off at most, at 40 mm.
DIAMETERS_UM = range(40_000, 300_001, 2_000)


def write(g: Graph, portions: list[Portion], rounds: Sequence[Round]) -> None:
    """From the weighed portions to the closed log."""
    _length(g, portions)
    _section(g)
    _rounds(g, rounds)


def _length(g: Graph, portions: list[Portion]) -> None:
    """The portion that runs out first ends the log; light white makes it fatter."""
    reaches = [f"{p.id}_reach" for p in portions]
    g.add("log_length_forecast", "um", ["min", *reaches], "Log length", band=True)
    g.read("log_length", "um", "log_length", "log_length_forecast", "Log length")
    for p in portions:
        g.times(
            f"{p.id}_used", "mg", "log_length_forecast", f"{p.id}_per_metre", PPM, f"{p.name} used"
        )
        g.sum(f"{p.id}_spare", "mg", {f"{p.id}_mass": 1, f"{p.id}_used": -1}, f"{p.name} over")
        density = g.given(
            f"{p.id}_density_set", "g/m3", p.density, f"{p.name} density, set", p.doubt
        )
        if p.white:
            density = g.read(
                f"{p.id}_density", "g/m3", "white_density", density, f"{p.name} density"
            )
        g.over(f"{p.id}_volume", "mm3", f"{p.id}_used", density, PPM, f"{p.name} volume")
    g.sum("log_mass_forecast", "mg", {f"{p.id}_used": 1 for p in portions}, "Log mass", band=True)
    g.read("log_mass", "mg", "log_mass", "log_mass_forecast", "Log mass")
    g.sum("log_volume", "mm3", {f"{p.id}_volume": 1 for p in portions}, "Log volume")
    g.over("mean_density", "g/m3", "log_mass_forecast", "log_volume", PPM, "Density", band=True)


def _section(g: Graph) -> None:
    """Area and diameter, from the girth where it was read."""
    g.over("area_forecast", "um2", "log_volume", "log_length_forecast", 10**9, "Section area")
    g.read("girth_read", "um", "girth", "", "Girth")
    by_girth = ["product", "girth_read", "girth_read", 10**6, FOUR_PI]
    g.add("area_by_girth", "um2", by_girth, "Section by girth")
    g.add("log_area", "um2", ["first", "area_by_girth", "area_forecast"], "Section area")
    _root(g, "log_diameter", "log_area", "Log diameter", band=True)


def _rounds(g: Graph, rounds: Sequence[Round]) -> None:
    """How far each sheet must reach round a log as thick as this one, and how thick it lies.

    A sheet keeps its volume: area = thickness · mean of the girths outside and inside it.
    """
    outside, across = "log_area", "log_diameter"
    for r in rounds:
        whole, part = f"{r.portion}_volume", f"{r.id}_part"
        g.given(part, "ppm", r.share, f"{r.name}, of its sugar")
        g.times(f"{r.id}_volume", "mm3", whole, part, PPM, f"{r.name} volume")
        area = f"{r.id}_area"
        g.over(area, "um2", f"{r.id}_volume", "log_length_forecast", 10**9, f"{r.name} area")
        g.sum(f"{r.id}_inside", "um2", {outside: 1, area: -1}, f"Inside the {r.name.lower()}")
        inner = f"{r.id}_inner"
        _root(g, inner, f"{r.id}_inside", f"Across, inside the {r.name.lower()}")
        g.sum(f"{r.id}_across", "um", {across: 1, inner: 1}, "Twice across the middle of it")
        g.given(f"{r.id}_half_pi", "1", PI / 2, "Half of π")
        reach = f"{r.id}_wide"
        g.times(reach, "um", f"{r.id}_across", f"{r.id}_half_pi", 10**9, f"{r.name}, wide")
        g.over(f"{r.id}_thick", "um", area, reach, 1, f"{r.name}, thick")
        outside, across = f"{r.id}_inside", inner


def _root(g: Graph, name: str, area: str, says: str, *, band: bool = False) -> None:
    """The diameter of a circle of that area."""
    across = {round(d * d * math.pi / 4): d for d in DIAMETERS_UM}
    g.table(name, "um", area, list(across), lambda a: across[a], says, band=band)
