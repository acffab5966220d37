"""Amounts, days and states of the store room in the office's words."""

from datetime import date

from django.utils.translation import gettext, gettext_lazy, ngettext

from shop.record.words import decimal
from shop.screens.office import units
from shop.screens.office.wording import named_day
from shop.store.stock import PIECES, LotInfo, MaterialInfo

SOON_DAYS = 30
GRAM, KILO = 1_000, 1_000_000
KIND_WORDS = {
    "sugar": gettext_lazy("Sugar"),
    "syrup": gettext_lazy("Glucose syrup"),
    "acid": gettext_lazy("Acid"),
    "flavour": gettext_lazy("Flavour"),
    "colour": gettext_lazy("Colour"),
    "slab": gettext_lazy("Oil for the slab"),
    "foam": gettext_lazy("Fat against foam"),
    "pack": gettext_lazy("To pack in, counted"),
}
STATES = {
    "open": "",
    "held": gettext_lazy("held: nobody may use it"),
    "gone": gettext_lazy("used up"),
}
MOVES = {
    "received": gettext_lazy("came in"),
    "counted": gettext_lazy("counted"),
    "thrown": gettext_lazy("thrown away"),
    "sent-back": gettext_lazy("sent back"),
    "held": gettext_lazy("held"),
    "released": gettext_lazy("may be used again"),
}


def amount(n: int | None, kind: str) -> str:
    """`8.42 kg`, `28 g`, `212 mg`, `95 pieces`; `–` where nobody said."""
    if n is None:
        return "–"
    if kind == PIECES:
        return ngettext("%(n)s piece", "%(n)s pieces", abs(n)) % {"n": n}
    if abs(n) >= KILO:
        return units.kilos(n)
    if not units.is_metric():
        return units.say(n, "mg")
    return f"{decimal(n, GRAM, 0)} g" if abs(n) >= 10 * GRAM else f"{decimal(n, GRAM, 2)} g"


def best_before(lot: LotInfo, today: date) -> str:
    """`1 Nov 2028`; with how long that is, where it is soon or past."""
    if not lot.best_before:
        return ""
    days, day = (date.fromisoformat(lot.best_before) - today).days, named_day(lot.best_before)
    if days < 0:
        return gettext("%(day)s: past it") % {"day": day}
    return f"{day}: {_in_days(days)}" if days <= SOON_DAYS else day


def is_past(lot: LotInfo, today: date) -> bool:
    return bool(lot.best_before) and lot.best_before < today.isoformat()


def _in_days(days: int) -> str:
    soon = {0: gettext("today"), 1: gettext("tomorrow")}
    return soon.get(days, gettext("in %(n)s days") % {"n": days})


def wants(material: MaterialInfo, lots: list[LotInfo], today: date) -> list[str]:
    """What somebody has to see to of a material and its lots, a sentence each."""
    left = sum(lot.left for lot in lots if lot.state == "open")
    found = [lot_wants(lot, today) for lot in lots]
    if material.in_use and material.low and left < material.low:
        asked = amount(material.low, material.kind)
        found.append(
            gettext("%(name)s runs low: %(left)s left, under %(asked)s.")
            % {"name": material.name, "left": amount(left, material.kind), "asked": asked}
        )
    return [one for one in found if one]


def lot_wants(lot: LotInfo, today: date) -> str:
    """What somebody has to see to, one sentence; "" where the lot is sound."""
    name = f"{lot.name} {lot.mark}"
    if lot.state == "held":
        return gettext("%(name)s is held: nobody may use it.") % {"name": name}
    if lot.left < 0:
        return gettext("%(name)s: the boils took more than came in. Count it.") % {"name": name}
    if is_past(lot, today) and lot.left:
        day = named_day(lot.best_before)
        return gettext("%(name)s is past its best before of %(day)s.") % {"name": name, "day": day}
    return ""


def between(first: str, last: str) -> str:
    """`3 Dec 2026`, or the first and the last day."""
    return named_day(first) if first == last else f"{named_day(first)} to {named_day(last)}"
