"""The shop's own numbers. What each means and its limits are `plan`'s business."""

from dataclasses import replace

from django.db import transaction

from shop.models import NumberChange, Shop, ShopNumber
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.errors import OutOfRange
from shop.store.shapes import NumberInfo, NumberSet


def numbers(shop_id: int) -> dict[str, NumberInfo]:
    """Key → number as it stands: what the shop set itself, else what the shop it follows set."""
    slug = followed_by(shop_id)
    followed = Shop.objects.filter(slug=slug).first() if slug else None
    shared = own_numbers(followed.pk) if followed else {}
    by = {k: replace(n, source=f"Shared by {followed}") for k, n in shared.items()}
    return {**by, **own_numbers(shop_id)}


def followed_by(shop_id: int) -> str:
    """Short name of the shop whose numbers hold here too, or nothing."""
    settings = Shop.objects.values_list("settings", flat=True).get(pk=shop_id)
    return str(settings.get("follows", ""))


def follow(*, shop_id: int, slug: str, by: str = "") -> None:
    """Let the numbers of the shop named `slug` hold wherever this one sets none; "" ends it."""
    with transaction.atomic():
        shop = Shop.objects.select_for_update(no_key=True).get(pk=shop_id)
        before, after = followed_by(shop_id), {"follows": slug}
        shop.settings = {**shop.settings, **after}
        shop.save(update_fields=["settings"])
        note(shop_id=shop_id, by=by, about="numbers", before={"follows": before}, after=after)


def own_numbers(shop_id: int) -> dict[str, NumberInfo]:
    """Key → number as it stands; only those the shop has set itself."""
    rows = ShopNumber.objects.filter(shop_id=shop_id).order_by("key")
    return {row.key: NumberInfo(row.key, row.value, row.unit, row.source) for row in rows}


def number_history(shop_id: int, key: str) -> list[NumberSet]:
    """Who set a number to what, newest first."""
    rows = NumberChange.objects.filter(shop_id=shop_id, key=key).order_by("-pk")
    return [NumberSet(r.key, r.value, r.unit, r.source, r.by, r.at) for r in rows]


def change_number(
    *,
    shop_id: int,
    key: str,
    value: int,
    unit: str,
    source: str,
    low: int,
    high: int,
    by: str = "",
) -> NumberInfo:
    """Set a number [its fixed unit] and keep what it was.

    Raises OutOfRange; then nothing changed.
    """
    if isinstance(value, bool) or not isinstance(value, int) or not low <= value <= high:
        raise OutOfRange(key, value, low, high)
    said = {"value": value, "unit": unit, "source": source}
    with transaction.atomic():
        ShopNumber.objects.update_or_create(shop_id=shop_id, key=key, defaults=said)
        NumberChange.objects.create(shop_id=shop_id, key=key, by=by, at=now_ms(), **said)
    return NumberInfo(key, value, unit, source)
