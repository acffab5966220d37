"""From an order to the form that plans its boil, and back: the boil is tied to the order."""

from typing import Any

from django.contrib import messages
from django.http import HttpRequest
from django.utils.translation import gettext

from shop.plan.orders.said import packs_together
from shop.screens.office.orders import the_order
from shop.store import orders as store_orders
from shop.store.errors import NotHere
from shop.store.order_shapes import OrderInfo
from shop.store.shapes import BatchInfo, ShopInfo

# Before the id of a picture, in the form's choice of pictures.
AT = ":"


def plan_of(shop: ShopInfo, number: str) -> dict[str, Any]:
    """What the form begins with for an order; of several kinds of pack, as many equal ones.

    The customer stands on the sheet by the order's number: a sheet is kept for good, and who they
    are can be erased. Raises Http404.
    """
    order = the_order(shop, number)
    said, known = order.said, _known(order)
    packs, fill = packs_together(said)
    sizes = {"rod": said["rod_um"], "piece": said["piece_um"]}
    return {
        **{"number": order.number, "customer": f"Order {order.number}", "title": order.title[:80]},
        **{"log": f"{said['log_mg'] / 1e6:g}", "sour": said["sour"] == "yes", **known},
        **{name: f"{um / 1000:g}" for name, um in sizes.items() if um},
        **({"packs": packs, "fill": f"{fill / 1000:g}"} if packs else {}),
    }


def _known(order: OrderInfo) -> dict[str, str]:
    """What was said in the form's own words; what was not is left to its own."""
    found = {
        **{"flavour": order.said["flavour"], "country": order.said["country"]},
        **{"due": order.due, "day": order.make_day},
        "picture": f"{AT}{order.drawing}" if order.drawing else "",
    }
    return {name: value for name, value in found.items() if value}


def tie(request: HttpRequest, shop: ShopInfo, batch: BatchInfo, sheet: dict[str, Any]) -> None:
    """A boil was planned: where its order's number is an order's, the order knows of it."""
    number, by = sheet["order"]["number"], request.user.get_username()
    try:
        order = store_orders.link_boil(
            shop_id=shop.id, number=number, batch=batch.key, day=sheet["day"], by=by
        )
    except NotHere:
        return
    if order.stage in ("asked", "quoted"):
        messages.warning(
            request,
            gettext("%(number)s is %(stage)s and not agreed yet.")
            % {"number": number, "stage": gettext(order.stage)},
        )
