"""The shop's own way in versions, and the one that is being worked on.

A version is never changed: taking an older one back makes a new one of the same text.
"""

import json
from typing import Any

from django.db import transaction

from shop.models import Shop, WayVersion
from shop.plan.check_way import problems_of
from shop.plan.own_way import Own, Way, applied, own_text, read_own, way_of
from shop.store.access import one_row
from shop.store.chain import sha256hex
from shop.store.changes import note
from shop.store.clock import now_ms
from shop.store.errors import WayMoved, WayWrong
from shop.store.shapes import WayInfo

# In the shop's settings: the way that is being worked on, and the version it was begun from.
DRAFT = "way_draft"
# What a version's number is called where there is none yet: the way that came with the program.
PROGRAM = 0


def versions(shop_id: int) -> list[WayInfo]:
    """Every version, the newest first."""
    rows = WayVersion.objects.filter(shop_id=shop_id).order_by("-number")
    return [_info(row) for row in rows]


def newest(shop_id: int) -> WayInfo:
    """The version in force; number 0 and no text where the program's way is."""
    row = WayVersion.objects.filter(shop_id=shop_id).order_by("-number").first()
    return _info(row) if row else WayInfo(PROGRAM, PROGRAM, "", "", "", 0, "")


def access_version(shop_id: int, number: int) -> WayInfo:
    """One version. Raises NotHere."""
    rows = WayVersion.objects.filter(shop_id=shop_id, number=number)
    return _info(one_row(rows, "version of our way", str(number)))


def way_for(shop_id: int) -> Way:
    """The way that this shop's next sheet is built from."""
    here = newest(shop_id)
    return way_of(applied(read_own(here.text)), here.number)


def draft(shop_id: int) -> tuple[Own, int]:
    """What is being worked on and the version it was begun from; the one in force where nothing
    is."""
    settings = Shop.objects.values_list("settings", flat=True).get(pk=shop_id)
    if found := settings.get(DRAFT):
        return json.loads(found["text"]), int(found["was"])
    here = newest(shop_id)
    return read_own(here.text), here.number


def keep_draft(*, shop_id: int, own: Own) -> None:
    """Go on working on this; it holds nowhere yet. Locks the shop's row."""
    _, was = draft(shop_id)
    _set_draft(shop_id, {"text": own_text(own), "was": was})


def drop_draft(*, shop_id: int) -> None:
    """Forget what was being worked on. Locks the shop's row."""
    _set_draft(shop_id, None)


def is_draft(shop_id: int) -> bool:
    """Whether something is being worked on."""
    settings = Shop.objects.values_list("settings", flat=True).get(pk=shop_id)
    return bool(settings.get(DRAFT))


def put_in_force(*, shop_id: int, note_: str, by: str) -> WayInfo:
    """What is being worked on is the way of the next sheet on. Locks the shop's row.

    Raises WayWrong, WayMoved where another version came meanwhile; then nothing changed.
    """
    with transaction.atomic():
        _lock(shop_id)
        own, was = draft(shop_id)
        if was != newest(shop_id).number:
            raise WayMoved(was, newest(shop_id).number)
        made = _keep(shop_id, own_text(own), note_, by)
        _set_draft(shop_id, None)
    return made


def take_back(*, shop_id: int, number: int, note_: str, by: str) -> WayInfo:
    """An older version, or the program's way (0), is in force again, as a new version.

    Locks the shop's row. Raises NotHere, WayWrong.
    """
    text = own_text(read_own("")) if number == PROGRAM else ""
    with transaction.atomic():
        _lock(shop_id)
        return _keep(shop_id, text or access_version(shop_id, number).text, note_, by)


def _keep(shop_id: int, text: str, note_: str, by: str) -> WayInfo:
    if problems := problems_of(applied(read_own(text))):
        raise WayWrong(problems)
    before = newest(shop_id)
    row = WayVersion.objects.create(
        shop_id=shop_id,
        number=before.number + 1,
        was=before.number,
        text=text,
        sha256=sha256hex(text.encode()),
        note=note_,
        at=now_ms(),
        by=by,
    )
    said = ({"version": before.number}, {"version": row.number, "why": note_})
    note(shop_id=shop_id, by=by, about="our way", before=said[0], after=said[1])
    return _info(row)


def _lock(shop_id: int) -> Shop:
    return Shop.objects.select_for_update(no_key=True).get(pk=shop_id)


def _set_draft(shop_id: int, kept: dict[str, Any] | None) -> None:
    with transaction.atomic():
        shop = _lock(shop_id)
        rest = {key: value for key, value in shop.settings.items() if key != DRAFT}
        shop.settings = {**rest, DRAFT: kept} if kept else rest
        shop.save(update_fields=["settings"])


def _info(row: WayVersion) -> WayInfo:
    return WayInfo(row.number, row.was, row.text, row.sha256, row.note, row.at, row.by)
