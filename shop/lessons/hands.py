"""What a finished boil took of hands, and how much of the log became packs."""

from collections.abc import Iterable, Mapping
from statistics import median_low
from typing import Any

from shop.plan.whole import half_up
from shop.record import balance

# With one press, or two within this, nobody can say how long somebody worked [ms].
LEAST = 900_000
MINUTE = 60_000


def minutes_by_role(sheet: Mapping[str, Any], state: Mapping[str, Any]) -> dict[str, int]:
    """Role's name → minutes from the first to the last thing somebody of that role pressed.

    A role that pressed nothing is left out: it is not known to have worked no time.
    """
    roles = {person["id"]: person["role"] for person in sheet["people"]}
    done = [e for e in state["steps"].values() if e["state"] == "done"]
    moments: dict[str, list[int]] = {}
    for entry in (*done, *state["values"].values()):
        if entry["by"] in roles:
            moments.setdefault(roles[entry["by"]], []).append(entry["at"])
    spans = {role: max(at) - min(at) for role, at in moments.items()}
    return {role: half_up(span, MINUTE) for role, span in spans.items() if span >= LEAST}


def yield_of(sheet: Mapping[str, Any], state: Mapping[str, Any]) -> int | None:
    """Packed over what came in [ppm]; None where either was not weighed."""
    found: int | None = balance.yield_of(balance.mass_balance(dict(sheet), dict(state)))
    return found


def middle(values: Iterable[int]) -> int | None:
    """The median, of an even number the lower one; None of nothing."""
    known = list(values)
    return median_low(known) if known else None
