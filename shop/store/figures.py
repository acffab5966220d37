"""How much there is and how it stands, for whoever watches over the computer; nothing of a shop."""

from dataclasses import dataclass

from django.db.models import Sum

from shop.models import Aside, Device, Shop
from shop.store.clock import now_ms
from shop.store.read import newest_receipt


@dataclass(frozen=True, slots=True)
class Figures:
    """Counts of all shops together; `behind_ms` is how far the clock stands before the newest
    entry [ms], nought where it does not."""

    shops: int
    entries: int
    set_aside: int
    phones: int
    behind_ms: int


def figures() -> Figures:
    """As of now. Raises Django's DatabaseError."""
    entries = Shop.objects.aggregate(all=Sum("head"))["all"] or 0
    newest = [newest_receipt(pk) or 0 for pk in Shop.objects.values_list("pk", flat=True)]
    phones = Device.objects.filter(is_server=False, locked_out_at=None)
    return Figures(
        shops=Shop.objects.count(),
        entries=entries,
        set_aside=Aside.objects.count(),
        phones=phones.count(),
        behind_ms=max(0, max(newest, default=0) - now_ms()),
    )
