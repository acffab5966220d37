"""An order's history in words."""

from dataclasses import dataclass
from zoneinfo import ZoneInfo

from django.utils.translation import gettext, gettext_noop

from shop.plan.orders.stages import STAGES
from shop.screens.office.order_house import long_day
from shop.screens.office.wording import moment
from shop.store.order_shapes import EntryInfo

WHAT = {
    **STAGES,
    "changed": gettext_noop("changed"),
    "day_set": gettext_noop("day"),
    "boil": gettext_noop("boil"),
    "approved": gettext_noop("proof approved"),
    "taken_back": gettext_noop("taken back"),
    "sent": gettext_noop("sent"),
    "came_back": gettext_noop("came back"),
}
SAID = {
    "art": gettext_noop("the picture in words"),
    "rod_um": gettext_noop("rod"),
    "piece_um": gettext_noop("piece"),
    "log_mg": gettext_noop("log"),
    "no_text": gettext_noop("no text"),
    "needs_asked": gettext_noop("needs"),
    "needs_more": gettext_noop("needs"),
    "reads": gettext_noop("direction"),
    "due": gettext_noop("the day it must be there"),
    "drawing": gettext_noop("picture"),
    "remake_by": gettext_noop("remake day"),
    "accepts": gettext_noop("hand work"),
    "approves": gettext_noop("who says yes"),
    "fails": gettext_noop("if the try fails"),
}


@dataclass(frozen=True, slots=True)
class Told:
    """A line of the history."""

    when: str
    who: str
    what: str
    words: str


def told(entry: EntryInfo, zone: ZoneInfo) -> Told:
    """An entry as the page shows it."""
    who = entry.by or (
        gettext("the customer") if entry.what == "approved" else gettext("the program")
    )
    return Told(
        moment(entry.at, zone), who, gettext(WHAT.get(entry.what, entry.what)), _words(entry)
    )


def _named(key: str) -> str:
    return gettext(SAID.get(key, key.replace("_", " ")))


def _words(entry: EntryInfo) -> str:
    """What an entry made so, as far as it is not its own name."""
    said = [_named(key) for key in entry.sets.get("said", {})]
    found = [entry.note] if entry.note else []
    if entry.what == "changed":
        plain = [key for key in ("title", "due", "drawing") if key in entry.sets]
        found += [", ".join([*(_named(key) for key in plain), *said])]
    if "make_day" in entry.sets:
        found.append(
            gettext("make day %(day)s")
            % {"day": long_day(entry.sets["make_day"]) or gettext("taken away")}
        )
    if entry.what in ("sent", "came_back", "taken_back") and "stage" in entry.sets:
        found.append(gettext("now %(stage)s") % {"stage": gettext(STAGES[entry.sets["stage"]])})
    return "; ".join(words for words in found if words)
