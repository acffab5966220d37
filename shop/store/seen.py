"""When each phone was last heard from: held in memory, written at most once a minute.

It is written along with the next write of events, never by a poll: a poll that finds nothing new
must not write. What is lost when the process dies is a minute of a mere courtesy.
"""

from threading import Lock

from shop.models import Device

EVERY_MS = 60_000

_lock = Lock()
_heard: dict[int, int] = {}
_flushed = [0]


def heard(device_id: int, moment: int) -> None:
    """Remember that the device spoke."""
    _heard[device_id] = moment


def newest(device_id: int, stored: int | None) -> int | None:
    """The newer of what is remembered and what is stored."""
    remembered = _heard.get(device_id)
    return max((m for m in (remembered, stored) if m is not None), default=None)


def flush(moment: int) -> None:
    """Write what is remembered, unless that was done less than a minute ago."""
    with _lock:
        if moment - _flushed[0] < EVERY_MS:
            return
        _flushed[0] = moment
    for device_id, when in list(_heard.items()):
        Device.objects.filter(pk=device_id).update(seen=when)
