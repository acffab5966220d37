"""System checks of the database: kettleside.E001 triggers, kettleside.E002 durability."""

from collections.abc import Sequence
from typing import Any

from django.core.checks import CheckMessage, Error
from django.db import connections

from shop.models.guards import missing_triggers, not_durable


def append_only_tables_are_guarded(
    databases: Sequence[str] | None = None, **_: Any
) -> list[CheckMessage]:
    """Each append-only table has the triggers that refuse a change."""
    return [
        Error(
            f"The trigger {name} is missing: rows could be changed or deleted unseen.",
            hint="Run `python3 manage.py migrate --skip-checks`: it makes the triggers again. "
            "Then `python3 manage.py verify` says whether anything was touched meanwhile.",
            id="kettleside.E001",
        )
        for alias in databases or ()
        for name in missing_triggers(connections[alias])
    ]


def presses_survive_a_power_cut(
    databases: Sequence[str] | None = None, **_: Any
) -> list[CheckMessage]:
    """SQLite writes through to the disk before it answers."""
    return [
        Error(str(problem), hint="See docs/settings.md.", id="kettleside.E002")
        for alias in databases or ()
        for problem in not_durable(connections[alias])
    ]
