"""What a colleague or an inspector asks first of a boil, on one page."""

from collections import Counter
from collections.abc import Iterable, Mapping
from dataclasses import asdict
from typing import Any

from shop.record.check import Sheet
from shop.record.made import composition
from shop.record.order import Event
from shop.record.steps import State
from shop.sentences import Sentence

Line = dict[str, Any]

# The moments of a boil in the order in which they come, as far as its sheet has them.
MOMENTS = {
    "lit": Sentence("Lit"),
    "boil": Sentence("At the boil"),
    "at_130": Sentence("130 °C"),
    "at_140": Sentence("140 °C, flame low"),
    "poured": Sentence("Poured"),
    "closed": Sentence("Log closed"),
    "first_rod": Sentence("First rod"),
    "last_rod": Sentence("Last rod"),
    "last_cut": Sentence("Last cut"),
    "packed": Sentence("Packed"),
}
OFF = Sentence("Taken off, as read")
# How the presser was known: checked by the shop, on the phone, at the desk, or not at all.
WAYS = ("shop", "phone", "desk", "")


def summary(
    sheet: Sheet, events: Iterable[Event], state: State, names: Mapping[str, str]
) -> dict[str, Any]:
    """What was made for whom, its moments, the cook, what came of it, and who signed how."""
    figures = state["figures"]
    return {
        "letter": sheet.get("boil", {}).get("letter", ""),
        "order": sheet.get("order", {}),
        "crew": [person["name"] for person in state["crew"]],
        "moments": _moments(state),
        "minutes": _minutes(state),
        "peak": _peak(state),
        "above_130": figures.get("above_130"),
        "log": figures.get("log_weighed_mass"),
        "packed": figures.get("packed_mass"),
        "bags": state["tallies"].get("bags"),
        "rods": state["tallies"].get("rods"),
        "made_of": _made_of(sheet, state),
        "signed": _signed(events, names),
    }


def _moments(state: State) -> list[Line]:
    """When it was lit, boiled, taken off, poured … [ms], in that order."""
    at = state["moments"]
    found = [{"id": m, "label": label, "at": at[m]} for m, label in MOMENTS.items() if m in at]
    peak = state["values"].get("peak")
    if peak is None:
        return found
    place = next((i for i, line in enumerate(found) if line["at"] > peak["at"]), len(found))
    return [*found[:place], {"id": "off", "label": OFF, "at": peak["at"]}, *found[place:]]


# What lies between two moments, in the trade's words.
BETWEEN = (
    ("cook", Sentence("Cook: lit to poured"), "lit", "poured"),
    ("hot", Sentence("Above 130 °C"), "at_130", "poured"),
    ("build", Sentence("Poured to log closed"), "poured", "closed"),
    ("wait", Sentence("Log closed to first rod"), "closed", "first_rod"),
    ("draw", Sentence("First rod to last rod"), "first_rod", "last_rod"),
    ("cut", Sentence("Last rod to last cut"), "last_rod", "last_cut"),
    ("pack", Sentence("Last cut to packed"), "last_cut", "packed"),
)


def _minutes(state: State) -> list[Line]:
    """How long each stage took [ms], None where an end of it was not recorded."""
    at = state["moments"]
    return [
        {"id": key, "label": label, "ms": at[b] - at[a] if a in at and b in at else None}
        for key, label, a, b in BETWEEN
    ]


def _peak(state: State) -> Line | None:
    """The peak as read, put right, and beside the mark of this thermometer [m°C, mK]."""
    read = state["values"].get("peak")
    if read is None:
        return None
    figures = state["figures"]
    kept = {"read": read["value"], "at": read["at"], "instrument": read["instrument"]}
    named = (("true", "peak_true"), ("mark", "take_off_mark"), ("over", "overcook"))
    return {**kept, **{name: figures.get(figure) for name, figure in named}}


def _made_of(sheet: Sheet, state: State) -> Line:
    """What went in with its lots, and what nobody said; empty for sheets of before."""
    if "materials" not in sheet:
        return {"ingredients": [], "gaps": []}
    words = {lot["id"]: lot["words"] for row in sheet["materials"] for lot in row["lots"]}
    made = composition(sheet, state)
    found = [asdict(one) for one in (*made.ingredients, *made.packaging)]
    rows = [{k: one[k] for k in ("material", "kind", "name", "mg", "weighed")} for one in found]
    lots = [[words.get(lot, lot) for lot in one["lots"] if lot] for one in found]
    return {
        "ingredients": [{**row, "lots": of} for row, of in zip(rows, lots, strict=True)],
        "gaps": list(made.gaps),
    }


def _signed(events: Iterable[Event], names: Mapping[str, str]) -> list[Line]:
    """How many entries each person pressed, by how it is known that it was them."""
    pressed = Counter((event["by"], event.get("signed", "")) for event in events)
    people = sorted({by for by, _ in pressed}, key=lambda by: (by == "", names.get(by, by)))
    return [
        {
            **{"who": by, "name": names.get(by, by)},
            **{way or "unsigned": pressed[(by, way)] for way in WAYS},
        }
        for by in people
    ]
