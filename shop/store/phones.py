"""Adding phones with a code, naming and replacing them, locking them out, and what they say."""

import re
import secrets
from typing import Any

from django.db import transaction
from django.db.models import Max

from shop.models import Device, JoinCode, KitCheck
from shop.store.access import phone_info, shop_info
from shop.store.chain import sha256hex
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.errors import NotHere, StillHolds, WrongCode
from shop.store.shapes import Caller, Joined, KitFound, Phone
from shop.store.shops import new_device_key
from shop.store.tries import MINUTE_MS, Tries

MINUTES = 15
DEVICE_ID = re.compile(r"[a-z0-9]{6,24}")

wrong_tries = Tries()


def new_code(shop_id: int, *, replaces: str = "") -> str:
    """Six digits that add one phone within 15 minutes; it takes the place of `replaces`.

    Raises NotHere.
    """
    moment = now_ms()
    old = _phone(shop_id, replaces) if replaces else None
    with transaction.atomic():
        live = JoinCode.objects.filter(used=None, expires__gt=moment)
        taken = set(live.values_list("sha256", flat=True))
        code = _draw(taken)
        JoinCode.objects.create(
            shop_id=shop_id,
            sha256=_digest(code),
            expires=moment + MINUTES * MINUTE_MS,
            replaces=old,
        )
    return code


def moving_code(caller: Caller, *, made: int) -> str:
    """A code by which this phone goes on under the shop's new address, all it made being here.

    Raises StillHolds.
    """
    if made != caller.entries:
        raise StillHolds(made, caller.entries)
    return new_code(caller.shop.id, replaces=caller.device)


def _draw(taken: set[str]) -> str:
    while True:
        code = f"{secrets.randbelow(1_000_000):06d}"
        if _digest(code) not in taken:
            return code


def _digest(code: str) -> str:
    return sha256hex(code.encode("utf-8", "surrogatepass"))


def join(*, code: str, address: str, device: str = "") -> Joined:
    """Add the phone that shows this code; `address` is who asks, for counting wrong tries.

    `device` is the id a phone had before (a wiped server, a token gone): it keeps it, so that
    its unsent chain goes on. Raises TooManyTries, WrongCode.
    """
    moment = now_ms()
    wrong_tries.check(address, moment)
    with transaction.atomic():
        found = _redeem(code, moment)
        if found is not None:
            return _add(found, device, moment)
    wrong_tries.count(address, moment)
    raise WrongCode(MINUTES)


def _redeem(code: str, moment: int) -> JoinCode | None:
    """Use the code up, once: of two phones that show it together only one gets in."""
    live = JoinCode.objects.filter(sha256=_digest(code), used=None, expires__gt=moment)
    found = live.select_related("shop", "replaces").first()
    if found is None or not live.filter(pk=found.pk).update(used=moment):
        return None
    return found


def _add(code: JoinCode, device: str, moment: int) -> Joined:
    shop, token = code.shop, secrets.token_urlsafe(32)
    digest = sha256hex(token.encode())
    key = device if DEVICE_ID.fullmatch(device) else new_device_key()
    row = Device.objects.filter(shop=shop, key=key, is_server=False).first()
    if row is None:
        key = new_device_key() if Device.objects.filter(shop=shop, key=key).exists() else key
        number = Device.objects.filter(shop=shop, is_server=False).count() + 1
        row = Device(shop=shop, key=key, name=f"Phone {number}", added=moment)
    row.token_sha256, row.locked_out_at = digest, None
    if (old := code.replaces) is not None and old.key != key:
        row.name, row.station, row.replaces = old.name, old.station, old
        _change(shop.pk, old.key, "", locked_out_at=moment)
    row.save()
    place = row.replaces.key if row.replaces else ""
    added = {"added": moment, "in the place of": place}
    note(shop_id=shop.pk, by="", about=f"phone {row.name} {key}", before={}, after=added)
    return Joined(row.key, token, row.name, shop_info(shop))


def phones(shop_id: int) -> list[Phone]:
    """Every device of the shop, oldest first."""
    rows = Device.objects.filter(shop_id=shop_id).select_related("replaces").order_by("pk")
    return [phone_info(row) for row in rows]


def lock_out(*, shop_id: int, device: str, by: str = "") -> None:
    """From now on this phone's token is refused; what others carry for it is still kept."""
    _change(shop_id, device, by, locked_out_at=now_ms())


def let_in(*, shop_id: int, device: str, by: str = "") -> None:
    """Take it back: the phone's token works again, and it sends what it still holds."""
    _change(shop_id, device, by, locked_out_at=None)


def rename(*, shop_id: int, device: str, name: str, station: str = "", by: str = "") -> None:
    """What the phone is called and where it usually stands."""
    _change(shop_id, device, by, name=name, station=station)


def take_report(caller: Caller, report: dict[str, Any]) -> None:
    """What the phone says of itself: what it holds, its app, its battery, its address."""
    moment = now_ms()
    Device.objects.filter(pk=caller.device_id).update(report=report, reported=moment, seen=moment)


def living_under(name: str) -> list[str]:
    """Phones of any shop, in use, that last asked under this name, or have not said where."""
    rows = Device.objects.filter(is_server=False, locked_out_at=None).order_by("pk")
    return [row.name for row in rows if _host(row.report.get("origin", "")) in ("", name.lower())]


def _host(origin: str) -> str:
    return origin.partition(":")[0]


def look_over(*, shop_id: int, device: str, found: str, by: str) -> None:
    """Keep how a phone was found as kit. Raises NotHere."""
    row = _phone(shop_id, device)
    KitCheck.objects.create(shop_id=shop_id, device=row, found=found, by=by, at=now_ms())


def looked_over(shop_id: int) -> list[KitFound]:
    """How each phone was last found so, newest first: its last whole, wiped, broken, missing."""
    found = KitCheck.objects.filter(shop_id=shop_id).values("device", "found")
    last = found.annotate(last=Max("pk")).values_list("last", flat=True)
    rows = KitCheck.objects.filter(pk__in=last).select_related("device").order_by("-pk")
    return [KitFound(row.device.key, row.found, row.by, row.at) for row in rows]


def _phone(shop_id: int, device: str) -> Device:
    row = Device.objects.filter(shop_id=shop_id, key=device, is_server=False).first()
    if row is None:
        raise NotHere("phone", device)
    return row


def _change(shop_id: int, device: str, by: str, **values: Any) -> None:
    with transaction.atomic():
        row = _phone(shop_id, device)
        before = {name: getattr(row, name) for name in values}
        Device.objects.filter(pk=row.pk).update(**values)
        about = f"phone {row.name} {device}"
        note(shop_id=shop_id, by=by, about=about, before=before, after=values)
