"""A backup of an older program is put back by this one: its people are there, and have no PIN."""

import sqlite3
from contextlib import closing
from pathlib import Path

from tests.programs import beside, manage

FILL = """
from shop.management.opening import open_store
from shop.store import access, pins
open_store()
answer = pins.set_pin(shop_id=access.only_shop().id, person="tobit", pin="7351")
"""
LOOK = """
from shop.store import access, people, pins
shop = access.only_shop().id
names = [person.name for person in people.people(shop)]
answer = [names, pins.verifiers(shop)]
answer += [pins.set_pin(shop_id=shop, person="tobit", pin="8264")]
"""
BEFORE_PINS = "0004"


def test_people_of_an_older_backup_come_back_without_pins(tmp_path: Path) -> None:
    beside(tmp_path, FILL)
    demo = {"KETTLESIDE_SHOP": "demo"}
    assert manage(tmp_path, "migrate", "shop", BEFORE_PINS, **demo).returncode == 0
    with closing(sqlite3.connect(tmp_path / "demo" / "kettleside.sqlite3")) as store:
        columns = {row[1] for row in store.execute("PRAGMA table_info(shop_person)")}
    assert "pin" not in columns
    for command in ("backup", "restore"):
        done = manage(tmp_path, command, **demo)
        assert done.returncode == 0, done.stderr
    names, verifiers, given = beside(tmp_path, LOOK)
    assert names == ["Greta", "Isolde", "Maren", "Odo", "Pim", "Tobit"]
    assert (verifiers, given) == ({}, "8264")
    assert manage(tmp_path, "verify", **demo).stdout.startswith("Whole: 1 shops,")
