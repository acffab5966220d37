"""When each phone was last heard from: held in memory, written at most once a minute.

It is written along with the next write of the shop's events, never by a poll: a poll that finds
nothing new must not write. Only the own shop's rows are touched, and under its counter's lock: two
shops that wrote each other's rows would wait for one another for ever. What is lost when the
process dies is a minute of a mere courtesy.

Of several processes each knows whom it heard itself, and writes when a push comes to it: a phone
that only asks is seen elsewhere by what it says of itself, every ten minutes at least; and while
its boil is hot, when others must not take it for silent, by asking for the others (`spread`).
"""

from collections import defaultdict

from django.db import connection
from django.db.models import Q

from shop.models import Device

EVERY_MS = 60_000
SPREAD_MS = 5_000

_heard: defaultdict[int, dict[int, int]] = defaultdict(dict)
_flushed: dict[int, int] = {}


def heard(shop_id: int, device_id: int, moment: int) -> None:
    """Remember that the device spoke."""
    _heard[shop_id][device_id] = moment


def newest(shop_id: int, device_id: int, stored: int | None) -> int | None:
    """The newer of what is remembered and what is stored."""
    remembered = _heard[shop_id].get(device_id)
    return max((m for m in (remembered, stored) if m is not None), default=None)


def flush(shop_id: int, moment: int) -> None:
    """Write what is remembered of this shop, unless that was done less than a minute ago.

    Called while the shop's counter row is locked.
    """
    if moment - _flushed.get(shop_id, 0) < EVERY_MS:
        return
    _flushed[shop_id] = moment
    remembered = _heard.pop(shop_id, {})
    for device_id, when in sorted(remembered.items()):
        # Another process may have heard it since.
        older = Q(seen=None) | Q(seen__lt=when)
        Device.objects.filter(older, pk=device_id).update(seen=when)


def spread(device_id: int, moment: int) -> None:
    """Write at once that the device spoke, for other processes to know; SQLite is served by one.

    Locks the device's row alone, so that nobody waits in a circle.
    """
    if connection.vendor == "postgresql":
        older = Q(seen=None) | Q(seen__lt=moment - SPREAD_MS)
        Device.objects.filter(older, pk=device_id).update(seen=moment)
