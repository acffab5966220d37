"""Stores to move: an embedded one made by the program itself, and a PostgreSQL it may go to."""

from __future__ import annotations

import sqlite3
import subprocess
from contextlib import closing
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import Any

import psycopg

from tests.programs import manage
from tests.store.scene import a_photo

PHOTO = a_photo("the log's end")
# Something in every table: two phones one of which took the other's place, a photo, what could not
# be filed, a number, kit looked over, a second office user, a change, a code that still holds, a
# PIN and a wrong one, who the office user is, a skill that was signed, a near miss, an
# approved picture; an order with its boil, delivery and label; a store room, scrap that was
# melted, goods called back; a version of our way.
FILL = """
from django.contrib.auth import get_user_model
from shop.management.opening import new_office_password, open_store
from shop.store import access, drawings, incidents, phones, pins, read, shops
from shop.store.errors import WrongPin
from shop.store.sign import Signer, sign
from tests.store.office_scene import fill_office
from tests.store.scene import Phone, a_photo, a_version, keep_photo, set_strokes
open_store()
new_office_password()
shop = access.only_shop()
def add(**place):
    joined = phones.join(code=phones.new_code(shop.id, **place), address="test")
    return Phone(joined.device, joined.token, access.access_token(joined.token))
old = add()
for place in range(2):
    old.press(batch="demo-handover")
old.push()
phone = add(replaces=old.device)
phone.press(batch="demo-handover")
phone.say("{")
phone.push()
keep_photo(phone.caller, a_photo("the log's end"))
set_strokes(shop.id, 115)
phones.look_over(shop_id=shop.id, device=old.device, found="broken", by="office")
user = get_user_model().objects.create_user(username="greta", password="sugar-150")
shops.give_desk(shop_id=shop.id, user_id=user.pk)
shops.set_settings(shop_id=shop.id, name="The loft", settings=shop.settings, by="office")
phones.new_code(shop.id)
pins.set_pin(shop_id=shop.id, person="tobit", pin="7351")
try:
    pins.check_pin(phone.caller, person="tobit", pin="8264")
except WrongPin:
    pass
shops.say_who(shop_id=shop.id, user="office", person="maren")
done = {"skill": "pull", "rung": "watch", "happened": 1_790_000_000_000}
sign(shop_id=shop.id, person="odo", signer=Signer("office", "maren"), **done)
incidents.tell(shop_id=shop.id, kind="near miss", happened=1_790_000_000_000, text="A wet lane")
drawn = drawings.new_drawing(shop_id=shop.id, title="Bee", order={}, first=a_version())
drawings.add_version(shop_id=shop.id, key=drawn.key, on=1, version=a_version("Mended"))
shown = {"number": 2, "rod_um": 14_000, "face": "<path/>", "days": 14}
proof = drawings.new_proof(shop_id=shop.id, key=drawn.key, **shown)
drawings.approve(proof=proof.key, name="Ada")
fill_office(shop)
read.batch_state(access.access_batch(shop.id, "demo-handover"))
now = access.access_shop("demo")
answer = {"device": phone.device, "token": phone.token, "epoch": now.epoch, "head": now.head}
"""
# Another company's, which chose the same short name.
FILL_ANOTHER = """
from django.contrib.auth import get_user_model
from django.core.management import call_command
from shop.store import access, numbers, shops
from tests.store.scene import open_loft
call_command("migrate", verbosity=0)
loft = open_loft("demo")
loft.kettle.presses(3)
loft.kettle.push()
loft.table.press()
loft.kettle.push(loft.table.chain())
numbers.follow(shop_id=loft.shop.id, slug="demo", by="office")
for name in ("office", "tobit"):
    user = get_user_model().objects.create_user(username=name, password="x", is_staff=True)
    shops.give_desk(shop_id=loft.shop.id, user_id=user.pk)
answer = {}
"""
LOG = (
    "SELECT e.position, e.line, e.sha256, e.received, e.ahead, e.chain, d.key, e.seq, b.key, c.key "
    "FROM shop_event e JOIN shop_device d ON d.id = e.device_id JOIN shop_batch b "
    "ON b.id = e.batch_id LEFT JOIN shop_device c ON c.id = e.carried_by_id "
    "JOIN shop_shop s ON s.id = e.shop_id WHERE s.slug = '{}' ORDER BY e.position"
)
PHONES = (
    "SELECT d.key, d.token_sha256, d.head_seq, d.head_hash, d.told_seq, d.told_hash, r.key "
    "FROM shop_device d LEFT JOIN shop_device r ON r.id = d.replaces_id "
    "JOIN shop_shop s ON s.id = d.shop_id WHERE s.slug = '{}' ORDER BY d.key"
)
PEOPLE = (
    "SELECT p.key, p.pin, p.pin_set, d.key, w.wrong, w.wait_until FROM shop_person p "
    "JOIN shop_shop s ON s.id = p.shop_id LEFT JOIN shop_wrongpins w ON w.person_id = p.id "
    "LEFT JOIN shop_device d ON d.id = w.device_id WHERE s.slug = '{}' ORDER BY p.key"
)
DESKS = (
    "SELECT u.username, p.key, CAST(d.sees_injuries AS int) FROM shop_desk d "
    "JOIN auth_user u ON u.id = d.user_id JOIN shop_shop s ON s.id = d.shop_id "
    "LEFT JOIN shop_person p ON p.id = d.person_id WHERE s.slug = '{}' ORDER BY u.username"
)
SKILLS = (
    "SELECT n.key, p.key, n.skill, n.rung, n.at, b.key, n.signed_user FROM shop_skillnote n "
    "JOIN shop_person p ON p.id = n.person_id JOIN shop_person b ON b.id = n.signed_by_id "
    "JOIN shop_shop s ON s.id = n.shop_id WHERE s.slug = '{}' ORDER BY n.key"
)
STOCK = (
    "SELECT m.key, l.key, v.key, v.mg, v.why, v.at FROM shop_lotmove v "
    "JOIN shop_materiallot l ON l.id = v.lot_id JOIN shop_material m ON m.id = l.material_id "
    "JOIN shop_shop s ON s.id = v.shop_id WHERE s.slug = '{}' ORDER BY v.key"
)
SCRAP = (
    "SELECT t.key, o.key, v.key, v.mg, n.key FROM shop_scrapmove v "
    "JOIN shop_scrap t ON t.id = v.scrap_id JOIN shop_batch o ON o.id = t.batch_id "
    "LEFT JOIN shop_batch n ON n.id = v.batch_id "
    "JOIN shop_shop s ON s.id = v.shop_id WHERE s.slug = '{}' ORDER BY v.key"
)
SENT = (
    "SELECT o.number, c.key, b.key, d.packs, d.day, l.text, r.how FROM shop_delivery d "
    "JOIN shop_batch b ON b.id = d.batch_id JOIN shop_order o ON o.id = d.order_id "
    "JOIN shop_customer c ON c.id = o.customer_id JOIN shop_labelprint l ON l.batch_id = b.id "
    'JOIN shop_recalltold r ON r."order" = o.number '
    "JOIN shop_shop s ON s.id = d.shop_id WHERE s.slug = '{}' ORDER BY d.key"
)
OTHER_TABLES = (
    *("aside", "kitcheck", "numberchange", "change", "person", "projection", "sheet", "wrongpins"),
    *("skillnote", "incidentnote", "desk"),
    *("drawing", "drawingversion", "proof", "proofapproval", "approvalname", "wayversion"),
    *("customer", "order", "orderentry", "orderboil", "delivery", "labelprint"),
    *("material", "materiallot", "lotmove", "scrap", "scrapmove", "recall", "recalltold"),
)


@dataclass(frozen=True)
class Store:
    """A demo store made by the program itself, and its one phone that may speak."""

    data: Path
    phone: dict[str, Any]

    @property
    def folder(self) -> Path:
        return self.data / "demo"

    @property
    def database(self) -> Path:
        return self.folder / "kettleside.sqlite3"

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        with closing(sqlite3.connect(self.database)) as store:
            return store.execute(sql).fetchall()


@dataclass(frozen=True)
class Target:
    """A PostgreSQL store and its data folder."""

    data: Path
    url: str

    def manage(self, *words: object) -> subprocess.CompletedProcess[str]:
        return manage(self.data, *map(str, words), DATABASE_URL=self.url)

    def rows(self, sql: str) -> list[tuple[Any, ...]]:
        with psycopg.connect(self.url) as store:
            return store.execute(sql).fetchall()

    def holds(self) -> tuple[list[tuple[Any, ...]], list[Path]]:
        """Every shop, and every file under its hash."""
        files = [path for path in (self.data / "shop" / "files").rglob("*") if path.is_file()]
        shops = "SELECT slug, head FROM shop_shop ORDER BY slug"
        return self.rows(shops), sorted(files)


def copied(store: Store, to: Path, *changes: str) -> Store:
    """The store once more, changed by hand as somebody with the file could."""
    target = Store(to, store.phone)
    target.folder.mkdir()
    with closing(sqlite3.connect(target.database, isolation_level=None)) as copy:
        with closing(sqlite3.connect(store.database)) as old:
            old.backup(copy)
        for change in changes:
            copy.execute(change)
    photo = sha256(PHOTO).hexdigest()
    (target.folder / "files" / photo[:2]).mkdir(parents=True)
    (target.folder / "files" / photo[:2] / photo).write_bytes(PHOTO)
    return target
