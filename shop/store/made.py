"""What a boil was made of: with the lots’ own papers, and the scrap that was melted in."""

from dataclasses import replace

from shop.models import ScrapMove
from shop.plan.whole import half_up
from shop.record.made import Composition, Ingredient, Melted, composition
from shop.store.access import batch_info
from shop.store.lots import facts_of
from shop.store.read import batch_sheet, batch_state
from shop.store.shapes import BatchInfo

WATER = "water"


def made_of(batch: BatchInfo) -> Composition:
    """What went into a boil, scrap of others with what that was made of, however far back."""
    return _made(batch, frozenset())


def _made(batch: BatchInfo, above: frozenset[int]) -> Composition:
    sheet, state = batch_sheet(batch), batch_state(batch)
    papers = facts_of(batch.shop_id, {used["lot"] for used in state["lots"]})
    own = composition(sheet, state, papers)
    melted = tuple(_melted(batch.id, above | {batch.id}))
    gaps = [f"Scrap of {one.lot}: {gap}" for one, found in melted for gap in found]
    return replace(own, melted=tuple(one for one, _ in melted), gaps=(*own.gaps, *gaps))


def _melted(batch_id: int, above: frozenset[int]) -> list[tuple[Melted, tuple[str, ...]]]:
    """Scrap of each boil that was melted into this one, and what nobody said of it."""
    rows = ScrapMove.objects.filter(batch_id=batch_id).select_related("scrap__batch__sheet")
    found: dict[int, tuple[BatchInfo, int]] = {}
    for row in rows.defer("scrap__batch__sheet__text").order_by("pk"):
        info = batch_info(row.scrap.batch)
        found[info.id] = (info, found.get(info.id, (info, 0))[1] + row.mg)
    return [_of(info, mg, above) for info, mg in found.values() if info.id not in above]


def _of(info: BatchInfo, mg: int, above: frozenset[int]) -> tuple[Melted, tuple[str, ...]]:
    made = _made(info, above)
    return Melted(info.key, info.lot, mg, scaled(made.all_ingredients(), mg)), made.gaps


def scaled(ingredients: tuple[Ingredient, ...], mg: int) -> tuple[Ingredient, ...]:
    """So much of a finished boil, as its ingredients: the water it was dissolved in boiled off."""
    dry = [one for one in ingredients if one.kind != WATER]
    whole = sum(one.mg or 0 for one in dry)
    return tuple(
        replace(one, mg=None if one.mg is None else half_up(one.mg * mg, max(whole, 1)))
        for one in dry
    )
