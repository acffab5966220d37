"""The one order of events, and when each happened."""

from collections.abc import Iterable
from typing import Any, TypeAlias

Event: TypeAlias = dict[str, Any]
Place: TypeAlias = tuple[int, int, str, int]


def place(event: Event) -> Place:
    """Sorting key `(hlc ms, hlc count, device, seq)`: the only order anybody uses."""
    return (event["hlc"][0], event["hlc"][1], event["device"], event["seq"])


def ref_of(event: Event) -> str:
    """The text `device:seq` by which other events name this one."""
    return f"{event['device']}:{event['seq']}"


def at(event: Event) -> int:
    """When it happened [ms since 1970, UTC] on the corrected clock."""
    return int(event["happened"]) + int(event["offset"] or 0)


def actor(event: Event) -> str:
    """Whose act it is: of the person it was pressed for, else of the presser; `""` = not known."""
    return str(event.get("for") or event["by"])


def by_time(event: Event) -> tuple[int, Place]:
    """Sorting key for readings and clocks: when it happened, then the order."""
    return (at(event), place(event))


def in_order(events: Iterable[Event]) -> list[Event]:
    """Each event once, in the one order, whatever order or number they came in."""
    return sorted({ref_of(event): event for event in events}.values(), key=place)
