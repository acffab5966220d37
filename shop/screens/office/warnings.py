"""What the desk is told of this computer before it becomes a loss, in words anybody can act on."""

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
    end = "Presses may not be kept any more." if free < NO_ROOM_MB else "Photos may soon not fit."
    return f"The disk has {free} MB left. {end} Make room, or move old backups elsewhere."


def certificate(days: int | None) -> str:
    """Days until it runs out."""
    if days is None or days > LATE_DAYS:
        return ""
    when = f"runs out in {days} days" if days >= 0 else "has run out"
    return (
        f"The certificate that phones are shown {when}; phones then work on without the shop. "
        "Start the program anew; one that the shop brought must be renewed where it came from."
    )


def clock(shop_id: int) -> str:
    """A clock that stands before the last entry it received itself."""
    behind = (newest_receipt(shop_id) or 0) - now_ms()
    if behind < MINUTE_MS:
        return ""
    size = f"{behind // HOUR_MS} h" if behind >= HOUR_MS else f"{behind // MINUTE_MS} min"
    return (
        f"This computer’s clock stands {size} before the last entry it received. "
        "Set it right: switch on its own setting over the network."
    )
