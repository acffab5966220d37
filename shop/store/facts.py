"""What boils are listed and found by: made anew for those that went on, from sheet and state."""

import time
from collections.abc import Callable
from dataclasses import asdict, dataclass
from functools import partial

from django.db import transaction
from django.db.models import F, QuerySet

from shop.models import Batch, BoilFacts, Projection, Shop
from shop.record import fold, found
from shop.record.check import Sheet
from shop.record.found import Found, found_of, hardly_found
from shop.record.steps import State
from shop.store import rebuild
from shop.store.lots import keep_uses
from shop.store.sheets import sheet_of

# So many boils are written together: the shop's counter is locked that long and no longer.
TOGETHER = 20
# Another fold, or other things read from it, and every boil is read again.
READ_BY = 1000 * fold.VERSION + found.VERSION
WRITTEN = tuple(Found.__dataclass_fields__)


def refresh(shop_id: int, *, for_s: float | None = None) -> int:
    """Make the facts anew of every boil that went on, or that an older fold was read by.

    One query where nothing did. With `for_s` [s] it stops after about so long; tells how many
    are left.
    """
    until = None if for_s is None else time.monotonic() + for_s
    stale = list(_stale(shop_id).order_by("-pk").values_list("pk", flat=True))
    for start in range(0, len(stale), TOGETHER):
        if until is not None and start and time.monotonic() > until:
            return len(stale) - start
        _renew(shop_id, stale[start : start + TOGETHER])
    return 0


def forget(batch: Batch) -> None:
    """The sheet is another one now: what was folded and read by the old one holds no more."""
    Projection.objects.filter(batch=batch).delete()
    BoilFacts.objects.filter(batch=batch).delete()


def facts_are_right(batch: Batch, state: State) -> bool:
    """Whether the facts of a batch, where they are of now, are those of this state of it."""
    rows = BoilFacts.objects.filter(batch=batch, position=batch.position, fold_version=READ_BY)
    kept = rows.values(*WRITTEN).first()
    return kept is None or kept == asdict(_read(batch, lambda: state).found)


def _stale(shop_id: int) -> QuerySet[Batch]:
    now = {"facts__position": F("position"), "facts__fold_version": READ_BY}
    return Batch.objects.filter(shop_id=shop_id).exclude(**now)


@dataclass(frozen=True, slots=True)
class _Read:
    """A boil as it was read; without `state` it could not be, and is listed all the same."""

    batch: Batch
    found: Found
    state: State | None

    def row(self) -> BoilFacts:
        at = {"position": self.batch.position, "fold_version": READ_BY}
        return BoilFacts(shop_id=self.batch.shop_id, batch=self.batch, **at, **asdict(self.found))


def _renew(shop_id: int, wanted: list[int]) -> None:
    """Read without a lock, then write; whoever wrote an older reading is found stale again."""
    batches = Batch.objects.filter(pk__in=wanted).select_related("sheet").defer("sheet__text")
    read = [_read(batch, partial(rebuild.state_of, batch.pk)) for batch in batches.order_by("pk")]
    with transaction.atomic():
        Shop.objects.select_for_update(no_key=True).filter(pk=shop_id).values_list("pk").first()
        same = set(Batch.objects.filter(pk__in=wanted).values_list("pk", "sheet_id"))
        now = [one for one in read if (one.batch.pk, one.batch.sheet_id) in same]
        BoilFacts.objects.bulk_create(
            [one.row() for one in now],
            update_conflicts=True,
            unique_fields=["batch"],
            update_fields=["position", "fold_version", *WRITTEN],
        )
        for one in now:
            if one.state is not None:
                keep_uses(one.batch, _sheet(one.batch), one.state)


def _read(batch: Batch, state: Callable[[], State]) -> _Read:
    """A boil that can't be read, of a sheet from elsewhere, hides no other."""
    try:
        known = state()
        return _Read(batch, found_of(_sheet(batch), known), known)
    except (LookupError, TypeError, ValueError, AttributeError):
        return _Read(batch, hardly_found(batch.lot, batch.title), None)


def _sheet(batch: Batch) -> Sheet:
    return sheet_of(batch.shop_id, batch.sheet.hash)
