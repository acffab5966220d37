"""The list of boils, and the search in it: newest first, page by page."""

from collections import Counter
from dataclasses import dataclass

from django.db.models import Q, QuerySet

from shop.models import BoilFacts, Customer, OrderBoil
from shop.record.found import off_word, plain_words
from shop.store.errors import NotHere
from shop.store.facts import refresh

PAGE = 30
# Of the newest boils so many colours are offered.
OFFERED_OF, OFFERED = 200, 16
MOST_WORDS = 12
MONTH_END = "-31"


@dataclass(frozen=True, slots=True)
class Sought:
    """What a boil is looked for by; "" is anything.

    `words`: all of them, anywhere in what it is found by or in the name of whose order it was made
    for. `customer`: whole name. `month` as
    2026-11. `swatches`: one of these as on the sheet; none at all finds nothing. `off`: code of a
    mark or a check, or ANY_OFF.
    """

    words: str = ""
    customer: str = ""
    month: str = ""
    swatches: tuple[str, ...] | None = None
    off: str = ""


ANY_OFF = "any"


@dataclass(frozen=True, slots=True)
class BoilLine:
    """A boil in the list; masses [mg], yield [ppm of the log], None where nobody weighed."""

    key: str
    lot: str
    letter: str
    title: str
    phase: str
    day: str
    customer: str
    flavour: str
    order_number: str
    colours: tuple[str, ...]
    bags: int | None
    packed_mg: int | None
    yield_ppm: int | None
    went_off: int


@dataclass(frozen=True, slots=True)
class OrderedBy:
    """An order that a boil was made for; `name` is the customer's of today, "" once erased."""

    number: str
    customer: str
    name: str


@dataclass(frozen=True, slots=True)
class BoilPage:
    """Some boils; `after` names the last where older ones follow, `unread` are still to be read."""

    boils: list[BoilLine]
    after: str
    unread: int


def boils(
    shop_id: int, sought: Sought, *, after: str = "", most: int = PAGE, for_s: float | None = None
) -> BoilPage:
    """The newest boils that are like this, or those next to the one named `after`.

    What went on since is read first, for about `for_s` [s]. Raises NotHere for an `after` that is
    none of the shop's.
    """
    unread = refresh(shop_id, for_s=for_s)
    rows = _like(shop_id, sought).select_related("batch").order_by("-day", "-batch")
    if after:
        rows = rows.filter(_older_than(shop_id, after))
    some = list(rows[: most + 1])
    whose = ordered_by(shop_id, [row.batch_id for row in some])
    found = [_line(row, whose.get(row.batch_id, [])) for row in some]
    return BoilPage(found[:most], found[most - 1].key if len(found) > most else "", unread)


def ordered_by(shop_id: int, batches: list[int]) -> dict[int, list[OrderedBy]]:
    """Row of each of these batches → the orders it was made for."""
    rows = OrderBoil.objects.filter(shop_id=shop_id, batch_id__in=batches).order_by("pk")
    found: dict[int, list[OrderedBy]] = {}
    for batch, *order in rows.values_list("batch_id", *ORDER):
        found.setdefault(batch, []).append(OrderedBy(*order))
    return found


ORDER = ("order__number", "order__customer__key", "order__customer__name")


def all_swatches(shop_id: int, *, for_s: float | None = None) -> list[str]:
    """Every colour that any boil had; what went on since is read first, for about `for_s` [s]."""
    refresh(shop_id, for_s=for_s)
    rows = BoilFacts.objects.filter(shop_id=shop_id).order_by()
    distinct = rows.values_list("colours", flat=True).distinct()
    return sorted({colour for colours in distinct for colour in colours.split()})


def newest_swatches(shop_id: int) -> list[str]:
    """Colours of the newest boils, the commonest first."""
    rows = BoilFacts.objects.filter(shop_id=shop_id).order_by("-day", "-batch")
    newest = rows.values_list("colours", flat=True)[:OFFERED_OF]
    counted = Counter(colour for colours in newest for colour in colours.split())
    return [colour for colour, _ in counted.most_common(OFFERED)]


def _like(shop_id: int, sought: Sought) -> QuerySet[BoilFacts]:
    rows = BoilFacts.objects.filter(shop_id=shop_id)
    for word in plain_words(sought.words).split()[:MOST_WORDS]:
        rows = rows.filter(Q(words__contains=word) | _for(shop_id, name__icontains=word))
    if sought.customer:
        name = sought.customer.replace("\0", "")
        rows = rows.filter(Q(customer=name) | _for(shop_id, name=name))
    if sought.month:
        rows = rows.filter(day__gte=sought.month, day__lte=f"{sought.month}{MONTH_END}")
    if sought.off == ANY_OFF:
        rows = rows.filter(went_off__gt=0)
    elif sought.off:
        rows = rows.filter(words__contains=off_word(sought.off))
    return rows if sought.swatches is None else rows.filter(_has_one(sought.swatches))


def _for(shop_id: int, **customer: str) -> Q:
    """Made for an order of such a customer: their names stand in their own rows alone, which can
    be erased."""
    whom = Customer.objects.filter(shop_id=shop_id, erased=None, **customer)
    made = OrderBoil.objects.filter(shop_id=shop_id, order__customer__in=whom)
    return Q(batch__in=made.values("batch"))


def _has_one(wanted: tuple[str, ...]) -> Q:
    found = Q(pk__in=())
    for swatch in wanted:
        found |= Q(colours__contains=swatch)
    return found


def _older_than(shop_id: int, key: str) -> Q:
    rows = BoilFacts.objects.filter(shop_id=shop_id, batch__shop_id=shop_id, batch__key=key)
    place = None if "\0" in key else rows.values_list("day", "batch_id").first()
    if place is None:
        raise NotHere("batch", key)
    day, batch = place
    # The first half is not needed for the answer: by it a database goes straight to the place.
    return Q(day__lte=day) & (Q(day__lt=day) | Q(batch_id__lt=batch))


def _line(row: BoilFacts, orders: list[OrderedBy]) -> BoilLine:
    batch = row.batch
    names = [order.name for order in orders if order.name]
    return BoilLine(
        **{name: getattr(batch, name) for name in ("key", "lot", "letter", "title", "phase")},
        **{name: getattr(row, name) for name in FACTS},
        customer=names[0] if names else row.customer,
        colours=tuple(row.colours.split()),
    )


FACTS = ("day", "flavour", "order_number", "bags", "packed_mg", "yield_ppm", "went_off")
