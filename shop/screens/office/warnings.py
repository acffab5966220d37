"""What the desk is told of this computer before it becomes a loss, in words anybody can act on."""

from django.utils.translation import gettext

from shop.launch.condition import certificate_days, free_megabytes
from shop.store.clock import now_ms
from shop.store.read import newest_receipt

LOW_MB, NO_ROOM_MB = 2_000, 200
# The leaf renews itself at thirty days: below this it did not.
LATE_DAYS = 20
MINUTE_MS, HOUR_MS = 60_000, 3_600_000


def warnings(shop_id: int) -> list[str]:
    """One sentence each: what is wrong, and what to do; nothing where all is well."""
    found = (disk(free_megabytes()), certificate(certificate_days()), clock(shop_id))
    return [sentence for sentence in found if sentence]


def disk(free: int) -> str:
    """Free room [MB]."""
    if free >= LOW_MB:
        return ""
    if free < NO_ROOM_MB:
        end = gettext("Presses may not be kept any more.")
    else:
        end = gettext("Photos may soon not fit.")
    said = gettext(
        "The disk has %(free)s MB left. %(end)s Make room, or move old backups elsewhere."
    )
    return said % {"free": free, "end": end}


def certificate(days: int | None) -> str:
    """Days until it runs out."""
    if days is None or days > LATE_DAYS:
        return ""
    when = gettext("runs out in %(n)s days") % {"n": days} if days >= 0 else gettext("has run out")
    said = gettext(
        "The certificate that phones are shown %(when)s; phones then work on without the shop. "
        "Start the program anew; one that the shop brought must be renewed where it came from."
    )
    return said % {"when": when}


def clock(shop_id: int) -> str:
    """A clock that stands before the last entry it received itself."""
    behind = (newest_receipt(shop_id) or 0) - now_ms()
    if behind < MINUTE_MS:
        return ""
    size = f"{behind // HOUR_MS} h" if behind >= HOUR_MS else f"{behind // MINUTE_MS} min"
    said = gettext(
        "This computer’s clock stands %(size)s before the last entry it received. "
        "Set it right: switch on its own setting over the network."
    )
    return said % {"size": size}
