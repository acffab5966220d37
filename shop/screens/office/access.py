"""Which shop an office page is about, and which batch of it."""

from zoneinfo import ZoneInfo

from django.conf import settings
from django.http import Http404

from shop.store.access import access_batch, only_shop
from shop.store.errors import NotHere
from shop.store.shapes import BatchInfo, ShopInfo


def the_shop() -> ShopInfo:
    """The shop of this office."""
    return only_shop()


def the_zone(shop: ShopInfo) -> ZoneInfo:
    """The shop's time zone; the program's where the shop sets none."""
    return ZoneInfo(shop.settings.get("time_zone", settings.TIME_ZONE))


def the_batch(shop: ShopInfo, key: str) -> BatchInfo:
    """The batch of this shop, or a page that says there is none."""
    try:
        return access_batch(shop.id, key)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
