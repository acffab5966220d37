"""The reckoning graph: how one reading re-plans everything below it.

Built from `craft` once, when the sheet is frozen; evaluated on every phone with whole numbers.
The rules where a weight or a density is off are in docs/decisions/0004-length-gives.md.
"""

from collections.abc import Sequence

from shop.plan import kettle_graph, log_graph, rod_graph, time_graph
from shop.plan.graph import Graph, Inputs
from shop.plan.numbers import Numbers
from shop.plan.portion import Portion, Round, Wanted


def reckoning(
    numbers: Numbers, portions: list[Portion], rounds: Sequence[Round], wanted: Wanted
) -> Graph:
    """The graph of one batch; `rounds` from the outermost inwards."""
    g = Graph(numbers)
    kettle_graph.write(g, wanted, portions)
    log_graph.write(g, portions, rounds)
    rod_graph.write(g, wanted)
    time_graph.write(g, wanted)
    g.settle_bands(a_day_a_little_off(numbers))
    return g


def a_day_a_little_off(n: Numbers) -> Inputs:
    """Where bands are sampled: nothing that only a fault calls forth is nought there.

    Three kelvins over the mark, a table and a part out of their limits, damp at packing.
    """
    latest = {
        "peak": n["take_off_sea_level"] + 3_000,
        "table_temperature": n["table_limit"] + 5_000,
        "part_temperature": n["part_limit"] - 2_000,
        "pack_humidity": n["humidity_limit"] + 50_000,
        "oval": 1_000,
    }
    return {"latest": latest, "moments": {}, "tallies": {}}
