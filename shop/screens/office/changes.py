"""Who changed what: people, phones, desks, the site, the shop's numbers."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

from shop.plan.numbers import Number, defaults
from shop.plan.orders.numbers import counter_defaults
from shop.screens.office.access import at_desk, the_zone
from shop.screens.office.numbers import SHOWN, in_words
from shop.screens.office.wording import moment
from shop.store.changes import changes
from shop.store.shapes import ChangeInfo, ShopInfo

SHOWN_AT_MOST = 300
# What is kept as a moment, and what it is called.
MOMENTS = {"locked_out_at": "locked out", "added": "added"}
FLAGS = {"True": "yes", "False": "no"}
ASIDE = {"active": "on the phones"}


@dataclass(frozen=True, slots=True)
class ChangeLine:
    """One change in words."""

    when: str
    by: str
    about: str
    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class ChangesPage:
    """The newest changes first."""

    changes: list[ChangeLine]
    most: int


def _line(change: ChangeInfo, zone: ZoneInfo) -> ChangeLine:
    number = _number(change.about)
    before, after = (_value(change, text, zone) for text in (change.before, change.after))
    return ChangeLine(
        when=moment(change.at, zone),
        by=change.by or "the program",
        about=number.name if number else change.about,
        what=MOMENTS.get(change.what) or ASIDE.get(change.what, change.what.replace("_", " ")),
        before=before,
        after=after,
    )


def _number(key: str) -> Number | None:
    return defaults().get(key) or counter_defaults().get(key)


def _value(change: ChangeInfo, text: str, zone: ZoneInfo) -> str:
    if change.what in MOMENTS:
        return moment(int(text), zone) if text else "–"
    value, _, unit = text.partition(" ")
    if _number(change.about) and unit in SHOWN:
        return f"{in_words(int(value), unit)} {SHOWN[unit][0]}".strip()
    return FLAGS.get(text, text) or "–"


@at_desk
def all_changes(request: HttpRequest, shop: ShopInfo) -> HttpResponse:
    """Every change of the office, newest first."""
    zone = the_zone(shop)
    lines = [_line(change, zone) for change in changes(shop.id, most=SHOWN_AT_MOST)]
    context = {"page": ChangesPage(lines, SHOWN_AT_MOST), "shop_name": shop.name}
    return render(request, "office/changes.html", context)
