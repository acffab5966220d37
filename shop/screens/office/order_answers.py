"""The verdict and the quote of an order: what takes seconds is asked of the hand beside the server.

With a picture both wait until it has been looked at; without one they stand at once.
"""

from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Any

from shop.craft.errors import CraftError
from shop.picture.case import Enquiry
from shop.picture.needs import logs_for
from shop.plan.errors import PlanError
from shop.plan.orders.counter import MakeDay, enquiry_of, without_picture
from shop.plan.orders.law import law_hints
from shop.plan.orders.quote import Quote, charged, plain_white, quote
from shop.plan.orders.said import packs_together
from shop.plan.orders.stages import NOT_MADE
from shop.plan.orders.week import Needs, taken_days
from shop.plan.portion import Portion
from shop.plan.sheet_picture import portions_of
from shop.screens.office.order_house import House, days_from, minutes_of, worked_of
from shop.screens.office.picture_asks import Opened, Ready, how_of, opened, own_numbers, ready
from shop.screens.office.picture_hand import HAND, CouldNot
from shop.screens.office.wording import percent
from shop.sentences import Sentence, reason
from shop.store.hands import Worked
from shop.store.order_reading import set_for
from shop.store.order_shapes import OrderInfo

Plain = dict[str, Any]
AHEAD, FARTHEST = 21, 150
USUAL_ROD = 14_000
PLAIN_HANDS = 2


@dataclass(frozen=True, slots=True)
class QuoteLine:
    """A sum in words, with its money."""

    what: str
    how: str
    money: str
    source: str


@dataclass(frozen=True, slots=True)
class QuotePage:
    """The sums of a quote and what they lead to."""

    lines: list[QuoteLine]
    on_top: list[QuoteLine]
    cost: str
    price: str
    a_pack: str
    logs: str
    waste: str
    asked: str


@dataclass(frozen=True, slots=True)
class AnswersPage:
    """What the counter can say of an order now; `waits`: something is still worked on; `asked`:
    whether it is still to be made, so that anybody asks."""

    asked: bool
    waits: bool
    wrong: str
    verdict: Plain | None
    quote: QuotePage | None
    hints: list[tuple[str, str]]


def answers(house: House, order: OrderInfo) -> AnswersPage:
    """Verdict, quote and what to think of where it is sold."""
    hints, asked = law_hints(order.said["country"]), order.stage in NOT_MADE
    enquiry = enquiry_of(order.said, make_day(house, order))
    if enquiry is None:
        return AnswersPage(asked, False, "", None, None, hints)
    try:
        verdict, parts = _asked(house, order, enquiry)
        found = _quote_page(house, order, parts.what) if parts.what else None
    except (CouldNot, CraftError, PlanError) as wrong:
        return AnswersPage(asked, False, reason(wrong), None, None, hints)
    waits, said = verdict.waits or parts.waits, verdict.wrong or parts.wrong
    return AnswersPage(asked, waits, said, verdict.what, found, hints)


def make_day(house: House, order: OrderInfo) -> MakeDay:
    """The day it is set for, else the last that will do, else the next open one."""
    latest = house.latest(order.due, order.said["ship_days"])
    today = house.today
    next_open = next(d for d in days_from(today, today + timedelta(366)) if open_on(house, d))
    late = latest and latest < today.isoformat()
    day = order.make_day or (next_open.isoformat() if late else latest)
    return MakeDay(
        day=day,
        latest=latest,
        busy=_taken(house, order, latest),
        light_up_min=house.minute("light_up"),
        shift_end_min=house.minute("shift_end"),
    )


def open_on(house: House, day: date) -> bool:
    """Whether the shop works on this day."""
    return house.calendar.is_open(day)


def _taken(house: House, order: OrderInfo, latest: str) -> frozenset[str]:
    """Days that are shut or full, from today on; the order itself takes no place."""
    end = max(date.fromisoformat(latest) if latest else house.today, house.today)
    last = min(end + timedelta(AHEAD), house.today + timedelta(FARTHEST))
    days = days_from(house.today, last)
    made = set_for(house.shop.id, days[0].isoformat(), days[-1].isoformat())
    if order.make_day in made:
        made[order.make_day] -= 1
    return taken_days(made, days, Needs({}, house.numbers, house.calendar))


def _asked(house: House, order: OrderInfo, enquiry: Enquiry) -> tuple[Ready, Ready]:
    """The verdict as plain data, and the log's portions; each may still be worked on."""
    numbers = own_numbers(house.shop)
    if not order.drawing:
        verdict = without_picture(enquiry, order.said, numbers, PLAIN_HANDS)
        return Ready(verdict), Ready(plain_white(numbers))
    one = _worked_for(house, order)
    job = (one.kept, one.how)
    decided = ready(HAND.ask("decided", *job, one.hands, enquiry, one.letter_m))
    if decided.waits or decided.wrong:
        return decided, Ready(wrong=decided.wrong)
    drawn = ready(HAND.ask("for_sheet", *job, one.info.title))
    if drawn.what:
        picture, sugars = drawn.what
        drawn = Ready(portions_of(picture, sugars, one.how.numbers))
    return Ready(decided.what.verdict), drawn


def _worked_for(house: House, order: OrderInfo) -> Opened:
    """The picture, for the rod and the log of the order."""
    one = opened(house.shop, order.drawing)
    rod = order.said["rod_um"] or USUAL_ROD
    return replace(one, how=how_of(house.shop, {"log_mg": order.said["log_mg"], "rod_um": rod}))


def _quote_page(house: House, order: OrderInfo, portions: list[Portion]) -> QuotePage | None:
    numbers, said = own_numbers(house.shop), order.said
    packs, fill = packs_together(said)
    logs = logs_for(packs, fill, said["log_mg"] / 1e6, numbers)
    if logs is None:
        return None
    given = charged(said["log_mg"], logs, numbers, portions, sour=said["sour"] != "no")
    worked = worked_of(house)
    minutes, sent = minutes_of(house, worked), said["place"] == "address"
    found = quote(given, packs, minutes, house.numbers, house.sources, sent=sent)
    return _page(house, order, found, logs, worked)


def _page(house: House, order: OrderInfo, found: Quote, logs: int, worked: Worked) -> QuotePage:
    weight = f"{order.said['log_mg'] / 1e6:g} kg"
    return QuotePage(
        lines=[_line(house, line) for line in found.lines],
        on_top=[_line(house, line) for line in found.on_top],
        cost=house.money(found.cost),
        price=house.money(found.price),
        a_pack=house.money(found.a_pack),
        logs=Sentence("{n} logs of {weight}", n=logs, weight=weight)
        if logs > 1
        else Sentence("one log of {weight}", weight=weight),
        waste=_waste(worked),
        asked=house.money(order.said["price"]),
    )


def _line(house: House, line: Any) -> QuoteLine:
    return QuoteLine(line.what, line.how, house.money(line.money), line.source)


def _waste(worked: Worked) -> str:
    """What the boils made of their logs, in a sentence."""
    if worked.yield_ppm is None:
        return Sentence(
            "No finished boil told its yield yet: the shop's numbers for head, tail and dust."
        )
    return Sentence(
        "{share} of the log became packs, the median of finished boils: {n}.",
        share=percent(worked.yield_ppm),
        n=worked.boils,
    )
