"""What the pages of a picture ask of a shop, its people and the hand that does the long work."""

from concurrent.futures import Future
from dataclasses import dataclass
from typing import Any

from django.http import Http404

from shop.picture.case import Enquiry
from shop.plan.drawing import Kept, kept_from
from shop.plan.drawing_work import Planned
from shop.plan.numbers import Numbers, shop_numbers
from shop.screens.office.picture_hand import HAND, CouldNot
from shop.sentences import reason
from shop.store import drawings
from shop.store import numbers as store_numbers
from shop.store import people as store_people
from shop.store.access import access_drawing
from shop.store.errors import NotHere
from shop.store.shapes import DrawingInfo, DrawnVersion, ShopInfo

Plain = dict[str, Any]
USUAL_ORDER: Plain = {
    **{"log_mg": 11_000_000, "rod_um": 14_000, "packs": 80, "fill_mg": 100_000},
    "hands": [],
}
MOST_HANDS = 4


@dataclass(frozen=True, slots=True)
class Opened:
    """A picture of the shop, the version that stands, and what it is worked out for."""

    shop: ShopInfo
    info: DrawingInfo
    version: DrawnVersion
    kept: Kept
    how: Planned

    @property
    def hands(self) -> list[str]:
        """Who builds: the names that were chosen, else two hands without one."""
        return list(self.info.order["hands"]) or ["Hand 1", "Hand 2"]

    @property
    def letter_m(self) -> float | None:
        """Height of its letters at the log [m], where it is lettering."""
        made = self.version.choices.get("made", {})
        return made["height_um"] / 1e6 if made.get("text") else None

    def looked(self) -> "Future[Any]":
        """Flaws, parts and motifs."""
        return HAND.ask("looked", self.kept, self.how)

    def seen(self) -> "Future[Any]":
        """The cut face."""
        return HAND.ask("seen", self.kept, self.how)

    def decided(self, *, approved: bool) -> "Future[Any]":
        """Build and verdict; who approved a proof accepted that every piece differs."""
        order, made = self.info.order, self.version.choices.get("made", {})
        enquiry = Enquiry(
            packs=order["packs"],
            fill_mg=order["fill_mg"],
            text=made.get("text", ""),
            ring=bool(made.get("ring")),
            accepts_variation=True if approved else None,
        )
        return HAND.ask("decided", self.kept, self.how, self.hands, enquiry, self.letter_m)


def own_numbers(shop: ShopInfo) -> Numbers:
    """The numbers this shop plans with."""
    return shop_numbers({k: n.value for k, n in store_numbers.numbers(shop.id).items()})


def how_of(shop: ShopInfo, order: Plain) -> Planned:
    """What a picture is worked out for at this shop."""
    return Planned(own_numbers(shop), order["log_mg"], order["rod_um"])


def opened(shop: ShopInfo, key: str) -> Opened:
    """The picture of this shop with this id, or a page that says there is none."""
    try:
        info = access_drawing(shop.id, key)
        version = drawings.version(shop.id, key, info.current)
    except NotHere as missing:
        raise Http404(str(missing)) from missing
    kept = kept_from(version.labels, version.choices)
    return Opened(shop, info, version, kept, how_of(shop, info.order))


def names_of(shop: ShopInfo) -> list[str]:
    """Who may build here."""
    return [person.name for person in store_people.people(shop.id, active_only=True)]


@dataclass(frozen=True, slots=True)
class Ready:
    """A piece of long work as a page finds it: `what` came, or `wrong`, or neither yet."""

    what: Any = None
    wrong: str = ""

    @property
    def waits(self) -> bool:
        """Whether it is still worked on."""
        return self.what is None and not self.wrong


def ready(future: "Future[Any]") -> Ready:
    """How a piece of work stands; never waits."""
    if not future.done():
        return Ready()
    wrong = future.exception()
    if isinstance(wrong, CouldNot):
        return Ready(wrong=reason(wrong))
    return Ready(future.result())
