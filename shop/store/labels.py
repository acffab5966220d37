"""Labels of a boil's bags: what they would say now, and each as it was printed."""

import json
from dataclasses import asdict, dataclass
from typing import Any

from django.db import transaction

from shop.labels.label import Answer, Boil, Label, make_label
from shop.labels.places import Place, place, place_of
from shop.labels.told import Problem
from shop.models import Batch, LabelPrint, MaterialLot, Recall
from shop.plan.canonical import canonical
from shop.record.made import Composition, composition_hash
from shop.sentences import Sentence
from shop.store.clock import now_ms
from shop.store.errors import LabelHeld, LabelStale, NotHere, OutOfRange
from shop.store.label_settings import Size, label_settings
from shop.store.made import made_of
from shop.store.read import batch_sheet, batch_state
from shop.store.shapes import BatchInfo, ShopInfo
from shop.store.stock import HELD

MOST_COPIES = 2000
# The finished mass before anything is lost: what lies on the table.
FINISHED = "table_mass"


@dataclass(frozen=True, slots=True)
class Printed:
    """A label as it was printed: the very text, its size, and whether the boil still is what it
    was made from (`stale`: no)."""

    number: int
    place: str
    label: Label
    size: Size
    text: str
    made_of: str
    copies: int
    at: int
    by: str
    stale: bool


def usual_place(batch: BatchInfo) -> Place:
    """Where the order is sold; Great Britain where its country has no rules here."""
    country = str(batch_sheet(batch).get("order", {}).get("country", ""))
    return place(place_of(country) or "GB")


def label_now(shop: ShopInfo, batch: BatchInfo, where: Place) -> Answer:
    """The label this boil's bags would get now, or why there is none."""
    made = made_of(batch)
    sheet, state = batch_sheet(batch), batch_state(batch)
    boil = _boil(sheet, state, made)
    answer = make_label(made, boil, label_settings(shop).lines, where)
    held = (*_held(batch, made), *_called_back(batch, made))
    if not held:
        return answer
    return Answer(None, (*answer.problems, *held), answer.notices, answer.left_out, answer.made_of)


def _boil(sheet: dict[str, Any], state: dict[str, Any], made: Composition) -> Boil:
    order = sheet.get("order", {})
    return Boil(
        lot=str(sheet.get("lot", "")),
        day=str(sheet.get("day", "")),
        title=str(sheet.get("title", "")),
        flavour=str(order.get("flavour", "")),
        net_mg=int(order.get("fill_mg", 0)),
        finished_mg=_finished(state, made),
    )


def _finished(state: dict[str, Any], made: Composition) -> int | None:
    """On the table, with the colours that came to it and the scrap that was melted in [mg]."""
    table = state["figures"].get(FINISHED)
    if not isinstance(table, int):
        return None
    colours = sum(one.mg or 0 for one in made.ingredients if one.kind == "colour")
    return table + colours + sum(one.mg for one in made.melted)


def _held(batch: BatchInfo, made: Composition) -> list[Problem]:
    """A lot that nobody may use holds the labels of what it went into back."""
    lots = {lot for one in made.all_ingredients() for lot in one.lots if lot}
    rows = MaterialLot.objects.filter(shop_id=batch.shop_id, key__in=lots, state=HELD)
    return [
        Problem(
            Sentence(
                "{name}, lot {mark}, is held, and it went into this boil.",
                name=row.material.name,
                mark=row.mark,
            ),
            Sentence(
                "Store room: find out why it is held, then let it go or keep these bags back."
            ),
        )
        for row in rows.select_related("material").order_by("pk")
    ]


def _called_back(batch: BatchInfo, made: Composition) -> list[Problem]:
    """Goods that are called back get no new labels."""
    lots = {lot for one in made.all_ingredients() for lot in one.lots if lot}
    return [
        Problem(
            Sentence("This boil is called back: {why}", why=row.why),
            Sentence("Keep the bags back; see what was called back."),
        )
        for row in Recall.objects.filter(shop_id=batch.shop_id).order_by("pk")
        if batch.key in row.of.get("boils", []) or lots & {*row.of.get("lots", [])}
    ]


def print_label(
    *, shop: ShopInfo, batch: BatchInfo, where: str, size: Size, copies: int, by: str
) -> Printed:
    """Keep the label as it is now, to be printed so many times; nobody can override what holds it.

    Locks the boil's row. Raises LabelHeld, OutOfRange; then nothing was kept.
    """
    if not 1 <= copies <= MOST_COPIES:
        raise OutOfRange("Copies", copies, 1, MOST_COPIES)
    with transaction.atomic():
        row = Batch.objects.select_for_update(no_key=True).get(pk=batch.id)
        answer = label_now(shop, batch, place(where))
        if answer.label is None:
            raise LabelHeld(batch.lot, [f"{p.words} {p.next}" for p in answer.problems])
        kept = LabelPrint.objects.create(
            shop_id=shop.id,
            batch=row,
            number=LabelPrint.objects.filter(batch=row).count() + 1,
            place=where,
            text=canonical({"label": answer.label, "size": asdict(size)}),
            made_of=answer.made_of,
            copies=copies,
            at=now_ms(),
            by=by,
        )
    return _printed(kept, answer.made_of)


def printed(batch: BatchInfo) -> list[Printed]:
    """Every label of a boil as it was printed, newest first."""
    rows = list(LabelPrint.objects.filter(batch_id=batch.id).order_by("-number"))
    now = composition_hash(made_of(batch)) if rows else ""
    return [_printed(row, now) for row in rows]


def access_printed(batch: BatchInfo, number: int) -> Printed:
    """One of them, to print again. Raises NotHere, and LabelStale where the boil is another now."""
    row = LabelPrint.objects.filter(batch_id=batch.id, number=number).first()
    if row is None:
        raise NotHere("label", str(number))
    found = _printed(row, composition_hash(made_of(batch)))
    if found.stale:
        raise LabelStale(batch.lot, number, found.copies)
    return found


def _printed(row: LabelPrint, now: str) -> Printed:
    held = json.loads(row.text)
    return Printed(
        number=row.number,
        place=row.place,
        label=held["label"],
        size=Size(**held["size"]),
        text=row.text,
        made_of=row.made_of,
        copies=row.copies,
        at=row.at,
        by=row.by,
        stale=row.made_of != now,
    )
