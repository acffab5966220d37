"""The customer's yes to a picture, and the orders that wait for it or lose it.

A yes to a proof of the version that stands, in the rod that is ordered, makes a quoted order with
nothing missing an agreed one; a changed picture or rod takes that back until the boil is open.
"""

from shop.models import Drawing, Order, ProofApproval
from shop.plan.orders.said import missing
from shop.plan.orders.stages import NOT_MADE, TO_MAKE
from shop.store.order_entries import write

UNDER_WAY = ("open", "closed")


def is_approved(row: Order) -> bool:
    """Whether the customer said yes to the picture as it stands and as it is ordered."""
    drawing = row.drawing
    if drawing is None:
        return False
    rod = row.said["rod_um"]
    found = ProofApproval.objects.filter(
        proof__drawing=drawing, proof__number=drawing.current, proof__rod_um=rod
    )
    return drawing.order.get("rod_um", rod) == rod and found.exists()


def missing_of(row: Order) -> list[str]:
    """What must still be said of it."""
    customer = bool(row.customer.name and row.customer.reach)
    drawing, approved = row.drawing is not None, is_approved(row)
    found: list[str] = missing(
        row.said, due=row.due, customer=customer, drawing=drawing, approved=approved
    )
    return found


def picture_approved(drawing: Drawing, number: int) -> None:
    """A customer said yes to this version; told in every order of the picture not made yet."""
    for row in _orders(drawing):
        write(row, "approved", by="", sets={}, note=f"version {number} of the picture")
        if row.stage == "quoted" and not missing_of(row):
            write(row, "agreed", by="", sets={"stage": "agreed"}, note="by the yes to the proof")


def picture_moved(drawing: Drawing, by: str) -> None:
    """The picture or its rod is another now, or one it was before."""
    for row in _orders(drawing):
        if is_approved(row):
            if row.stage == "quoted" and not missing_of(row):
                why = "the approved picture stands again"
                write(row, "agreed", by=by, sets={"stage": "agreed"}, note=why)
        else:
            take_back(row, by, "the picture has changed and wants a new yes")


def take_back(row: Order, by: str, why: str) -> None:
    """An agreed or planned order that lost what it was agreed on is quoted again."""
    under_way = row.boils.filter(batch__phase__in=UNDER_WAY).exists()
    if row.stage in TO_MAKE and not under_way:
        write(row, "taken_back", by=by, sets={"stage": "quoted"}, note=why)


def _orders(drawing: Drawing) -> list[Order]:
    rows = Order.objects.select_for_update(no_key=True, of=("self",))
    found = rows.select_related("customer").filter(drawing=drawing, stage__in=NOT_MADE)
    # The drawing at hand, as the caller just changed it.
    for row in (orders := list(found.order_by("pk"))):
        row.drawing = drawing
    return orders
