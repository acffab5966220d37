"""Where every gram went: from the charge to the log, from the log to the bags, and the rest."""

from collections.abc import Mapping
from math import isqrt
from typing import Any

from shop.plan.evaluate import evaluate
from shop.plan.whole import half_up
from shop.record.check import Sheet
from shop.record.reading import fixed_value
from shop.record.steps import State
from shop.sentences import Sentence

Line = dict[str, Any]
PPM = 1_000_000

# From the kettle to the log: figure by figure, and which record says that it was weighed.
BEFORE = (
    ("charge", Sentence("Charge"), 1, "charge", "sugar_weighed"),
    ("boiled_off", Sentence("Boiled off, reckoned from the peak"), -1, "", "peak"),
    ("acid", Sentence("Acid"), 1, "acid_mass", "acid_weighed"),
    ("flavour", Sentence("Flavour"), 1, "flavour_mass", "flavour_weighed"),
)
SCRAP = Sentence("Scrap melted in")
LEFT = Sentence("On iron, colours over, not weighed")


def mass_balance(sheet: Sheet, state: State) -> dict[str, Any]:
    """What came in, where it went, and the unexplained rest [mg]; `missing` lines have no value."""
    lines = [
        {
            **{k: line[k] for k in ("id", "label", "sign")},
            "mg": state["figures"].get(line["figure"]),
        }
        for line in sheet["balance"]
    ]
    missing = [line["label"] for line in lines if line["mg"] is None]
    return {
        "lines": lines,
        "unaccounted": None if missing else rest_of(lines),
        "missing": missing,
    }


def whole_balance(sheet: Sheet, state: State, melted: int = 0) -> dict[str, Any]:
    """The balance with how sure its rest is and the way from the charge to the log.

    `melted` [mg] is scrap of other boils that went into the kettle beside the charge. `doubt` [mg]
    is how far the rest may be off by the steps of the scales alone; `before` are the lines from
    the charge to the log, empty where one of them was not taken.
    """
    balance = mass_balance(sheet, state)
    doubt = None if balance["missing"] else _doubt(sheet, state)
    return {**balance, "doubt": doubt, "before": _before(state, balance["lines"], melted)}


def rest_of(lines: list[Line]) -> int:
    """What came in less what is known to have gone out [mg]."""
    return sum(line["mg"] * line["sign"] for line in lines if line["mg"] is not None)


def came_in(balance: Mapping[str, Any]) -> int:
    """What came in [mg]."""
    return sum(line["mg"] or 0 for line in balance["lines"] if line["sign"] > 0)


def yield_of(balance: Mapping[str, Any]) -> int | None:
    """Packed over what came in [ppm]."""
    into = came_in(balance)
    packed = next((line["mg"] for line in balance["lines"] if line["id"] == "packed"), None)
    return half_up(packed * PPM, into) if packed is not None and into else None


def _doubt(sheet: Sheet, state: State) -> int:
    """± of the rest from the steps of the scales [mg], two standard uncertainties.

    A reading shown to a step δ is anywhere within it: its standard uncertainty is δ/√12, and
    independent ones add as squares (JCGM 100:2008, 5.1.2 and F.2.2.1, from memory). How much the
    rest follows a reading is found by moving that reading by its step.
    """
    graph = _graph_of(sheet)
    still = _rest(sheet, graph, state, {})
    moved = [_rest(sheet, graph, state, {what: s}) for what, s in _steps(sheet, graph, state)]
    return isqrt(sum((rest - still) ** 2 for rest in moved) // 3)


def _graph_of(sheet: Sheet) -> list[Line]:
    """The part of the sheet's graph that its balance hangs on, in order."""
    needed = {line["figure"] for line in sheet["balance"]}
    found = []
    for quantity in reversed(sheet["graph"]):
        if quantity["name"] in needed:
            found.append(quantity)
            needed |= set(_texts(quantity["op"]))
    return found[::-1]


def _texts(op: list[Any]) -> list[str]:
    """Every text of an operation; the names of quantities are among them."""
    flat = [x for part in op for x in (part if isinstance(part, list) else [part])]
    return [x for x in flat if isinstance(x, str)]


def _steps(sheet: Sheet, graph: list[Line], state: State) -> list[tuple[str, int]]:
    """Each weight that was read for these quantities, and the step of its last figure [mg]."""
    read = {quantity["op"][1] for quantity in graph if quantity["op"][0] == "read"}
    found = []
    for what in sorted(read & set(state["latest"])):
        record = sheet["records"][what]
        if record["fixed"] == "mg":
            entry = _newest(state, what)
            shown = [fixed_value(record, entry["unit"], entry["n"] + i, entry["d"]) for i in (0, 1)]
            found.append((what, shown[1] - shown[0]))
    return found


def _newest(state: State, what: str) -> Line:
    of_it = [(key, entry) for key, entry in state["values"].items() if key.split("#")[0] == what]
    newest: Line = max(of_it, key=lambda pair: (pair[1]["at"], pair[0]))[1]
    return newest


def _rest(sheet: Sheet, graph: list[Line], state: State, more: Mapping[str, int]) -> int:
    latest = {what: value + more.get(what, 0) for what, value in state["latest"].items()}
    inputs = {"latest": latest, "moments": state["moments"], "tallies": state["tallies"]}
    figures = evaluate(graph, inputs)
    return sum((figures[line["figure"]] or 0) * line["sign"] for line in sheet["balance"])


def _before(state: State, lines: list[Line], melted: int) -> list[Line]:
    """The lines from the charge to the log; they add up to it, the last one is what is left."""
    figures, log = state["figures"], next((x["mg"] for x in lines if x["id"] == "log"), None)
    needed = [figures.get(name) for name in ("charge", "base_mass", "acid_mass", "flavour_mass")]
    weighed = all(record in state["latest"] for *_, record in BEFORE)
    if log is None or not weighed or None in needed:
        return []
    masses = {**figures, "": figures["charge"] - figures["base_mass"]}
    found = [
        {"id": ident, "label": label, "sign": sign, "mg": masses[figure]}
        for ident, label, sign, figure, _ in BEFORE
    ]
    if melted:
        found.insert(1, {"id": "scrap", "label": SCRAP, "sign": 1, "mg": melted})
    return [*found, {"id": "left", "label": LEFT, "sign": -1, "mg": rest_of(found) - log}]
