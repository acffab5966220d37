"""The scrap tins: sugar of finished boils that may be melted back, into what, and how much."""

import secrets
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import F, OuterRef, Subquery, Sum
from django.db.models.functions import Coalesce

from shop.models import Batch, Scrap, ScrapMove
from shop.plan.numbers import shop_numbers
from shop.plan.rework import FLOOR, Into, Rework, Tin, melted_swatch, rework
from shop.sentences import Sentence
from shop.store.access import access_batch, one_row
from shop.store.clock import now_ms
from shop.store.errors import NotHere, NotMelted, OutOfRange, PhaseWrong
from shop.store.genealogy import melted, reached
from shop.store.made import made_of
from shop.store.numbers import numbers
from shop.store.read import batch_sheet, batch_state, batch_states
from shop.store.shapes import BatchInfo

WHATS = ("ends", "dust", "seconds", "portion", FLOOR)
# What a boil's own weighing says there is of each.
WEIGHED = {
    "ends": ("head_weighed_mass", "tail_weighed_mass"),
    "dust": ("dust_weighed_mass",),
    "seconds": ("rejects_weighed_mass", "trial_weighed_mass"),
}
DONE, BEFORE = ("closed", "given_up"), ("planned", "open")


@dataclass(frozen=True, slots=True)
class TinInfo:
    """Scrap of a boil: `mg` at first, `left` now; `facts` as docs/contracts.md says."""

    key: str
    batch_id: int
    batch: str
    lot: str
    title: str
    what: str
    mg: int
    left: int
    facts: dict[str, Any]
    at: int
    by: str

    def as_tin(self) -> Tin:
        """As the rules of rework judge it."""
        facts = self.facts
        return Tin(
            mg=self.left,
            what=self.what,
            sour=bool(facts.get("sour")),
            flavour=str(facts.get("flavour", "")),
            swatch=str(facts.get("swatch", "#000000")),
            allergens=frozenset(facts.get("allergens", [])),
            spoilt=str(facts.get("spoilt", "")),
        )


@dataclass(frozen=True, slots=True)
class TinMoved:
    """What became of some of it [mg]: melted into a boil (lot), or binned ("")."""

    mg: int
    batch: str
    lot: str
    at: int
    by: str
    note: str


def tins(shop_id: int, *, batch: str = "", empty: bool = False) -> list[TinInfo]:
    """Tins with something in them, the oldest first; of one boil where it is named."""
    rows = _rows(shop_id).filter(batch__key=batch) if batch else _rows(shop_id)
    wanted = rows if empty else rows.filter(left__gt=0)
    return [_tin(row) for row in wanted.order_by("pk")]


def access_tin(shop_id: int, key: str) -> TinInfo:
    """The tin of this shop with this id. Raises NotHere."""
    return _tin(one_row(_rows(shop_id).filter(key=key), "tin", key))


def moved(shop_id: int, key: str) -> list[TinMoved]:
    """What became of a tin, newest first."""
    rows = ScrapMove.objects.filter(shop_id=shop_id, scrap__key=key, scrap__shop_id=shop_id)
    columns = ("mg", "batch__key", "batch__lot", "at", "by", "note")
    found = rows.order_by("-pk").values_list(*columns)
    return [TinMoved(mg, key_ or "", lot or "", *rest) for mg, key_, lot, *rest in found]


def to_keep(shop_id: int, batches: list[BatchInfo]) -> dict[str, dict[str, int]]:
    """Id of each of these finished boils → what there is to keep by its own weighing [mg], less
    what is in tins."""
    states = batch_states(batches)
    rows = Scrap.objects.filter(shop_id=shop_id, batch_id__in=[batch.id for batch in batches])
    there: dict[tuple[str, str], int] = {}
    for key, what, mg in rows.values_list("batch__key", "what", "mg"):
        there[key, what] = there.get((key, what), 0) + mg
    return {
        key: {
            what: max(
                sum(state["figures"].get(n) or 0 for n in names) - there.get((key, what), 0), 0
            )
            for what, names in WEIGHED.items()
        }
        for key, state in states.items()
    }


def fill(
    *,
    shop_id: int,
    batch: str,
    what: str,
    mg: int,
    spoilt: str = "",
    portion: str = "",
    key: str = "",
    by: str = "",
) -> TinInfo:
    """Keep sugar of a finished boil in a tin; a `key` that is here changes nothing.

    `portion`: the one sort it is, where it is not a bit of everything. Locks the boil's row.
    Raises NotHere, PhaseWrong, OutOfRange; then nothing was kept.
    """
    if what not in WHATS:
        raise NotHere("kind of scrap", what)
    own = key or secrets.token_hex(12)
    with transaction.atomic():
        rows = Batch.objects.filter(shop_id=shop_id, key=batch).select_for_update(no_key=True)
        row: Batch = one_row(rows, "batch", batch)
        if row.phase not in DONE:
            raise PhaseWrong(batch, row.phase, "closed")
        info = access_batch(shop_id, batch)
        if not Scrap.objects.filter(shop_id=shop_id, key=own).exists():
            _check(mg, _room(info))
            facts = {**_facts(info, portion), "spoilt": spoilt}
            values = {"what": what, "mg": mg, "facts": facts, "at": now_ms(), "by": by}
            Scrap.objects.create(shop_id=shop_id, key=own, batch=row, **values)
    return access_tin(shop_id, own)


def put_in_bin(
    *, shop_id: int, key: str, mg: int, by: str = "", words: str = "", move: str = ""
) -> TinInfo:
    """So much of a tin is thrown away; a `move` that is here changes nothing."""
    with transaction.atomic():
        row = _locked(shop_id, key)
        if not _is_moved(shop_id, move):
            _check(mg, access_tin(shop_id, key).left)
            _move(row, mg, None, by=by, words=words, key=move)
    return access_tin(shop_id, key)


def melt(*, shop_id: int, key: str, batch: str, mg: int, by: str = "", move: str = "") -> TinInfo:
    """So much of a tin goes into a boil that is not done; a `move` that is here changes nothing.

    Locks the tin's and the boil's rows. Raises NotHere, PhaseWrong, NotMelted, OutOfRange.
    """
    with transaction.atomic():
        row = _locked(shop_id, key)
        boils = Batch.objects.filter(shop_id=shop_id, key=batch).select_for_update(no_key=True)
        into: Batch = one_row(boils, "batch", batch)
        if into.phase not in BEFORE:
            raise PhaseWrong(batch, into.phase, "planned")
        if not _is_moved(shop_id, move):
            tin, boil = access_tin(shop_id, key), access_batch(shop_id, batch)
            said = judged(shop_id, [tin], [boil])[key, batch]
            if said.why_not:
                raise NotMelted(said.why_not)
            _check(mg, said.most)
            _move(row, mg, into, by=by, words="", key=move)
    return access_tin(shop_id, key)


def judged(
    shop_id: int, tins: Iterable[TinInfo], boils: Iterable[BatchInfo]
) -> dict[tuple[str, str], Rework]:
    """(tin, boil) → whether, and how much of, it may go in (shop/plan/rework.py)."""
    onward, _ = melted(shop_id)
    own = shop_numbers({key: one.value for key, one in numbers(shop_id).items()})
    found, every = {}, list(tins)
    for boil in boils:
        into, after = into_of(boil), reached(onward, {boil.id})
        for tin in every:
            itself = Rework(0, (Sentence("It is made of {lot} itself.", lot=boil.lot),))
            said = itself if tin.batch_id in after else rework(tin.as_tin(), into, own)
            found[tin.key, boil.key] = said
    return found


def into_of(batch: BatchInfo) -> Into:
    """A boil as the rules see it: by its sheet, and by what was said to have gone into it."""
    sheet, figures = batch_sheet(batch), batch_state(batch)["figures"]
    rows = ScrapMove.objects.filter(batch_id=batch.id)
    return Into(
        sour=bool(sheet["order"].get("sour")),
        flavour=str(sheet["order"]["flavour"]),
        sugars=tuple((p["name"], p["swatch"]) for p in sheet["portions"]),
        allergens=made_of(batch).allergens(),
        charge=figures.get("charge") or 0,
        melted=rows.aggregate(mg=Sum("mg"))["mg"] or 0,
    )


def _facts(batch: BatchInfo, portion: str) -> dict[str, Any]:
    """What a boil's scrap is judged by: its acid, flavour, colour once melted, allergens."""
    sheet, figures = batch_sheet(batch), batch_state(batch)["figures"]
    sorts = [p for p in sheet["portions"] if p["id"] == portion] or sheet["portions"]
    masses = [(p, figures.get(f"{p['id']}_mass") or 0) for p in sorts]
    sugars = [(p["swatch"], mg, bool(p.get("dye_mg_per_kg"))) for p, mg in masses]
    return {
        "sour": int(bool(sheet["order"].get("sour"))),
        "flavour": sheet["order"]["flavour"],
        "swatch": melted_swatch(sugars),
        "allergens": sorted(made_of(batch).allergens()),
    }


def _room(batch: BatchInfo) -> int:
    """What of a boil is in no tin yet [mg], at most: of its log, else of its charge."""
    figures = batch_state(batch)["figures"]
    whole = figures.get("log_weighed_mass") or figures.get("charge") or 0
    there = Scrap.objects.filter(batch_id=batch.id).aggregate(mg=Sum("mg"))["mg"] or 0
    return int(whole - there)


def _check(mg: int, most: int) -> None:
    if not 1 <= mg <= most:
        raise OutOfRange("The mass [mg]", mg, 1, most)


def _locked(shop_id: int, key: str) -> Scrap:
    rows = Scrap.objects.filter(shop_id=shop_id, key=key).select_for_update(no_key=True)
    row: Scrap = one_row(rows, "tin", key)
    return row


def _is_moved(shop_id: int, key: str) -> bool:
    return bool(key) and ScrapMove.objects.filter(shop_id=shop_id, key=key).exists()


def _move(row: Scrap, mg: int, into: Batch | None, *, by: str, words: str, key: str) -> None:
    own = key or secrets.token_hex(12)
    values = {"mg": mg, "batch": into, "at": now_ms(), "by": by, "note": words}
    ScrapMove.objects.create(shop_id=row.shop_id, key=own, scrap=row, **values)


def _rows(shop_id: int) -> Any:
    """Tins with what is left in each, in the one query that reads them."""
    gone = ScrapMove.objects.filter(scrap=OuterRef("pk")).order_by().values("scrap")
    total = Coalesce(Subquery(gone.annotate(total=Sum("mg")).values("total")), 0)
    rows = Scrap.objects.filter(shop_id=shop_id).select_related("batch")
    return rows.annotate(left=F("mg") - total)


def _tin(row: Any) -> TinInfo:
    boil = (row.batch_id, row.batch.key, row.batch.lot, row.batch.title)
    facts = dict(row.facts)
    return TinInfo(row.key, *boil, row.what, row.mg, row.left, facts, row.at, row.by)
