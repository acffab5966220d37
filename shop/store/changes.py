"""Who changed what, when, from what to what (contents as 21 CFR 11.10(e) asks of an audit trail:
operator, time, nothing earlier obscured; no claim of compliance)."""

from collections.abc import Mapping

from django.db.models import F, Window
from django.db.models.functions import Lag

from shop.models import Change, NumberChange
from shop.store.clock import now_ms
from shop.store.shapes import ChangeInfo


def note(
    *,
    shop_id: int,
    by: str,
    about: str,
    before: Mapping[str, object],
    after: Mapping[str, object],
) -> None:
    """Keep every value of `after` that differs from `before`; inside the caller's transaction."""
    moment = now_ms()
    for what, value in after.items():
        was, now = (_text(v) for v in (before.get(what), value))
        if was != now:
            Change.objects.create(
                shop_id=shop_id, at=moment, by=by, about=about, what=what, before=was, after=now
            )


def _text(value: object) -> str:
    return "" if value is None else str(value)


def changes(shop_id: int, *, most: int) -> list[ChangeInfo]:
    """The newest changes, those of numbers among them."""
    rows = Change.objects.filter(shop_id=shop_id).order_by("-pk")[:most]
    acts = [ChangeInfo(r.at, r.by, r.about, r.what, r.before, r.after) for r in rows]
    found = sorted([*acts, *_of_numbers(shop_id, most)], key=lambda change: change.at)
    return found[::-1][:most]


def _of_numbers(shop_id: int, most: int) -> list[ChangeInfo]:
    """Each setting of a number beside the one before it, in the number's fixed unit."""
    was = Window(Lag("value"), partition_by="key", order_by=F("pk").asc())
    rows = NumberChange.objects.filter(shop_id=shop_id).annotate(was=was).order_by("-pk")[:most]
    return [
        ChangeInfo(
            at=row.at,
            by=row.by,
            about=row.key,
            what=row.source,
            before="" if row.was is None else f"{row.was} {row.unit}",
            after=f"{row.value} {row.unit}",
        )
        for row in rows
    ]
