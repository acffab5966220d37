"""The one Django application of the program."""

from typing import Any

from django.apps import AppConfig
from django.core.checks import Tags, register
from django.db import connections
from django.db.backends.signals import connection_created
from django.db.models.signals import post_migrate


class ShopConfig(AppConfig):
    name = "shop"
    verbose_name = "Kettleside"

    def ready(self) -> None:
        # Models can be imported only once Django is ready.
        from shop import checks
        from shop.models.guards import refuse_unsafe_connection

        connection_created.connect(refuse_unsafe_connection, dispatch_uid="durable")
        post_migrate.connect(_guard, sender=self, dispatch_uid="triggers")
        register(checks.append_only_tables_are_guarded, Tags.database)
        register(checks.presses_survive_a_power_cut, Tags.database)


def _guard(using: str, **_: Any) -> None:
    from shop.models.guards import make_triggers

    make_triggers(connections[using])
