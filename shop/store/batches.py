"""Planning and opening boils."""

import json
from collections.abc import Iterable
from typing import Any

from django.db import transaction

from shop.models import Batch, Shop
from shop.plan.check_sheet import check_sheet
from shop.plan.errors import SheetMisshapen, SheetWrong
from shop.plan.sheet_shape import check_shape
from shop.store.access import access_batch, batch_info
from shop.store.append import office_event
from shop.store.chain import sha256hex
from shop.store.errors import BadSheet, LetterTaken, NotHere, PhaseWrong
from shop.store.facts import forget
from shop.store.judge import BATCH_ID, shown
from shop.store.shapes import BatchInfo
from shop.store.sheets import freeze, frozen_text

OPEN = ("open",)


def batches(shop_id: int, *phases: str, most: int | None = None) -> list[BatchInfo]:
    """The shop's newest batches first, at most so many; with `phases` only those in one."""
    rows = Batch.objects.filter(shop_id=shop_id).select_related("sheet").defer("sheet__text")
    wanted = rows.filter(phase__in=phases) if phases else rows
    return [batch_info(row) for row in wanted.order_by("-pk")[:most]]


def named(shop_id: int, keys: Iterable[str]) -> list[BatchInfo]:
    """Those of the shop's batches that have one of these ids."""
    rows = Batch.objects.filter(shop_id=shop_id, key__in=set(keys)).select_related("sheet")
    return [batch_info(row) for row in rows.defer("sheet__text")]


def lots_among(shop_id: int, lots: list[str]) -> set[str]:
    """Which of these lots there are."""
    return set(Batch.objects.filter(shop_id=shop_id, lot__in=lots).values_list("lot", flat=True))


def plan_batch(*, shop_id: int, sheet: dict[str, Any]) -> BatchInfo:
    """Keep a sheet for a batch that is not open yet; a newer sheet takes the older one's place.

    Locks the counter row. Raises BadSheet, PhaseWrong; then nothing was written.
    """
    key = _checked_id(sheet)
    with transaction.atomic():
        _lock(shop_id)
        found = Batch.objects.filter(shop_id=shop_id, key=key).first()
        if found is not None and found.phase != "planned":
            raise PhaseWrong(key, found.phase, "planned")
        row = found or Batch(shop_id=shop_id, key=key)
        row.sheet = freeze(shop_id=shop_id, sheet=sheet)
        for name, value in _columns(sheet).items():
            setattr(row, name, value)
        row.save()
        forget(row)
    return access_batch(shop_id, key)


def accept_sheet(*, shop_id: int, name: str, text: str) -> None:
    """A sheet that a phone brings back to a restored server, with the planned batch it is for.

    A batch that is here keeps its own sheet until its opening says otherwise. Locks the counter
    row. Raises BadSheet; then nothing was written.
    """
    sheet = read_sheet(name=name, text=text)
    with transaction.atomic():
        _lock(shop_id)
        if Batch.objects.filter(shop_id=shop_id, key=sheet["batch"]).exists():
            freeze(shop_id=shop_id, sheet=sheet)
        else:
            plan_batch(shop_id=shop_id, sheet=sheet)


def read_sheet(*, name: str, text: str) -> dict[str, Any]:
    """The sheet in a text that this program did not make itself, `name` being its hash.

    Raises BadSheet.
    """
    try:
        sheet = json.loads(text)
    except (ValueError, RecursionError) as bad:
        raise BadSheet(f"it is not one whole JSON object: {bad}.") from bad
    if not isinstance(sheet, dict) or sha256hex(frozen_text(sheet).encode()) != name:
        raise BadSheet(f"its text is not the one whose hash is {shown(name)}.")
    try:
        check_shape(sheet)
        check_sheet(sheet)
    except (SheetMisshapen, SheetWrong) as bad:
        raise BadSheet(str(bad)) from bad
    _checked_id(sheet)
    _columns(sheet)
    return sheet


def open_batch(*, shop_id: int, sheet: dict[str, Any], lead: str, by: str = "") -> BatchInfo:
    """Freeze the sheet and open the batch with it, all or nothing."""
    with transaction.atomic():
        planned = plan_batch(shop_id=shop_id, sheet=sheet)
        return open_planned(shop_id=shop_id, batch=planned.key, lead=lead, by=by)


def open_planned(
    *, shop_id: int, batch: str, lead: str, by: str = "", signed: str | None = None
) -> BatchInfo:
    """Open a planned batch; `lead` has the boil.

    Locks the counter row. Raises NotHere, PhaseWrong, LetterTaken; then nothing was written.
    """
    with transaction.atomic():
        _lock(shop_id)
        planned = access_batch(shop_id, batch)
        if planned.phase != "planned":
            raise PhaseWrong(batch, planned.phase, "planned")
        check_letter(shop_id, planned.letter)
        body = {"sheet": planned.sheet, "lead": lead}
        office_event(
            shop_id=shop_id, batch=batch, kind="batch_opened", by=by, body=body, signed=signed
        )
    return access_batch(shop_id, batch)


def check_letter(shop_id: int, letter: str) -> None:
    """Two open boils never have the same letter. Raises LetterTaken."""
    other = Batch.objects.filter(shop_id=shop_id, letter=letter, phase__in=OPEN).first()
    if other is not None:
        raise LetterTaken(letter, other.key)


def _lock(shop_id: int) -> None:
    if not Shop.objects.select_for_update(no_key=True).filter(pk=shop_id).values_list("pk").first():
        raise NotHere("shop", str(shop_id))


def _checked_id(sheet: dict[str, Any]) -> str:
    key = sheet.get("batch")
    if not isinstance(key, str) or not BATCH_ID.fullmatch(key):
        raise BadSheet(
            f"its batch id is {shown(key)}; letters, digits, . _ - up to 64 are allowed."
        )
    return key


def _columns(sheet: dict[str, Any]) -> dict[str, str]:
    """What the batch's own columns take from its sheet. Raises BadSheet.

    SQLite would keep a text of any length; PostgreSQL refuses what is longer than its column, and
    the character NUL.
    """
    boil = sheet["boil"] if isinstance(sheet["boil"], dict) else {}
    found = {"lot": sheet["lot"], "title": sheet["title"]}
    found |= {name: boil.get(name) for name in ("letter", "pattern")}
    for name, value in found.items():
        most = int(Batch._meta.get_field(name).max_length)  # type: ignore[union-attr,arg-type]  # plain columns
        if not isinstance(value, str) or len(value) > most or "\0" in value:
            raise BadSheet(
                f"its {name} is {shown(value)}; it must be a text of at most {most} characters, "
                "none of them NUL."
            )
    return found
