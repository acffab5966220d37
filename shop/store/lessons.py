"""What the boils taught: the finished boils read once each, and what was said of an offer."""

import json
import time
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from django.db import transaction

from shop.lessons.catalogue import LEARNED, lessons
from shop.lessons.hands import minutes_by_role, yield_of
from shop.lessons.scores import Record, Score, record_of, scores
from shop.lessons.teach import BoilTold, Setting, Taught, teach
from shop.lessons.told import told
from shop.models import Batch, NumberChange, Projection, Shop
from shop.plan.numbers import Number, defaults
from shop.record import fold as folding
from shop.sentences import Sentence
from shop.store import rebuild
from shop.store.changes import note
from shop.store.errors import NotOffered
from shop.store.numbers import change_number, numbers

# Boils that are learned from: with any drift older ones say little, and a page must stay quick.
NEWEST = 200
DECLINED = "not_learned"
MOST_KEPT = 20 * NEWEST
TOGETHER = 20


class Key(NamedTuple):
    """A boil as it was when it was read; the epoch tells stores and restored ones apart."""

    epoch: str
    batch: int
    position: int
    fold_version: int


@dataclass(frozen=True, slots=True)
class BoilRead:
    """What one boil said of the numbers, how its plan did, minutes by role, its yield [ppm]."""

    told: BoilTold
    scores: list[Score]
    minutes: dict[str, int]
    yield_ppm: int | None


@dataclass(frozen=True, slots=True)
class Lessons:
    """What the boils taught, how the plans did, and the scores of the newest boil."""

    boils: int
    taught: list[Taught]
    record: Record
    newest: BoilRead | None


# What each boil said, kept while the program runs: reading hundreds of sheets takes seconds, and a
# boil that ended hardly ever changes.
_read: dict[Key, BoilRead] = {}


def what_boils_taught(shop_id: int) -> Lessons:
    """From the shop's newest closed boils, oldest first."""
    read = finished_boils(shop_id)
    taught = teach([one.told for one in read], settings_of(shop_id))
    record = record_of([one.scores for one in read])
    return Lessons(len(read), taught, record, read[-1] if read else None)


def settings_of(shop_id: int) -> dict[str, Setting]:
    """Key → each number that is learned, as it is set now and as it was before the boils taught."""
    own, by_hand = numbers(shop_id), _by_hand(shop_id)
    said = Shop.objects.values_list("settings", flat=True).get(pk=shop_id).get(DECLINED, {})
    found = {}
    for key in (lesson.number for lesson in lessons().values() if lesson.number):
        now = own[key].value if key in own else defaults()[key].value
        learned = key in own and own[key].source.startswith(LEARNED)
        held = by_hand.get(key, defaults()[key].value) if learned else now
        found[key] = Setting(now, held, said.get(key))
    return found


def _by_hand(shop_id: int) -> dict[str, int]:
    """Key → what somebody set last without the boils."""
    rows = NumberChange.objects.filter(shop_id=shop_id).exclude(source__startswith=LEARNED)
    return dict(rows.order_by("pk").values_list("key", "value"))


def use_lesson(*, shop_id: int, lesson: str, value: int, by: str = "") -> Number:
    """Set a number to what the boils taught, from the next sheet on.

    Raises NotOffered where that is not what is offered (any more); then nothing changed.
    """
    taught = _offered(shop_id, lesson, value)
    number = defaults()[taught.lesson.number]
    change_number(
        shop_id=shop_id,
        key=number.id,
        value=value,
        unit=number.unit,
        source=f"{LEARNED} {in_boils(len(taught.used))}: {some_lots(taught.lots)}",
        low=number.low,
        high=number.high,
        by=by,
    )
    return number


def not_this_one(*, shop_id: int, lesson: str, value: int, by: str = "") -> Number:
    """Remember that this offer is not wanted; locks the shop's row.

    Raises NotOffered where that is not what is offered (any more); then nothing changed.
    """
    number = defaults()[_offered(shop_id, lesson, value).lesson.number]
    with transaction.atomic():
        shop = Shop.objects.select_for_update(no_key=True).get(pk=shop_id)
        before: Mapping[str, int] = shop.settings.get(DECLINED, {})
        after = {**before, number.id: value}
        shop.settings = {**shop.settings, DECLINED: after}
        shop.save(update_fields=["settings"])
        about = "what the boils taught: not this one"
        note(shop_id=shop_id, by=by, about=about, before=before, after=after)
    return number


def _offered(shop_id: int, lesson: str, value: int) -> Taught:
    for taught in what_boils_taught(shop_id).taught:
        if taught.lesson.id == lesson and taught.offer == value:
            return taught
    raise NotOffered(lesson, value)


def in_boils(count: int) -> str:
    """`1 boil`, `7 boils`."""
    return Sentence("1 boil") if count == 1 else Sentence("{n} boils", n=count)


def some_lots(lots: tuple[str, ...]) -> str:
    """All of up to three lots; of more the first and the last."""
    return ", ".join(lots) if len(lots) <= 3 else f"{lots[0]} to {lots[-1]}"


def read_on(shop_id: int, *, for_s: float) -> tuple[int, int]:
    """Read closed boils that were not read yet, for about so long [s]: how many are left, of how
    many."""
    until = time.monotonic() + for_s
    keys = _keys(shop_id)
    missing = [key for key in keys if key not in _read]
    for start in range(0, len(missing), TOGETHER):
        if start and time.monotonic() > until:
            return len(missing) - start, len(keys)
        _keep(_read_some(missing[start : start + TOGETHER]))
    return 0, len(keys)


def finished_boils(shop_id: int) -> list[BoilRead]:
    """The newest closed boils, oldest first; only those not read yet are read."""
    keys = _keys(shop_id)
    found = {key: boil for key in keys if (boil := _read.get(key))}
    missing = [key for key in keys if key not in found]
    for start in range(0, len(missing), TOGETHER):
        found |= _read_some(missing[start : start + TOGETHER])
    _keep(found)
    return [found[key] for key in keys]


def _keys(shop_id: int) -> list[Key]:
    """The newest closed boils, oldest first, as they are now."""
    closed = Batch.objects.filter(shop_id=shop_id, phase="closed").order_by("-opened_position")
    rows = closed.values_list("shop__epoch", "pk", "position")[:NEWEST]
    return [Key(*row, folding.VERSION) for row in reversed(rows)]


def _keep(found: dict[Key, BoilRead]) -> None:
    if len(_read) + len(found) > MOST_KEPT:
        _read.clear()
    _read.update(found)


def _read_some(keys: list[Key]) -> dict[Key, BoilRead]:
    """Reads these boils with two queries, and some for each whose state is not kept as it is."""
    wanted = [key.batch for key in keys]
    batches = Batch.objects.select_related("sheet").in_bulk(wanted)
    rows = Projection.objects.filter(batch_id__in=wanted)
    states = {
        (pk, at, version): state
        for pk, at, version, state in rows.values_list(
            "batch_id", "position", "fold_version", "state"
        )
    }
    found = {}
    for key in keys:
        text = states.get(key[1:])
        state = json.loads(text) if text else rebuild.state_of(key.batch)
        found[key] = _read_boil(batches[key.batch], state)
    return found


def _read_boil(batch: Batch, state: dict[str, Any]) -> BoilRead:
    sheet = json.loads(batch.sheet.text)
    boil = BoilTold(batch.key, batch.lot, told(sheet, state))
    hands, share = minutes_by_role(sheet, state), yield_of(sheet, state)
    return BoilRead(boil, scores(sheet, state), hands, share)
