"""Every temperature of a boil: as it was read, with which thermometer, and put right once."""

from collections.abc import Mapping
from typing import Any

from shop.record.check import Sheet
from shop.record.steps import State

Line = dict[str, Any]
TEST = "boiling_water"
PASSED = "at_"


def temperatures(
    sheet: Sheet, state: State, readings: list[Line], names: Mapping[str, str]
) -> list[Line]:
    """All temperatures that stand, by when they were read [m°C].

    `value` is as read, `true` with the correction that the test in boiling water gives for this
    very thermometer, `correction` 0 for any other. What a step says it passed (130 °C) counts as
    read on the thermometer that was tested.
    """
    found = [_read(sheet, state, r) for r in readings if _stands(r)]
    found += [_passed(sheet, state, name, names) for name in state["moments"] if _degrees(name)]
    return sorted(found, key=lambda line: (line["at"], line["label"]))


def _stands(reading: Line) -> bool:
    return reading["fixed"] == "m°C" and not (reading["struck_by"] or reading["replaced_by"])


def correction_of(state: State, instrument: str) -> int:
    """What to add to this thermometer's readings [mK]; 0 where it was not tested, or is suspect."""
    tested = state["values"].get(TEST)
    error = state["figures"].get("trusted_error")
    return -error if tested and error and tested["instrument"] == instrument else 0


def _read(sheet: Sheet, state: State, reading: Line) -> Line:
    # The test itself is what the correction comes from.
    more = 0 if reading["what"] == TEST else correction_of(state, reading["instrument"])
    record = sheet["records"][reading["what"]]
    kept = {name: reading[name] for name in ("what", "label", "how", "instrument", "by", "ref")}
    return {
        **kept,
        "at": reading["happened"],
        "instrument_name": record["instrument_name"],
        "value": reading["value"],
        "correction": more,
        "true": reading["value"] + more,
        "target": reading["target"],
        "tolerance": reading["tolerance"],
    }


def _degrees(moment: str) -> int:
    """The °C in the name of a moment such as `at_130`; 0 for any other."""
    number = moment.removeprefix(PASSED)
    return int(number) if moment.startswith(PASSED) and number.isdecimal() else 0


def _passed(sheet: Sheet, state: State, moment: str, names: Mapping[str, str]) -> Line:
    key = next(k for k, s in sheet["steps"].items() if s["moment"] == moment)
    step, value = state["steps"][key], _degrees(moment) * 1000
    tested = state["values"].get(TEST, {"instrument": ""})["instrument"]
    more = correction_of(state, tested)
    return {
        **{"what": moment, "label": sheet["steps"][key]["say"], "how": "passed"},
        **{"instrument": tested, "instrument_name": _named(sheet, tested)},
        **{"by": names.get(step["by"], step["by"]), "ref": step["ref"], "at": step["at"]},
        **{"value": value, "correction": more, "true": value + more},
        **{"target": None, "tolerance": 0},
    }


def _named(sheet: Sheet, instrument: str) -> str:
    records = sheet["records"].values()
    return next((r["instrument_name"] for r in records if r["instrument"] == instrument), "")
