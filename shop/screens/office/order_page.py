"""One order in words: what was said, the text read back, the days, the boils, the history."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import timedelta
from typing import Any

from django.utils.translation import gettext, gettext_noop

from shop.plan.from_drawing import casing_sugar, shop_sugars
from shop.plan.orders.read_back import ReadBack, read_back
from shop.plan.orders.said import (
    ACCEPTS,
    APPROVES,
    COUNTRIES,
    FAILS,
    PLACES,
    READS,
    YES_NO,
    packs_together,
)
from shop.plan.orders.stages import NEXT, NOT_MADE, STAGES
from shop.screens.office.access import the_zone
from shop.screens.office.order_history import Told, told
from shop.screens.office.order_house import House, long_day
from shop.screens.office.wording import phase_word
from shop.sentences import Sentence
from shop.store import deliveries
from shop.store.order_reading import history
from shop.store.order_shapes import BoilLink, DeliveryInfo, OrderInfo

LADDER = ("asked", "quoted", "agreed", "planned", "made", "packed", "delivered")
# What a press on the stage's button says.
BUTTONS = {
    **{
        "asked": gettext_noop("Back to asked"),
        "quoted": gettext_noop("Quoted"),
        "agreed": gettext_noop("Agreed"),
        "planned": gettext_noop("Planned"),
    },
    **{
        "made": gettext_noop("Made"),
        "packed": gettext_noop("Packed"),
        "delivered": gettext_noop("Delivered"),
    },
    **{"declined": gettext_noop("Decline it"), "called_off": gettext_noop("Called off")},
}


@dataclass(frozen=True, slots=True)
class Rung:
    """A stage on the way, and whether it is passed, now, or to come."""

    name: str
    state: str


@dataclass(frozen=True, slots=True)
class Days:
    """The days of an order in words; `warn` where the last make day is past or overrun."""

    due: str
    latest: str
    make_day: str
    how: str
    warn: str


@dataclass(frozen=True, slots=True)
class BoilLine:
    """A boil of the order: what it gave, what went out of it."""

    link: BoilLink
    phase: str
    packs: str


@dataclass(frozen=True, slots=True)
class OrderPage:
    """Everything the page of an order says at once."""

    order: OrderInfo
    stage: str
    ladder: list[Rung]
    # Stage, words, whether it goes on (and not back or off the way).
    moves: list[tuple[str, str, bool]]
    missing: list[str]
    not_made: bool
    wanted: int
    facts: list[tuple[str, str]]
    swatches: list[tuple[str, str]]
    text: ReadBack | None
    days: Days
    boils: list[BoilLine]
    gone: list[tuple[DeliveryInfo, str]]
    had: int
    told: list[Told]


def order_page(house: House, order: OrderInfo, missing: list[str]) -> OrderPage:
    """The page as it stands."""
    shop = house.shop
    gone = deliveries.deliveries(shop.id, order=order.number)
    zone = the_zone(shop)
    return OrderPage(
        order=order,
        stage=gettext(STAGES[order.stage]),
        ladder=_ladder(order.stage),
        moves=[_button(order.stage, to) for to in NEXT[order.stage]],
        missing=missing if order.stage in NOT_MADE else [],
        not_made=order.stage in NOT_MADE,
        wanted=packs_together(order.said)[0],
        facts=facts(house, order),
        swatches=_swatches(order),
        text=read_back(order.said["text"]) if order.said["text"] else None,
        days=days(house, order),
        boils=[_boil(shop.id, link) for link in order.boils],
        gone=[(one, long_day(one.day)) for one in gone],
        had=sum(one.packs for one in gone),
        told=[told(entry, zone) for entry in reversed(history(order))],
    )


def _ladder(stage: str) -> list[Rung]:
    at = LADDER.index(stage) if stage in LADDER else -1
    found = [
        Rung(gettext(STAGES[name]), "now" if n == at else "passed" if n < at else "to come")
        for n, name in enumerate(LADDER)
    ]
    return found if at >= 0 else [*found, Rung(gettext(STAGES[stage]), "now")]


def _button(stage: str, to: str) -> tuple[str, str, bool]:
    places = [LADDER.index(name) if name in LADDER else -1 for name in (stage, to)]
    if 0 <= places[1] < places[0]:
        return to, gettext("Back to %(stage)s") % {"stage": gettext(STAGES[to])}, False
    return to, gettext(BUTTONS[to]), places[1] > places[0]


def facts(house: House, order: OrderInfo) -> list[tuple[str, str]]:
    """What was said, by its name; what nobody said yet stands under 'Still to say'."""
    s = order.said
    none = {"none": gettext("nothing special")}
    found = [
        (gettext_noop("The picture"), s["art"]),
        (gettext_noop("Language"), s["language"]),
        (gettext_noop("It reads"), _word(READS, s["reads"])),
        (gettext_noop("Flavour"), s["flavour"]),
        (gettext_noop("Sour"), _word(YES_NO, s["sour"])),
        (gettext_noop("Contains"), s["contains"]),
        (
            gettext_noop("It must be"),
            none.get(s["needs_asked"], ", ".join([*map(gettext, s["needs"]), s["needs_more"]])),
        ),
        (gettext_noop("Rod and piece"), _size(s)),
        (gettext_noop("Packs"), "; ".join(_pack(pack) for pack in s["packs"])),
        (gettext_noop("It goes"), _word(PLACES, s["place"])),
        (gettext_noop("Sold in"), _word(COUNTRIES, s["country"])),
        (gettext_noop("Says yes to the proof"), _word(APPROVES, s["approves"])),
        (
            gettext_noop("They take it that"),
            "; ".join(gettext(ACCEPTS[key]) for key in s["accepts"]),
        ),
        (gettext_noop("May be ordered again"), _word(YES_NO, s["reorder"])),
        (gettext_noop("If the one try fails"), _fails(s)),
        (gettext_noop("Price"), house.money(s["price"])),
        (gettext_noop("Deposit"), house.money(s["deposit"])),
        (gettext_noop("What else"), s["note"]),
    ]
    return [(gettext(name), words.strip(", ")) for name, words in found if words.strip(", ")]


def _word(known: Mapping[str, str], key: str) -> str:
    return gettext(known[key]) if key in known else ""


def _size(said: dict[str, Any]) -> str:
    sizes = ((gettext("rod"), said["rod_um"]), (gettext("piece"), said["piece_um"]))
    return ", ".join(f"{name} {um / 1000:g} mm" for name, um in sizes if um)


def _pack(pack: dict[str, Any]) -> str:
    packed = f", {pack['packaging']}" if pack["packaging"] else ""
    return f"{pack['count']} × {pack['fill_mg'] / 1000:g} g{packed}"


def _fails(said: dict[str, Any]) -> str:
    words = _word(FAILS, said["fails"])
    if not said["remake_by"]:
        return words
    return gettext("%(words)s, by %(day)s") % {"words": words, "day": long_day(said["remake_by"])}


def _swatches(order: OrderInfo) -> list[tuple[str, str]]:
    known = {sugar.id: sugar for sugar in (*shop_sugars(), casing_sugar())}
    wanted = [known[key] for key in order.said["colours"] if key in known]
    return [(Sentence(sugar.name), sugar.swatch) for sugar in wanted]


def days(house: House, order: OrderInfo) -> Days:
    """Due, the last make day and how it comes about, the day it is set for, and what is late."""
    latest = house.latest(order.due, order.said["ship_days"])
    n, own = house.numbers, order.said["ship_days"]
    ship = n["ship_days"] if own < 0 else own
    how = gettext(
        "%(ship)s on the way, %(free)s kept free, %(make)s to make it; days the "
        "shop is shut are passed over"
    ) % {"ship": ship, "free": n["buffer_days"], "make": n["make_days"]}
    return Days(
        due=long_day(order.due),
        latest=long_day(latest),
        make_day=long_day(order.make_day),
        how=how if latest else "",
        warn=late(house, order.stage, order.make_day, latest),
    )


def late(house: House, stage: str, make_day: str, latest: str) -> str:
    """What is too late about an order that is not made yet; nothing where it is in time."""
    if not latest or stage not in NOT_MADE:
        return ""
    if make_day > latest:
        return gettext("It is set for %(day)s; it had to be made by %(latest)s.") % {
            "day": long_day(make_day),
            "latest": long_day(latest),
        }
    today = house.today.isoformat()
    if latest < today:
        return gettext("The last day to make it, %(latest)s, is past.") % {
            "latest": long_day(latest)
        }
    if latest == today:
        return gettext("Today is the last day to make it.")
    if latest == (house.today + timedelta(days=1)).isoformat() and not make_day:
        return gettext("Tomorrow is the last day to make it.")
    return ""


def _boil(shop_id: int, link: BoilLink) -> BoilLine:
    bags = deliveries.packed(shop_id, link.batch)
    out = deliveries.gone(shop_id, link.batch)
    packs = (
        gettext("nobody counted packs yet")
        if bags is None
        else gettext("%(packs)s packs, %(left)s still here") % {"packs": bags, "left": bags - out}
    )
    return BoilLine(link, phase_word(link.phase), packs)
