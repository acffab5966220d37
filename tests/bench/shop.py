"""A shop for the bench: its own data folder, one open batch, one phone that may push."""

from pathlib import Path
from typing import Any

from tests.programs import beside

ADD_PHONE = """
from shop.store import phones, access
shop = access.only_shop()
added = phones.join(code=phones.new_code(shop.id), address="bench")
answer = {"device": added.device, "token": added.token, "epoch": shop.epoch,
          "code": phones.new_code(shop.id), "entries": 0}
"""
ADD_PHONES = """
from shop.store import batches, phones, access
shop = access.only_shop()
open_now = sorted(batch.key for batch in batches.batches(shop.id, "open"))
answer = []
for n in range({}):
    added = phones.join(code=phones.new_code(shop.id), address="bench")
    answer.append({{"device": added.device, "token": added.token, "epoch": shop.epoch,
                   "batches": ",".join(open_now), "batch": open_now[n % len(open_now)]}})
"""


def add_phones(data: Path, number: int) -> list[dict[str, Any]]:
    """Phones that follow every open boil, as phones do, and press at one of them each."""
    found: list[dict[str, Any]] = beside(data, ADD_PHONES.format(number))
    return found


def add_phone(data: Path) -> dict[str, Any]:
    """A phone's id and token, and a code for a browser."""
    found: dict[str, Any] = beside(data, ADD_PHONE)
    return found


def event_lines(device: str, n: int, batch: str = "demo-planned") -> list[str]:
    """`n` sound events of about the usual kinds for one of the demo's batches."""
    from shop.demo.scenario import when
    from shop.plan.canonical import canonical

    start = when("10:55")
    steps = ["cook.boil", "cook.lid", "table.skin", "hook.pull", "block.hive", "block.door"]
    events = (_event(device, i + 1, start + i * 1370, steps[i % len(steps)]) for i in range(n))
    return [canonical({**event, "batch": batch}) for event in events]


def _event(device: str, seq: int, moment: int, step: str) -> dict[str, Any]:
    choices: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
        ("step_done", {"step": step, "station": "kettle"}, {}),
        ("tally_counted", {"station": "roller"}, {"what": "rods", "add": 1}),
        (
            "reading_taken",
            {"station": "roller", "nth": seq},
            {
                **{"what": "gauge", "n": 138 + seq % 5, "d": 10, "unit": "mm"},
                **{"instrument": "rod-gauge", "how": "gauge"},
            },
        ),
        ("note_written", {"station": "table"}, {"text": f"Turned, even, no streak {seq}"}),
    ]
    kind, place, body = choices[seq % 4]
    return {
        **{"device": device, "seq": seq, "v": 1, "kind": kind},
        **{"by": ["maren", "tobit", "isolde"][seq % 3], "recorded": moment, "happened": moment},
        **{"offset": 0, "bound": 20, "known": "pressed", "within": 0, "hlc": [moment, 0]},
        **place,
        "body": body,
    }
