"""Readings: from what stood on the instrument to the fixed unit, exactly."""

from typing import Any

from shop.plan.whole import half_up

SCALES = (1, 10, 100, 1000)
# Steps of a scale or a gauge that are as fine as the metric one they stand for.
FINER = {"oz": 100, "in": 1000, "lb": 100, "kg": 1000, "g/cm3": 1000}


def fixed_value(record: dict[str, Any], unit: str, n: int, d: int) -> int:
    """`(n/d + offset) · factor` in the record's fixed unit, rounded half up.

    >>> celsius = {"units": {"degF": {"factor": [5000, 9], "offset": [-32, 1]}}}
    >>> fixed_value(celsius, "degF", 212, 1)
    100000
    """
    (up, down), (add, per) = record["units"][unit]["factor"], record["units"][unit]["offset"]
    return half_up((n * per + add * d) * up, d * per * down)


def parts(record: dict[str, Any], unit: str) -> int:
    """Parts of one in which a unit is entered: the record's own, or finer where it is coarser."""
    own: int = record["d"]
    return own if unit == record["unit"] else max(own, FINER.get(unit, 1))


def to_unit(record: dict[str, Any], unit: str, fixed: int) -> dict[str, int]:
    """The reading `{n, d}` nearest to a fixed value, at the resolution of its entry."""
    (up, down), (add, per) = record["units"][unit]["factor"], record["units"][unit]["offset"]
    d = parts(record, unit)
    return {"n": half_up((fixed * down * per - add * up) * d, up * per), "d": d}


def problem_with(record: dict[str, Any] | None, body: dict[str, Any]) -> str:
    """Why a reading can't be used: `record`, `unit`, `scale`, `low`, `high`, or `""`."""
    if record is None:
        return "record"
    if body["unit"] not in record["units"]:
        return "unit"
    if body["d"] not in SCALES:
        return "scale"
    value = fixed_value(record, body["unit"], body["n"], body["d"])
    return "low" if value < record["low"] else "high" if value > record["high"] else ""
