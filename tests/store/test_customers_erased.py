"""Who was erased is not in the database's file any more, nor in its log beside it; and neither is
an older way to reach somebody who gave another. The file itself is searched (test_erased.py)."""

from pathlib import Path

import pytest

from tests.programs import beside

# A real file with the program's own settings; PostgreSQL's is described in docs/backups.md.
pytestmark = pytest.mark.own_engine

WHO = """
import random
from django.core.management import call_command
from django.db import connection
from shop.store import customers, orders
from shop.store.order_reading import access_order
from shop.store.shops import create_shop

call_command("migrate", verbosity=0)
shop = create_shop(slug="loft", name="Loft").id
path = str(connection.settings_dict["NAME"])

def on_disk(token):
    files = [open(name, "rb").read() for name in (path, path + "-wal")]
    return any(token.encode() in found for found in files)

answer = {"left": [], "unseen": [], "lost": [], "erased": 0, "emptied": 0, "changed": 0}
chance, there = random.Random(SEED), {}

def token():
    return f"w{chance.getrandbits(80):020x}"

for n in range(STEPS):
    name, reach = token(), token()
    lines = (reach + chance.choice(["", "€", reach]) * chance.choice([1, 40, 900]))[:1000]
    key = customers.new_customer(shop_id=shop, name=name, reach=lines).key
    orders.new_order(shop_id=shop, number=f"W-{n}", customer=key, title="Bee", said={})
    there[key] = (name, reach, n)
    answer["unseen"] += [] if on_disk(name) and on_disk(reach) else [n]
    if chance.random() < 0.3:
        other = chance.choice(sorted(there))
        named, old, order = there[other]
        new = token()
        more = (new + chance.choice(["", "€"]) * chance.choice([1, 300, 900]))[:1000]
        customers.change_customer(shop_id=shop, key=other, name=named, reach=more)
        there[other] = (named, new, order)
        answer["changed"] += 1
        answer["left"] += [n] if on_disk(old) else []
    while there and chance.random() < 0.45:
        gone = chance.choice(sorted(there))
        answer["emptied"] += customers.erase(shop_id=shop, key=gone, by="pim")
        named, reached, order = there.pop(gone)
        answer["left"] += [n] if on_disk(named) or on_disk(reached) else []
        answer["lost"] += [] if access_order(shop, f"W-{order}").title == "Bee" else [n]
        answer["erased"] += 1
for key, (named, reached, order) in there.items():
    found = access_order(shop, f"W-{order}").customer
    answer["lost"] += [] if found.name == named and reached in found.reach else [order]
"""


# With 10 and 13 SQLite 3.40 leaves pieces behind, unless the table is filled anew.
@pytest.mark.parametrize(
    ("seed", "steps"), [(10, 110), (13, 110), pytest.param(3, 400, marks=pytest.mark.long)]
)
def test_who_was_erased_is_in_no_file_and_everybody_else_stays(
    tmp_path: Path, seed: int, steps: int
) -> None:
    code = WHO.replace("SEED", str(seed)).replace("STEPS", str(steps))
    found = beside(tmp_path, code)
    assert found["unseen"] == [], "the search itself finds nothing"
    assert found["left"] == []
    assert found["lost"] == []
    assert found["changed"] > steps // 6
    assert found["erased"] == found["emptied"] >= steps // 3
