"""What `test_locking` runs beside a database server: others, while a push holds its shop's counter.

Only PostgreSQL locks rows; SQLite has one writer at a time.
"""

import threading
from collections.abc import Callable

from django.core.management import call_command
from django.db import connection, transaction

from shop.store import batches, phones, rebuild
from shop.store.access import access_batch
from shop.store.ledger import Ledger
from tests.store.scene import Loft, keep_photo, open_loft, set_strokes, sheet

PATIENCE_S = 5.0


def waiting() -> dict[str, bool]:
    """Act → whether it had to wait for a push that was under way."""
    call_command("migrate", verbosity=0)
    loft = open_loft()
    batches.plan_batch(shop_id=loft.shop.id, sheet=sheet("later", "B"))
    return {name: _waits(loft, act) for name, act in acts(loft).items()}


def acts(loft: Loft) -> dict[str, Callable[[], object]]:
    """What goes on in a shop beside its pushes."""
    shop_id = loft.shop.id
    planned = access_batch(shop_id, "later")
    code = phones.new_code(shop_id, replaces=loft.table.device)
    return {
        "a page shows a boil for the first time": lambda: rebuild.state_of(planned.id),
        "a code is made": lambda: phones.new_code(shop_id),
        "a phone takes another's place": lambda: phones.join(code=code, address="x"),
        "a number is set": lambda: set_strokes(shop_id, 200),
        "a photo comes": lambda: keep_photo(loft.kettle.caller, b"photo"),
        "another push": lambda: loft.kettle.push(loft.kettle.chain()),
    }


def _waits(loft: Loft, act: Callable[[], object]) -> bool:
    def run() -> None:
        act()
        connection.close()

    other = threading.Thread(target=run)
    with transaction.atomic():
        Ledger(loft.shop.id, 0, {loft.kettle.device}, loft.kettle.caller.device_id)
        other.start()
        other.join(PATIENCE_S)
        waited = other.is_alive()
    other.join()
    return waited
