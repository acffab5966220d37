"""When a phone was last heard from, as of several processes each has heard a part."""

from collections import defaultdict

import pytest
from django.db import connection

from shop.models import Device
from shop.store import seen
from shop.store.access import access_device
from tests.store.scene import START, Loft

MINUTE = seen.EVERY_MS


@pytest.fixture(autouse=True)
def unheard(monkeypatch: pytest.MonkeyPatch) -> None:
    """As in a process that has just begun."""
    monkeypatch.setattr(seen, "_heard", defaultdict(dict))
    monkeypatch.setattr(seen, "_flushed", {})


def stored(loft: Loft) -> int | None:
    return Device.objects.get(pk=loft.kettle.caller.device_id).seen


def test_what_was_heard_is_written_once_a_minute_and_shown_at_once(loft: Loft) -> None:
    shop, device = loft.shop.id, loft.kettle.caller.device_id
    seen.heard(shop, device, START)
    seen.flush(shop, START)
    seen.heard(shop, device, START + 5)
    seen.flush(shop, START + MINUTE - 1)
    assert stored(loft) == START
    assert access_device(shop, loft.kettle.device).seen == START + 5
    seen.flush(shop, START + MINUTE)
    assert stored(loft) == START + 5


def test_a_process_never_puts_back_what_another_has_heard_since(loft: Loft) -> None:
    shop, phones = loft.shop.id, (loft.kettle, loft.table)
    for phone in phones:
        seen.heard(shop, phone.caller.device_id, START)
    Device.objects.filter(pk=loft.kettle.caller.device_id).update(seen=START + 9)
    seen.flush(shop, START + 10)
    assert [access_device(shop, phone.device).seen for phone in phones] == [START + 9, START]


def test_who_asks_for_the_others_is_known_to_other_processes_within_seconds(
    loft: Loft, monkeypatch: pytest.MonkeyPatch
) -> None:
    """SQLite is served by one process, which knows it anyway and need not write."""
    shop, device = loft.shop.id, loft.kettle.caller.device_id
    several = connection.vendor == "postgresql"
    for after, written in ((0, 0), (seen.SPREAD_MS, 0), (seen.SPREAD_MS + 1, seen.SPREAD_MS + 1)):
        seen.heard(shop, device, START + after)
        seen.spread(device, START + after)
        assert stored(loft) == (START + written if several else None)
    monkeypatch.setattr(seen, "_heard", defaultdict(dict))
    seen.spread(device, START)
    known = access_device(shop, loft.kettle.device).seen
    assert known == (START + seen.SPREAD_MS + 1 if several else None)
