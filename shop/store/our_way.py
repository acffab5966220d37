"""That the program came with another way than a shop last had is among the shop's changes."""

from django.db import transaction

from shop.models import Shop
from shop.plan.made_of import differences, made_of
from shop.store.changes import note

# In the shop's settings: what its way was made of when the program last started.
WAY = "way"
# So much of a hash is shown.
SHOWN = 12


def note_way() -> None:
    """At a start: every shop whose way is another now, told once. Locks those shops' rows."""
    now = made_of()
    for shop_id, settings in Shop.objects.order_by("pk").values_list("pk", "settings"):
        if settings.get(WAY) != now:
            _keep(shop_id, now)


def _keep(shop_id: int, now: str) -> None:
    with transaction.atomic():
        shop = Shop.objects.select_for_update(no_key=True).get(pk=shop_id)
        before = str(shop.settings.get(WAY, ""))
        shop.settings = {**shop.settings, WAY: now}
        shop.save(update_fields=["settings"])
        # A shop from before this was kept has nothing to compare with.
        if before and before != now:
            _note(shop_id, before, now)


def _note(shop_id: int, before: str, now: str) -> None:
    steps = {f"steps {how}": ", ".join(some) for how, some in differences(before, now).items()}
    was, new = ({"made of": text[:SHOWN]} for text in (before, now))
    note(shop_id=shop_id, by="", about="our way", before=was, after={**new, **steps})
