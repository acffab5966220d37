"""The only writer of events.

The order is always: judge, lock the shop's counter row, find what is there already, insert, move
the counter and the heads, commit. Nothing is answered before the commit.
"""

from collections.abc import Iterable
from typing import Any

from django.db import transaction

from shop.models import Device
from shop.plan.canonical import canonical
from shop.record.check import decode
from shop.record.errors import NotAnEvent
from shop.store import seen
from shop.store.chain import as_bytes, sha256hex
from shop.store.clock import now_ms
from shop.store.errors import BadEvent, NotHere
from shop.store.judge import Line, judge, known_batches, unfiled
from shop.store.ledger import Ledger
from shop.store.shapes import Chain, Receipt


def append_chains(
    *, shop_id: int, carrier_id: int, chains: Iterable[Chain], received: int | None = None
) -> Receipt:
    """Keep what these chains bring; `carrier_id` is the device that brought them.

    Locks the shop's counter row; one transaction, one move of the counter.
    """
    moment = now_ms() if received is None else received
    judged = judge(shop_id, chains)
    with transaction.atomic():
        ledger = Ledger(shop_id, moment, {chain.device for chain, _ in judged}, carrier_id)
        answers = [ledger.take(chain, lines) for chain, lines in judged]
        ledger.close()
        seen.flush(shop_id, moment)
        epoch, head = ledger.shop.epoch, ledger.shop.head
    return Receipt(epoch, head, answers)


def office_event(
    *, shop_id: int, batch: str, kind: str, body: dict[str, Any], by: str = "", **place: Any
) -> dict[str, Any]:
    """Write an act of the office as an event of the server's own device, and return it.

    `place` may hold `station`, `step`, `block`, `nth`, `happened`, `known`, `within`, `signed`.
    Locks the shop's counter row. Raises NotHere and BadEvent; then nothing was written.
    """
    moment = now_ms()
    with transaction.atomic():
        server = _server(shop_id)
        ledger = Ledger(shop_id, moment, {server.key}, server.pk)
        event = {
            **_envelope(ledger, server.key, moment),
            **{"batch": batch, "kind": kind, "by": by, "body": body},
            **{key: value for key, value in place.items() if value is not None},
        }
        ledger.keep_own(server.key, _checked(shop_id, event))
        ledger.close()
    return event


def _server(shop_id: int) -> Device:
    server = Device.objects.filter(shop_id=shop_id, is_server=True).order_by("-pk").first()
    if server is None:
        raise NotHere("server device", str(shop_id))
    return server


def _envelope(ledger: Ledger, device: str, moment: int) -> dict[str, Any]:
    return {
        "device": device,
        "seq": ledger.devices[device].head_seq + 1,
        "v": 1,
        "recorded": moment,
        "offset": 0,
        "bound": 0,
        "happened": moment,
        "known": "pressed",
        "within": 0,
        "hlc": ledger.tick(),
    }


def _checked(shop_id: int, event: dict[str, Any]) -> Line:
    """The event through the same codec as a phone's, or BadEvent."""
    try:
        text = canonical(event)
        decoded = decode(text)
    except (NotAnEvent, TypeError) as bad:
        raise BadEvent(getattr(bad, "code", "json"), str(bad)) from bad
    batch = known_batches(shop_id, {decoded["batch"]}).get(decoded["batch"])
    if batch is None:
        raise NotHere("batch", decoded["batch"])
    code, say = unfiled(shop_id, batch, decoded)
    if code:
        raise BadEvent(code, say)
    raw = as_bytes(text)
    return Line(decoded["seq"], text, raw, sha256hex(raw), decoded, batch)
