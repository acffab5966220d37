"""The fold: (sheet, events) → state. `static/js/record/fold.js` does exactly the same.

Total, deterministic, and independent of the order and number in which events arrive. The shape
of the state is in docs/contracts.md, section 4.
"""

from collections.abc import Iterable
from typing import Any, TypeAlias

from shop.plan.evaluate import evaluate
from shop.record import aspects, people, progress, values
from shop.record.check import Sheet
from shop.record.deviations import deviations
from shop.record.live import Live
from shop.record.order import Event, in_order
from shop.record.turns import turned

VERSION = 6

State: TypeAlias = dict[str, Any]


def fold(sheet: Sheet, events: Iterable[Event]) -> State:
    """The state of a batch after these events (docs/contracts.md, section 4)."""
    live = Live(sheet, in_order(events))
    done = progress.fold_steps(live)
    read = values.fold_values(sheet, live)
    inputs = {
        "moments": progress.moments(sheet, done),
        "latest": values.latest(read),
        "tallies": aspects.tallies(live),
    }
    figures = evaluate(sheet["graph"], inputs)
    return {
        **aspects.life(sheet, live),
        **inputs,
        "figures": figures,
        "steps": done,
        "values": read,
        "dropped": progress.dropped(live),
        "owed": progress.owed(sheet, live, done, read),
        "off": deviations(sheet, live, done, read, figures),
        "conflicts": [
            *progress.reopened_unseen(live),
            *values.two_corrections(live),
            *people.two_took(sheet, live),
        ],
        **people.hands(sheet, live),
        **turned(live),
        **aspects.words(live),
        "lots": aspects.lots(live),
        "counted": aspects.counted(live),
        "at_stations": aspects.at_stations(live),
        "unread": live.unread,
        "unfiled": live.unfiled,
    }
