"""Injuries and near misses: the shop's restricted notes, apart from the batches, and erasable.

No event, record, export, pull or line of the program's log holds a word of them. What was erased
is gone from the database; a backup taken before holds it for as long as it is kept.
"""

import secrets
from dataclasses import dataclass

from django.db import transaction

from shop.models import Change, Desk, IncidentNote
from shop.store.access import one_row
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.erasing import emptied_log, removed
from shop.store.errors import NotHere, OutOfRange

KINDS = ("near miss", "injury")
MOST_CHARACTERS = 2000


@dataclass(frozen=True, slots=True)
class Incident:
    """One note; moments [ms], `by` the user who wrote it or `phone` it was written on."""

    key: str
    kind: str
    happened: int
    told: int
    text: str
    by: str
    phone: str


@dataclass(frozen=True, slots=True)
class Reader:
    """A user with a desk at the shop: let read these notes, or reading them as who runs it all."""

    user: str
    reads: bool
    runs: bool


def tell(
    *,
    shop_id: int,
    kind: str,
    happened: int,
    text: str,
    key: str = "",
    by: str = "",
    device_id: int | None = None,
) -> str:
    """Keep a note; its key. A key that was here changes nothing, even where its note was erased.

    Raises NotHere, OutOfRange; then nothing was kept.
    """
    if kind not in KINDS:
        raise NotHere("kind of note", kind)
    if not 1 <= len(text) <= MOST_CHARACTERS:
        raise OutOfRange("The note's length", len(text), 1, MOST_CHARACTERS)
    own = key or secrets.token_hex(16)
    values = {"kind": kind, "happened": happened, "told": now_ms(), "text": text, "by": by}
    with transaction.atomic():
        if not Change.objects.filter(shop_id=shop_id, about=_about(own)).exists():
            defaults = {**values, "device_id": device_id}
            IncidentNote.objects.get_or_create(shop_id=shop_id, key=own, defaults=defaults)
    return own


def incidents(shop_id: int) -> list[Incident]:
    """Every note, that which happened last first."""
    rows = IncidentNote.objects.filter(shop_id=shop_id).select_related("device")
    return [_incident(row) for row in rows.order_by("-happened", "-pk")]


def _incident(row: IncidentNote) -> Incident:
    phone = row.device.name if row.device else ""
    return Incident(row.key, row.kind, row.happened, row.told, row.text, row.by, phone)


def erase(*, shop_id: int, key: str, day: str, by: str) -> bool:
    """Erase a note for good; 'who changed what' keeps its number and its `day`, no word of it.

    False where SQLite could not empty its own log of it yet, because somebody was reading: the next
    erasure does. On PostgreSQL a vacuum frees its place (docs/backups.md). Raises NotHere.
    """
    with transaction.atomic():
        row = one_row(IncidentNote.objects.filter(shop_id=shop_id, key=key), "note", key)
        what = f"note of {day}"
        before, after = {what: "kept"}, {what: "erased"}
        note(shop_id=shop_id, by=by, about=_about(key), before=before, after=after)
        removed(IncidentNote, {row.pk})
    return emptied_log()


def _about(key: str) -> str:
    return f"restricted note {key}"


def may_read(shop_id: int, user_id: int) -> bool:
    """Whether this user was let read the notes at this shop's desk."""
    return Desk.objects.filter(shop_id=shop_id, user_id=user_id, sees_injuries=True).exists()


def readers(shop_id: int) -> list[Reader]:
    """Everybody with a desk at the shop, by sign-in name."""
    rows = Desk.objects.filter(shop_id=shop_id).order_by("user__username")
    columns = ("user__username", "sees_injuries", "user__is_staff")
    return [Reader(*row) for row in rows.values_list(*columns)]


def let_read(*, shop_id: int, user: str, reads: bool, by: str) -> None:
    """From now on this user may, or may not, read the notes. Raises NotHere."""
    with transaction.atomic():
        desks = Desk.objects.filter(shop_id=shop_id, user__username=user)
        desk = one_row(desks.select_for_update(of=("self",)), "desk of", user)
        words = ("may not", "may")
        before, after = (
            {"read the restricted notes": words[v]} for v in (desk.sees_injuries, reads)
        )
        desk.sees_injuries = reads
        desk.save(update_fields=["sees_injuries"])
        note(shop_id=shop_id, by=by, about=f"user {user}", before=before, after=after)
