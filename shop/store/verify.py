"""Whether the store still is what was written: the first broken link is named."""

from collections.abc import Collection, Iterator
from contextlib import contextmanager
from dataclasses import dataclass

from django.db import connection, transaction

from shop.models import (
    Aside,
    Batch,
    Device,
    Event,
    KeptFile,
    NumberChange,
    Projection,
    Sheet,
    Shop,
    ShopNumber,
)
from shop.models.guards import missing_triggers, not_durable
from shop.plan.canonical import canonical
from shop.record import fold as folding
from shop.record.check import decode
from shop.record.errors import NotAnEvent
from shop.store import rebuild
from shop.store.chain import as_browser_bytes, device_head, sha256hex, shop_link
from shop.store.facts import facts_are_right
from shop.store.files import broken_files

CHUNK = 2000


@dataclass(frozen=True, slots=True)
class Broken:
    """One broken link: where it is and what is wrong, with both values."""

    where: str
    say: str


@contextmanager
def one_moment() -> Iterator[None]:
    """All that is read in the block is of one moment, though a server writes on meanwhile.

    Nobody waits for it. Inside a transaction it does nothing: that one has its own moment.
    """
    if connection.in_atomic_block:
        yield
    elif connection.vendor == "sqlite":
        with connection.cursor() as cursor:
            # Not `atomic`, which begins by taking the write lock.
            cursor.execute("BEGIN DEFERRED")
            try:
                yield
            finally:
                cursor.execute("ROLLBACK")
    else:
        with transaction.atomic(), connection.cursor() as cursor:
            cursor.execute("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ, READ ONLY")
            yield


def broken_links(shops: Collection[int] | None = None) -> Iterator[Broken]:
    """Every broken link, of all shops or of these, the deepest first; nothing when all is whole.

    Only reads.
    """
    yield from _database()
    rows = Shop.objects.all() if shops is None else Shop.objects.filter(pk__in=shops)
    for shop in rows.order_by("pk"):
        broken = list(_log(shop))
        yield from broken
        if broken:
            # The rest is made from the log: it can only echo what is wrong there.
            continue
        for device in Device.objects.filter(shop=shop).order_by("pk"):
            yield from _device(device)
        yield from _asides(shop)
        for name, say in broken_files(shop.pk):
            yield Broken(f"file {name[:12]}…", say)
        yield from _sheets(shop)
        for batch in Batch.objects.filter(shop=shop).select_related("sheet").order_by("pk"):
            yield from _batch(batch)
        yield from _numbers(shop)


def counted() -> dict[str, int]:
    """How much was looked at."""
    tables = {
        **{"shops": Shop, "events": Event, "set aside": Aside, "sheets": Sheet},
        **{"batches": Batch, "files": KeptFile},
    }
    return {name: table._default_manager.count() for name, table in tables.items()}


def _database() -> Iterator[Broken]:
    for name in missing_triggers(connection):
        yield Broken(f"trigger {name}", "missing: rows could be changed or deleted unseen")
    for problem in not_durable(connection):
        yield Broken(f"setting {problem.setting}", str(problem))
    if connection.vendor != "sqlite":
        return
    with connection.cursor() as cursor:
        cursor.execute("PRAGMA integrity_check(1)")
        for (said,) in cursor.fetchall():
            if said != "ok":
                yield Broken("database file", str(said))
        cursor.execute("PRAGMA foreign_key_check")
        for table, row, parent, _ in cursor.fetchall():
            yield Broken(f"{table} row {row}", f"points to a row of {parent} that is not there")


def _log(shop: Shop) -> Iterator[Broken]:
    """The shop's own chain: gapless positions, whole lines, unbroken links."""
    link, position = "", 0
    rows = Event.objects.filter(shop=shop).order_by("position")
    for event in rows.select_related("device", "batch", "carried_by").iterator(CHUNK):
        where = f"{shop.slug}: position {event.position} ({event.device.key}:{event.seq})"
        position += 1
        if event.position != position:
            yield Broken(where, f"follows position {position - 1}; a position is missing")
            position = event.position
        carrier = event.carried_by.key if event.carried_by else ""
        link = shop_link(link, event.position, event.received, carrier, event.line)
        if event.sha256 != sha256hex(event.line.encode()):
            yield Broken(where, "its line does not match its hash")
        elif link != event.chain:
            yield Broken(where, f"its link is {event.chain[:12]}…, reckoned {link[:12]}…")
        elif not _points_right(event):
            yield Broken(where, "its columns name another device, number or batch than its line")
        link = event.chain
    if (shop.head, shop.head_hash) != (position, link):
        yield Broken(
            f"{shop.slug}: head",
            f"says {shop.head} {shop.head_hash[:12]}…, the log ends at {position} {link[:12]}…",
        )


def _points_right(event: Event) -> bool:
    try:
        said = decode(event.line)
    except NotAnEvent:
        return False
    columns = (event.device.key, event.seq, event.batch.key)
    return (said["device"], said["seq"], said["batch"]) == columns


def _device(device: Device) -> Iterator[Broken]:
    """One device's sequence: every number taken once, and the running head."""
    where = f"device {device.key}"
    kept = Event.objects.filter(device=device).values_list("seq", "line")
    aside = Aside.objects.filter(shop_id=device.shop_id, device=device.key, occupies=True)
    lines = {seq: line.encode() for seq, line in kept.iterator(CHUNK)}
    lines |= {seq: _shown(raw) for seq, raw in aside.values_list("seq", "line")}
    head, told = "", ""
    for seq in range(1, device.head_seq + 1):
        if seq not in lines:
            yield Broken(
                f"{where}: number {seq}", f"missing; the device stands at {device.head_seq}"
            )
            return
        head = device_head(head, lines[seq])
        told = head if seq == device.told_seq else told
    if len(lines) != device.head_seq:
        yield Broken(where, f"has {len(lines)} entries, its head says {device.head_seq}")
    elif head != device.head_hash:
        yield Broken(where, f"its head is {device.head_hash[:12]}…, reckoned {head[:12]}…")
    elif device.told_hash != told and not _forked(device):
        yield Broken(
            where,
            f"itself told the head {device.told_hash[:12]}… at number "
            f"{device.told_seq}, reckoned {told[:12]}…",
        )


def _shown(raw: bytes | memoryview) -> bytes:
    return as_browser_bytes(bytes(raw).decode("utf-8", "surrogatepass"))


def _forked(device: Device) -> bool:
    """A device that was copied tells another head, and the office was told of the fork."""
    forks = Aside.objects.filter(shop_id=device.shop_id, device=device.key, reason="fork")
    return forks.exists()


def _asides(shop: Shop) -> Iterator[Broken]:
    for row in Aside.objects.filter(shop=shop).order_by("pk").iterator(CHUNK):
        if sha256hex(bytes(row.line)) != row.sha256:
            yield Broken(f"set aside {row.device}:{row.seq}", "its bytes do not match its hash")


def _sheets(shop: Shop) -> Iterator[Broken]:
    for sheet in Sheet.objects.filter(shop=shop).order_by("pk").iterator(CHUNK):
        found = sha256hex(sheet.text.encode())
        if found != sheet.hash:
            yield Broken(f"sheet {sheet.hash[:12]}…", f"its text has the hash {found[:12]}…")


def _batch(batch: Batch) -> Iterator[Broken]:
    """The batch's own position, its phase, and its projection against a fresh fold."""
    newest = Event.objects.filter(batch=batch).order_by("-position").first()
    position = newest.position if newest else 0
    if batch.position != position:
        yield Broken(f"batch {batch.key}", f"says position {batch.position}, the log {position}")
        return
    state = rebuild.fresh_state(batch, position)
    if state["phase"] != batch.phase:
        yield Broken(f"batch {batch.key}", f"says {batch.phase}, its events say {state['phase']}")
    if not facts_are_right(batch, state):
        yield Broken(f"facts of {batch.key}", f"at {position} are not what its entries give")
    kept = Projection.objects.filter(batch=batch, fold_version=folding.VERSION).first()
    if kept and kept.state != canonical(rebuild.fresh_state(batch, kept.position)):
        yield Broken(f"projection of {batch.key}", f"at {kept.position} is not what a fold gives")


def _numbers(shop: Shop) -> Iterator[Broken]:
    for number in ShopNumber.objects.filter(shop=shop).order_by("pk"):
        last = NumberChange.objects.filter(shop=shop, key=number.key).order_by("-pk").first()
        if last is None or last.value != number.value:
            said = last.value if last else "nothing"
            yield Broken(f"number {number.key}", f"is {number.value}, its history says {said}")
