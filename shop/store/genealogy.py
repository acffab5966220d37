"""Which boil was melted into which: the way rework goes through the boils."""

from collections.abc import Iterable

from shop.models import ScrapMove

# Row of the boil the scrap is of → rows of the boils it was melted into; or the other way round.
Ways = dict[int, set[int]]


def melted(shop_id: int) -> tuple[Ways, Ways]:
    """Where scrap of each boil went, and where that of each came from; one query."""
    rows = ScrapMove.objects.filter(shop_id=shop_id, batch__isnull=False)
    onward: Ways = {}
    back: Ways = {}
    for old, new in rows.values_list("scrap__batch_id", "batch_id").distinct():
        onward.setdefault(old, set()).add(new)
        back.setdefault(new, set()).add(old)
    return onward, back


def reached(ways: Ways, start: Iterable[int]) -> set[int]:
    """These boils and all that are reached from them, however far; a circle ends it too."""
    found: set[int] = set()
    left = set(start)
    while left:
        found |= left
        left = {there for one in left for there in ways.get(one, ())} - found
    return found
