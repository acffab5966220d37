"""A store room for the loft: sugar, syrup and butter, and boils that take of them."""

from typing import Any

from shop.models import Batch, Delivery, MaterialLot
from shop.store import batches, lot_moves, stock
from shop.store.append import office_event
from shop.store.facts import refresh
from shop.store.shapes import ShopInfo
from tests.store.scene import sheet

KG = 1_000_000
SWATCH = {"yellow": "#f2c230", "brown": "#4a2811"}


def row(key: str, kind: str, record: str, lots: list[dict[str, Any]], **facts: Any) -> Any:
    """A material as a sheet names it."""
    plain = {"id": key, "name": key.title(), "kind": kind, "step": "", "record": record}
    return {**plain, "figure": "", "ppm": KG, "facts": facts, "lots": lots}


def fill_room(shop: ShopInfo) -> None:
    """Two lots of sugar, one of syrup that is of wheat, butter against foam."""
    wheat, milk = {"from": "wheat"}, {"allergens": ["milk"]}
    for key, kind, facts in (
        ("sugar", "sugar", {}),
        ("syrup", "syrup", {}),
        ("butter", "foam", milk),
    ):
        stock.set_material(shop_id=shop.id, key=key, name=key.title(), kind=kind, facts=facts)
    for key, material, day, papers in (
        ("s118", "sugar", "2026-11-02", {}),
        ("s119", "sugar", "2026-11-10", {}),
        ("g7", "syrup", "2026-11-02", wheat),
        ("b1", "butter", "2026-11-20", {}),
    ):
        lot_moves.receive(
            shop_id=shop.id,
            material=material,
            mark=key.upper(),
            supplier="An invented mill",
            received=day,
            amount=25 * KG,
            facts=papers,
            key=key,
        )


def figure(name: str, *op: Any) -> dict[str, Any]:
    return {"name": name, "unit": "mg", "spread": 0, "op": list(op)}


def boil(
    shop: ShopInfo,
    key: str,
    letter: str = "C",
    *,
    sour: int = 1,
    flavour: str = "quince",
    swatches: tuple[str, ...] = ("brown",),
) -> None:
    """A planned boil whose sheet names the store room as it is; its charge is 10 kg."""
    rows = [
        row(m.id, m.kind, RECORDS.get(m.kind, ""), _lots(m), **m.facts)
        for m in stock.for_sheet(shop.id)
    ]
    portions = [
        {"id": s, "name": s.title(), "record": "portion", "swatch": SWATCH[s], "dye_mg_per_kg": 9}
        for s in swatches
    ]
    plain = sheet(key, letter)
    more = [
        figure("charge", "given", 10 * KG),
        *(figure(f"{s}_mass", "given", KG) for s in swatches),
    ]
    planned = {
        **{**plain, "materials": rows, "portions": portions, "graph": [*plain["graph"], *more]},
        "order": {"packs": 80, "sour": sour, "flavour": flavour},
    }
    batches.plan_batch(shop_id=shop.id, sheet=planned)


RECORDS = {"sugar": "poured", "syrup": "portion"}


def _lots(material: Any) -> list[dict[str, Any]]:
    return [{"id": x.id, "words": x.words, "facts": dict(x.facts)} for x in material.lots]


def say(shop: ShopInfo, batch: str, kind: str, **body: Any) -> None:
    """Something of a boil, as the desk's own device writes it."""
    office_event(shop_id=shop.id, batch=batch, kind=kind, body=body)


def weigh(shop: ShopInfo, batch: str, what: str, mg: int) -> None:
    how = {"instrument": "t1", "how": "scale", "n": mg, "d": 1000, "unit": "g"}
    say(shop, batch, "reading_taken", what=what, **how)


def cook(shop: ShopInfo, key: str, letter: str, *lots: tuple[str, str], close: bool = True) -> None:
    """A boil of 8 kg of sugar and 3 kg of syrup, from these lots `(material, lot)`."""
    batches.open_planned(shop_id=shop.id, batch=key, lead="maren")
    weigh(shop, key, "poured", 8 * KG)
    weigh(shop, key, "portion", 3 * KG)
    for material, lot in lots:
        say(shop, key, "lot_used", material=material, lot=lot, also=1)
    if close:
        say(shop, key, "batch_closed")


def made(shop: ShopInfo, key: str, letter: str, *lots: tuple[str, str], **how: Any) -> None:
    """A boil planned, cooked and closed."""
    boil(shop, key, letter, **how)
    cook(shop, key, letter, *lots)


def send(shop: ShopInfo, batch: str, packs: int, order: Any = None) -> None:
    """Packs of a boil go to an order, or over the counter."""
    row_ = Batch.objects.get(shop_id=shop.id, key=batch)
    n = Delivery.objects.count()
    values = {"packs": packs, "day": "2026-12-03", "at": n, "key": f"d{n}"}
    Delivery.objects.create(shop_id=shop.id, batch=row_, order=order, **values)


def used(shop: ShopInfo) -> dict[tuple[str, str], int | None]:
    """(boil, lot) → how much, as the store has it now."""
    refresh(shop.id)
    rows = MaterialLot.objects.filter(shop_id=shop.id, uses__isnull=False)
    return {(b, lot): mg for b, lot, mg in rows.values_list("uses__batch__key", "key", "uses__mg")}


def left(shop: ShopInfo, key: str) -> int:
    refresh(shop.id)
    return stock.access_lot(shop.id, key).left
