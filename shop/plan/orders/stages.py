"""How far an order is, in the trade's words, and what may follow what."""

from shop.plan.errors import StageWrong, StillMissing

STAGES = {
    **{"asked": "asked", "quoted": "quoted", "agreed": "agreed", "planned": "planned"},
    **{"made": "made", "packed": "packed", "delivered": "delivered"},
    **{"declined": "declined", "called_off": "called off"},
}
# What may follow; the first is the usual one.
NEXT = {
    "asked": ("quoted", "declined", "called_off"),
    "quoted": ("agreed", "asked", "declined", "called_off"),
    "agreed": ("planned", "quoted", "called_off"),
    "planned": ("made", "agreed", "called_off"),
    "made": ("packed", "planned", "called_off"),
    "packed": ("delivered", "made", "called_off"),
    "delivered": ("packed",),
    "declined": ("asked",),
    "called_off": ("asked",),
}
# Somebody must still do something.
OPEN = ("asked", "quoted", "agreed", "planned", "made", "packed")
# They take sugar, hands and a day.
TO_MAKE = ("agreed", "planned")
# Not made yet, so that a day for it can be moved.
NOT_MADE = ("asked", "quoted", *TO_MAKE)


def check_move(now: str, to: str, missing: list[str], *, priced: bool) -> None:
    """Raises StageWrong where `to` can't follow `now`, StillMissing for what must be said first."""
    if to not in NEXT[now]:
        raise StageWrong(STAGES[now], [STAGES[stage] for stage in NEXT[now]], STAGES.get(to, to))
    if to == "quoted" and now == "asked" and not priced:
        raise StillMissing("quoted", ["the price"])
    if to in TO_MAKE and now in ("asked", "quoted", "agreed") and missing:
        raise StillMissing(STAGES[to], missing)
