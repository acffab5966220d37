"""Projections: the fold of a batch, kept so that a page need not fold again."""

import json
from typing import Any

from django.db import transaction
from django.db.models import F

from shop.models import Batch, Event, Projection
from shop.plan.canonical import canonical
from shop.record import fold as folding
from shop.store.errors import NotHere
from shop.store.sheets import sheet_of


def state_of(batch_id: int) -> dict[str, Any]:
    """The state of a batch, folded again if events came since (docs/contracts.md, section 4)."""
    batch = Batch.objects.filter(pk=batch_id).only("position").first()
    if batch is None:
        raise NotHere("batch", str(batch_id))
    kept = Projection.objects.filter(
        batch_id=batch_id, position=batch.position, fold_version=folding.VERSION
    ).first()
    state: dict[str, Any] = json.loads(kept.state) if kept else refold(batch_id)
    return state


def states_of(batch_ids: list[int]) -> dict[int, dict[str, Any]]:
    """The states of these batches by their rows: one query, and some for each that went on."""
    now = Projection.objects.filter(
        batch_id__in=batch_ids, fold_version=folding.VERSION, position=F("batch__position")
    )
    kept = {pk: json.loads(state) for pk, state in now.values_list("batch_id", "state")}
    return {pk: kept[pk] if pk in kept else refold(pk) for pk in batch_ids}


def refold(batch_id: int) -> dict[str, Any]:
    """Fold a batch anew, keep the state and set the batch's phase by it."""
    with transaction.atomic():
        batch = (
            Batch.objects.select_related("sheet")
            .select_for_update(of=("self",), no_key=True)
            .get(pk=batch_id)
        )
        state = fresh_state(batch, batch.position)
        Projection.objects.update_or_create(
            batch=batch,
            defaults={
                "shop_id": batch.shop_id,
                "position": batch.position,
                "fold_version": folding.VERSION,
                "state": canonical(state),
            },
        )
        if batch.phase != state["phase"]:
            Batch.objects.filter(pk=batch_id).update(phase=state["phase"])
    return state


def fresh_state(batch: Batch, position: int) -> dict[str, Any]:
    """The fold of a batch's events up to a position; writes nothing."""
    lines = Event.objects.filter(batch=batch, position__lte=position).order_by("position")
    events = [json.loads(line) for line in lines.values_list("line", flat=True)]
    return folding.fold(sheet_of(batch.shop_id, batch.sheet.hash), events)
