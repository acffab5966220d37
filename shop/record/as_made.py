"""A boil as it was made: what was laid up when, what was weighed, what went off, what is kept."""

from dataclasses import dataclass
from typing import Any

from shop.plan.whole import half_up
from shop.record.check import Sheet
from shop.record.report import deviation
from shop.record.steps import State
from shop.record.turns import reading_end

PPM = 1_000_000
ROUNDS = ("band", "jacket")
# What is weighed before and beside the portions, and the figure that was planned for it.
CHARGE = (
    ("sugar_weighed", "sugar_planned"),
    ("syrup_weighed", "syrup_planned"),
    ("water_weighed", "water_planned"),
    ("acid_weighed", "acid_dose"),
    ("flavour_weighed", "flavour_dose"),
)
LOG = ("log_mass", "log_mass_forecast")
KEPT = "retain"


@dataclass(frozen=True, slots=True)
class Weighed:
    """Something weighed, of this record of the sheet [mg]; `planned` as the sheet first said."""

    record: str
    label: str
    planned: int | None
    weighed: int | None


@dataclass(frozen=True, slots=True)
class KeptSample:
    """What was kept of a boil: how much [mg], when [ms], by whom, and where as the step says."""

    mg: int
    at: int
    by: str
    where: str


@dataclass(frozen=True, slots=True)
class AsMade:
    """What to know of a boil before it is made again.

    `blocks`: ids in the order they were laid up; `moved`: whether the sheet had another order.
    `ratios`: portion → what was weighed over what was wanted [ppm], where that went off.
    `off`: what went off and what was changed; `notes`: texts as written.
    """

    blocks: tuple[str, ...]
    moved: bool
    ratios: dict[str, int]
    weighed: tuple[Weighed, ...]
    reading_end: str
    off: tuple[tuple[str, str], ...]
    notes: tuple[str, ...]
    bags: int | None
    kept: KeptSample | None


def as_made(sheet: Sheet, state: State, planned: dict[str, int | None]) -> AsMade:
    """The boil of this sheet as far as its entries go; `planned` are its figures before them."""
    blocks = _blocks(sheet, state)
    drawn = [b["id"] for b in sheet["blocks"] if b["id"] not in ROUNDS]
    return AsMade(
        blocks=tuple(blocks),
        moved=blocks != drawn,
        ratios=_ratios(sheet, state),
        weighed=tuple(_weighed(sheet, state, planned)),
        reading_end=reading_end(sheet, state["turns"]),
        off=tuple(_off(sheet, entry) for entry in state["off"]),
        notes=tuple(note["text"] for note in state["notes"]),
        bags=state["tallies"].get("bags"),
        kept=_kept(sheet, state),
    )


def _blocks(sheet: Sheet, state: State) -> list[str]:
    """By when each was ticked; one that never was stays behind the one before it on the sheet."""
    found, last = [], 0
    for block in sheet["blocks"]:
        step = state["steps"].get(block["step"], {"state": ""})
        last = step["at"] if step["state"] == "done" else last
        if block["id"] not in ROUNDS:
            found.append((last, block["id"]))
    return [ident for _, ident in sorted(found, key=lambda pair: pair[0])]


def _ratios(sheet: Sheet, state: State) -> dict[str, int]:
    """Only where the sheet's own limits say that it was another weight."""
    off = {entry["code"]: entry for entry in state["off"]}
    return {
        p["id"]: half_up(2 * entry["value"] * PPM, entry["low"] + entry["high"])
        for p in sheet["portions"]
        if p["record"] and (entry := off.get(p["id"])) and entry["value"]
    }


def _weighed(sheet: Sheet, state: State, planned: dict[str, int | None]) -> list[Weighed]:
    portions = [(p["record"], p["figure"]) for p in sheet["portions"] if p["record"]]
    return [
        Weighed(what, sheet["records"][what]["label"], planned.get(figure), _latest(state, what))
        for what, figure in (*CHARGE, *portions, LOG)
        if what in sheet["records"]
    ]


def _latest(state: State, what: str) -> int | None:
    value: int | None = state["latest"].get(what)
    return value


def _off(sheet: Sheet, entry: dict[str, Any]) -> tuple[str, str]:
    mended = entry["mended"] or {"text": ""}
    said = deviation(sheet, entry, {})["say"]
    words = f"{said}: {entry['text']}" if entry["text"] not in ("", said) else said
    return words, mended["text"]


def _kept(sheet: Sheet, state: State) -> KeptSample | None:
    """The sample as it was weighed, and the step that says where it goes."""
    reading = state["values"].get(KEPT)
    step = next((s for s in sheet["steps"].values() if KEPT in s["record"]), None)
    if reading is None or step is None:
        return None
    return KeptSample(reading["value"], reading["at"], reading["by"], step["say"])
