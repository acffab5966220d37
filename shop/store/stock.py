"""What lies in the store room: materials and their lots, and how much is left of each.

Masses are mg; of what things are packed in it is pieces. What is left of a lot is what the desk
moved in and out less what boils took of it.
"""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from django.db import transaction
from django.db.models import Count, F, OuterRef, QuerySet, Subquery, Sum
from django.db.models.functions import Coalesce

from shop.models import LotMove, LotUse, Material, MaterialLot
from shop.plan import materials as planned
from shop.store.access import one_row
from shop.store.changes import note
from shop.store.errors import NotHere

KINDS = ("sugar", "syrup", "acid", "flavour", "colour", "slab", "foam", "pack")
# Nothing of it is weighed: it is counted.
PIECES = "pack"
OPEN, HELD, GONE = "open", "held", "gone"


@dataclass(frozen=True, slots=True)
class MaterialInfo:
    """Something that is bought; `facts` are those of docs/contracts.md, with `makes` and `low`.

    `makes`: sorts of sugar a colour makes → share of their dose [ppm]. `low` [mg or pieces]: below
    it the shop wants to be told; 0 for never.
    """

    key: str
    name: str
    kind: str
    facts: dict[str, Any]
    in_use: bool

    @property
    def low(self) -> int:
        return int(self.facts.get("low", 0))


@dataclass(frozen=True, slots=True)
class LotInfo:
    """One delivery of a material; days as 2026-11-02, `left` [mg or pieces], `boils` it went to."""

    key: str
    material: str
    name: str
    kind: str
    mark: str
    supplier: str
    received: str
    best_before: str
    facts: dict[str, Any]
    state: str
    left: int
    boils: int


def materials(shop_id: int) -> list[MaterialInfo]:
    """Every material, by kind and name; those no longer in use among them."""
    rows = Material.objects.filter(shop_id=shop_id).order_by("name", "pk")
    return sorted((_material(row) for row in rows), key=lambda one: KINDS.index(one.kind))


def access_material(shop_id: int, key: str) -> MaterialInfo:
    """The material of this shop with this id. Raises NotHere."""
    rows = Material.objects.filter(shop_id=shop_id, key=key)
    return _material(one_row(rows, "material", key))


def _material(row: Material) -> MaterialInfo:
    return MaterialInfo(row.key, row.name, row.kind, dict(row.facts), row.in_use)


def set_material(
    *,
    shop_id: int,
    key: str,
    name: str,
    kind: str,
    facts: dict[str, Any],
    in_use: bool = True,
    by: str = "",
) -> MaterialInfo:
    """Add a material, or change what the next sheets say of it; none is ever removed.

    Raises NotHere for a kind there is not; then nothing changed.
    """
    if kind not in KINDS:
        raise NotHere("kind of material", kind)
    values = {"name": name, "kind": kind, "facts": facts, "in_use": in_use}
    with transaction.atomic():
        before = Material.objects.filter(shop_id=shop_id, key=key).values(*values).first() or {}
        Material.objects.update_or_create(shop_id=shop_id, key=key, defaults=values)
        note(shop_id=shop_id, by=by, about=f"material {name}", before=before, after=values)
    return access_material(shop_id, key)


def lots(
    shop_id: int,
    *,
    material: str = "",
    states: Iterable[str] = (OPEN, HELD),
    most: int | None = None,
) -> list[LotInfo]:
    """Lots in these states, the oldest first; of one material where it is named."""
    rows = _with_left(MaterialLot.objects.filter(shop_id=shop_id, state__in=states))
    wanted = rows.filter(material__key=material) if material else rows
    return [lot_info(row) for row in wanted.order_by("received", "pk")[:most]]


def access_lot(shop_id: int, key: str) -> LotInfo:
    """The lot of this shop with this id. Raises NotHere."""
    rows = _with_left(MaterialLot.objects.filter(shop_id=shop_id, key=key))
    return lot_info(one_row(rows, "lot", key))


def find_lots(shop_id: int, words: str, *, most: int) -> list[LotInfo]:
    """Lots whose mark, supplier or material holds these words, the newest first."""
    rows = _with_left(MaterialLot.objects.filter(shop_id=shop_id))
    marked = rows.filter(mark__icontains=words)
    named = rows.filter(material__name__icontains=words) | rows.filter(supplier__icontains=words)
    found = list(marked.order_by("-pk")[:most]) or list(named.order_by("-pk")[:most])
    return [lot_info(row) for row in found]


def lots_where(shop_id: int, **wanted: Any) -> dict[int, LotInfo]:
    """Row number → lot, of those wanted; by material and age. Only for this room."""
    rows = _with_left(MaterialLot.objects.filter(shop_id=shop_id, **wanted))
    return {row.pk: lot_info(row) for row in rows.order_by("material__name", "received", "pk")}


def _with_left(rows: QuerySet[MaterialLot]) -> QuerySet[MaterialLot]:
    """Each lot with its sums, in the one query that reads it."""
    return rows.select_related("material").annotate(
        moved=_of_each(LotMove, Sum("mg")),
        used=_of_each(LotUse, Sum("mg")),
        boils=_of_each(LotUse, Count("pk")),
    )


def _of_each(model: Any, total: Any) -> Coalesce:
    rows = model.objects.filter(lot=OuterRef("pk")).order_by().values("lot")
    return Coalesce(Subquery(rows.annotate(total=total).values("total")), 0)


def lot_info(row: Any) -> LotInfo:
    """A row that `_with_left` has read."""
    return LotInfo(
        key=row.key,
        material=row.material.key,
        name=row.material.name,
        kind=row.material.kind,
        mark=row.mark,
        supplier=row.supplier,
        received=row.received,
        best_before=row.best_before,
        facts=dict(row.facts),
        state=row.state,
        left=row.moved - row.used,
        boils=row.boils,
    )


def for_sheet(shop_id: int) -> list[planned.Material]:
    """What a new sheet may name: materials in use, each with the lots that may be used."""
    rows = MaterialLot.objects.filter(shop_id=shop_id, state=OPEN, material__in_use=True)
    there: dict[str, list[planned.OpenLot]] = {}
    for row in rows.annotate(of=F("material__key")).order_by("received", "pk"):
        there.setdefault(row.of, []).append(planned.OpenLot(row.key, row.mark, dict(row.facts)))
    return [
        planned.Material(
            one.key, one.name, one.kind, _on_a_sheet(one), tuple(there.get(one.key, ()))
        )
        for one in materials(shop_id)
        if one.in_use
    ]


def _on_a_sheet(one: MaterialInfo) -> dict[str, Any]:
    return {key: value for key, value in one.facts.items() if key != "low"}
