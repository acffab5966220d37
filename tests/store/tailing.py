"""What `test_tailing` runs beside a database server: writers against a reader of the log."""

import random
import threading

from django.core.management import call_command
from django.db import connection

from shop.store import access, batches, phones, shops
from shop.store.append import append_chains
from shop.store.read import pull
from shop.store.shapes import Chain
from shop.store.verify import broken_links
from tests.bench.shop import event_lines
from tests.store.scene import sheet

MOST_AT_ONCE = 50


def write(shop_id: int, device: str, device_id: int, lines: list[str], seed: int) -> None:
    """Chains of any length, as fast as the database takes them."""
    chance, at = random.Random(seed), 0
    while at < len(lines):
        piece = tuple(lines[at : at + chance.randrange(1, MOST_AT_ONCE)])
        chain = Chain(device, at + 1, piece)
        [answer] = append_chains(shop_id=shop_id, carrier_id=device_id, chains=[chain]).answers
        assert answer.kept == [[at + 1, at + len(piece)]], answer
        at += len(piece)
    connection.close()


def follow(writers: int, events: int) -> dict[str, int]:
    """How many events were made, and how many a reader by its cursor never saw."""
    call_command("migrate", verbosity=0)
    shop = shops.create_shop(slug="loft", name="Loft")
    batches.open_batch(shop_id=shop.id, sheet=sheet(), lead="maren")
    each = events // writers
    threads, made = [], set()
    for n in range(writers):
        joined = phones.join(code=phones.new_code(shop.id), address=str(n))
        caller = access.access_token(joined.token)
        lines = event_lines(joined.device, each, "b1")
        made |= set(lines)
        given = (shop.id, joined.device, caller.device_id, lines, n)
        threads.append(threading.Thread(target=write, args=given))
    for thread in threads:
        thread.start()
    came, cursor, pulls = set(), 1, 0
    while True:
        alive = any(thread.is_alive() for thread in threads)
        found = pull(access.access_shop("loft"), cursor, ["b1"])
        came |= set(found.lines)
        cursor, pulls = found.through, pulls + 1
        if not alive and not found.lines:
            break
    broken = len(list(broken_links()))
    return {"made": len(made), "missed": len(made - came), "pulls": pulls, "broken": broken}
