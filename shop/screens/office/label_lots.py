"""Which lot went in, said at the desk afterwards: what most often holds a label back."""

from dataclasses import dataclass

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect
from django.utils.translation import gettext
from django.utils.translation import gettext_lazy as _
from django.views.decorators.http import require_POST

from shop.screens.office.access import at_desk, the_batch
from shop.screens.office.desk import signature
from shop.screens.office.wording import named_day
from shop.store.append import office_event
from shop.store.errors import NotHere
from shop.store.made import made_of
from shop.store.read import batch_sheet
from shop.store.shapes import BatchInfo, ShopInfo
from shop.store.stock import GONE, HELD, OPEN, LotInfo, access_lot, lots

# The newest of a material; an older one is said on the phone.
SHOWN = 30
SAID, UNSAID = "said", ""
WATER = "water"


@dataclass(frozen=True, slots=True)
class Unsaid:
    """A material whose lot nobody said, and the lots there are of it."""

    material: str
    name: str
    lots: list[tuple[str, str]]


def unsaid(shop: ShopInfo, batch: BatchInfo) -> list[Unsaid]:
    """Materials of this boil whose lot nobody said, the boil's own and no packaging."""
    rows = [one for one in made_of(batch).ingredients if UNSAID in one.lots and one.kind != WATER]
    return [Unsaid(one.material, one.name, _lots(shop, one.material)) for one in rows]


def _lots(shop: ShopInfo, material: str) -> list[tuple[str, str]]:
    found = lots(shop.id, material=material, states=(OPEN, HELD, GONE))
    return [(lot.key, _words(lot)) for lot in found[: -SHOWN - 1 : -1]]


def _words(lot: LotInfo) -> str:
    held = "" if lot.state == OPEN else f", {lot.state}"
    return f"{lot.mark}, {lot.supplier}, {named_day(lot.received)}{held}"


@at_desk
@require_POST
def say_lot(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Write down that this lot went in: an entry like any other, said afterwards."""
    batch = the_batch(shop, key)
    material, named = request.POST.get("material", ""), request.POST.get("lot", "")
    try:
        lot = access_lot(shop.id, named)
    except NotHere:
        lot = None
    if lot is None or lot.material != material:
        messages.error(request, _("Choose a lot of that material."))
        return redirect("office-label", key=key)
    who = signature(request, shop)
    body = {"material": material, "lot": lot.key}
    step = next(
        (m["step"] for m in batch_sheet(batch).get("materials", []) if m["id"] == material), ""
    )
    office_event(
        shop_id=shop.id,
        batch=key,
        kind="lot_used",
        body=body,
        by=who.by,
        signed=who.signed,
        known=SAID,
        step=step or None,
    )
    messages.success(
        request, gettext("%(name)s: lot %(mark)s went in.") % {"name": lot.name, "mark": lot.mark}
    )
    return redirect("office-label", key=key)
