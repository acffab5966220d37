"""One way to reach each kind of object; each raises NotHere, naming what was asked for."""

from typing import Any

from django.db.models import F, QuerySet

from shop.models import (
    Batch,
    Desk,
    Device,
    Drawing,
    DrawingVersion,
    Person,
    Proof,
    ProofApproval,
    Shop,
)
from shop.store.chain import sha256hex
from shop.store.errors import BadToken, LockedOut, NotHere
from shop.store.seen import newest
from shop.store.shapes import (
    BatchInfo,
    Caller,
    DeskInfo,
    DrawingInfo,
    DrawnVersion,
    PersonInfo,
    Phone,
    ProofInfo,
    ShopInfo,
)


def access_shop(slug: str) -> ShopInfo:
    """The shop of this name."""
    return shop_info(one_row(Shop.objects.filter(slug=slug), "shop", slug))


def only_shop() -> ShopInfo:
    """The one shop of an embedded store."""
    shops = list(Shop.objects.order_by("id")[:2])
    if len(shops) != 1:
        raise NotHere("single shop", "none" if not shops else "several; say which")
    return shop_info(shops[0])


def desk_shops(user_id: int, *, most: int | None = None) -> list[ShopInfo]:
    """The shops whose office this user may open, by name, at most so many."""
    rows = _at_desk(user_id).order_by("name", "pk")
    return [shop_info(row) for row in rows[:most]]


def access_desk(user_id: int, slug: str) -> ShopInfo:
    """The shop of this name, whose office this user may open."""
    return shop_info(one_row(_at_desk(user_id).filter(slug=slug), "shop", slug))


def _at_desk(user_id: int) -> QuerySet[Shop]:
    """The shops where this user has a desk, each with how the person they are there reads."""
    shops = Shop.objects.filter(desks__user_id=user_id)
    person = "desks__person__"
    return shops.annotate(reads=F(f"{person}language"), reads_units=F(f"{person}units"))


def desks(shop_id: int) -> list[DeskInfo]:
    """Those who may open this shop's office, by sign-in name."""
    rows = Desk.objects.filter(shop_id=shop_id).order_by("user__username")
    return [
        DeskInfo(user, person or "")
        for user, person in rows.values_list("user__username", "person__key")
    ]


def desk_person(shop_id: int, user_id: int) -> str:
    """Which person this user is at this shop's desk, "" where nobody said."""
    rows = Desk.objects.filter(shop_id=shop_id, user_id=user_id)
    return next(iter(rows.values_list("person__key", flat=True)), None) or ""


def access_batch(shop_id: int, key: str) -> BatchInfo:
    """The batch of this shop with this id."""
    found = Batch.objects.select_related("sheet").defer("sheet__text")
    return batch_info(one_row(found.filter(shop_id=shop_id, key=key), "batch", key))


def access_device(shop_id: int, key: str) -> Phone:
    """The device of this shop with this public id."""
    found = Device.objects.select_related("replaces")
    return phone_info(one_row(found.filter(shop_id=shop_id, key=key), "device", key))


def access_person(shop_id: int, key: str) -> PersonInfo:
    """The person of this shop with this id."""
    return person_info(one_row(Person.objects.filter(shop_id=shop_id, key=key), "person", key))


def access_drawing(shop_id: int, key: str) -> DrawingInfo:
    """The picture of this shop with this id."""
    row = one_row(Drawing.objects.filter(shop_id=shop_id, key=key), "picture", key)
    return DrawingInfo(row.key, row.title, row.current, dict(row.order), row.by, row.at)


def access_proof(key: str) -> ProofInfo:
    """The proof with this id, whatever shop's: its id is told to nobody but in a signed link."""
    found = Proof.objects.select_related("shop", "drawing")
    return proof_info(one_row(found.filter(key=key), "proof", key))


def access_token(token: str) -> Caller:
    """Who holds this bearer token. Raises BadToken, LockedOut. One query."""
    digest = sha256hex(token.encode("utf-8", "surrogatepass"))
    # Plain columns: a phone asks every second, and making two model instances doubles its cost.
    found = Device.objects.filter(token_sha256=digest, is_server=False).values_list(*OF_A_CALLER)
    row = next(iter(found[:1]), None)
    if row is None:
        raise BadToken
    device_id, key, entries, locked_out_at, *shop = row
    if locked_out_at is not None:
        raise LockedOut(key, locked_out_at)
    return Caller(device_id, key, entries, ShopInfo(*shop))


OF_A_CALLER = (
    *("pk", "key", "head_seq", "locked_out_at"),
    *(f"shop__{name}" for name in ("id", "slug", "name", "epoch", "head", "head_hash", "settings")),
)


def one_row(rows: Any, what: str, key: str) -> Any:
    """The first of these rows, or NotHere."""
    # PostgreSQL refuses the character NUL in a query; no id holds one.
    row = None if "\0" in key else rows.first()
    if row is None:
        raise NotHere(what, key)
    return row


def shop_info(row: Shop) -> ShopInfo:
    settings = dict(row.settings)
    reads = (getattr(row, name, None) or "" for name in ("reads", "reads_units"))
    plain = (row.pk, row.slug, row.name, row.epoch, row.head, row.head_hash)
    return ShopInfo(*plain, settings, *reads)


def batch_info(row: Batch) -> BatchInfo:
    return BatchInfo(
        id=row.pk,
        shop_id=row.shop_id,
        key=row.key,
        lot=row.lot,
        letter=row.letter,
        pattern=row.pattern,
        title=row.title,
        sheet=row.sheet.hash,
        phase=row.phase,
        opened_position=row.opened_position,
        position=row.position,
    )


def phone_info(row: Device) -> Phone:
    return Phone(
        id=row.pk,
        device=row.key,
        name=row.name,
        station=row.station,
        is_server=row.is_server,
        added=row.added,
        locked_out_at=row.locked_out_at,
        seen=newest(row.shop_id, row.pk, row.seen),
        entries=row.head_seq,
        replaces=row.replaces.name if row.replaces else "",
        report=dict(row.report),
        reported=row.reported,
    )


def person_info(row: Person) -> PersonInfo:
    return PersonInfo(row.key, row.name, row.role, row.active, row.pin_set, row.units, row.language)


def version_info(row: DrawingVersion) -> DrawnVersion:
    return DrawnVersion(
        *(row.number, row.was, row.by, row.at, row.what, row.source),
        bytes(row.labels),
        dict(row.choices),
    )


def proof_info(row: Proof) -> ProofInfo:
    """Whether it still stands: neither the picture nor the rod has changed since."""
    answer = ProofApproval.objects.filter(proof=row).values_list("at", "typed__name").first()
    approved_at, name = answer or (None, None)
    same_rod = row.drawing.order.get("rod_um", row.rod_um) == row.rod_um
    return ProofInfo(
        key=row.key,
        shop_id=row.shop_id,
        shop_name=row.shop.name,
        time_zone=str(row.shop.settings.get("time_zone", "")),
        drawing=row.drawing.key,
        number=row.number,
        title=row.title,
        rod_um=row.rod_um,
        days=row.days,
        face=row.face,
        by=row.by,
        at=row.at,
        stands=row.drawing.current == row.number and same_rod,
        approved_by=name or "",
        approved_at=approved_at,
    )
