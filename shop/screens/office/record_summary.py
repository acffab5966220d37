"""The first page of a record: what, for whom, by whom, when, how much, what went off."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from shop.record.made import PACK
from shop.screens.office import wording
from shop.screens.office.units import say
from shop.sentences import Sentence, listed

Line = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Signed:
    """How many entries somebody pressed, by how it is known that it was them."""

    name: str
    shop: int
    phone: int
    desk: int
    unsigned: int


@dataclass(frozen=True, slots=True)
class SummaryPage:
    """What fits on one sheet of paper; every text is ready to read."""

    facts: list[tuple[str, str]]
    moments: list[tuple[str, str]]
    cook: list[tuple[str, str]]
    made_of: list[tuple[str, str, str]]
    gaps: list[str]
    signed: list[Signed]
    hashes: list[tuple[str, str]]


def summary_page(record: Line, zone: ZoneInfo) -> SummaryPage:
    """The summary of a record, in words."""
    told = record["summary"]
    made = told["made_of"]
    return SummaryPage(
        facts=_facts(record),
        moments=[(Sentence(m["label"]), wording.clock(m["at"], zone)) for m in told["moments"]],
        cook=_cook(record),
        made_of=[_ingredient(one) for one in made["ingredients"]],
        gaps=made["gaps"],
        signed=[
            Signed(s["name"] or Sentence("Nobody named"), *(s[way] for way in WAYS))
            for s in told["signed"]
        ],
        hashes=_hashes(record),
    )


WAYS = ("shop", "phone", "desk", "unsigned")


def _facts(record: Line) -> list[tuple[str, str]]:
    told, had = record["summary"], record["timeline"]["had"]
    order = told["order"]
    lot = Sentence(
        "{lot}, boil {letter}, made {day}",
        lot=record["lot"],
        letter=told["letter"],
        day=wording.named_day(record["day"]),
    )
    led = record["lead"]
    for n, h in enumerate(had):
        led = Sentence("{first}, then {next}", first=led, next=h["name"]) if n else h["name"]
    return [
        (Sentence("What"), listed([record["title"], _flavour(order, record["title"])], "")),
        (Sentence("For"), _for_whom(order)),
        (Sentence("Lot"), lot),
        (Sentence("Where"), ", ".join(v for k in PLACE if (v := record["shop"].get(k)))),
        (Sentence("Had the boil"), led),
        (Sentence("Crew"), ", ".join(told["crew"])),
        (Sentence("Log"), wording.kilos(told["log"])),
        (Sentence("Packed"), _packed(record)),
        (Sentence("Yield of the log"), wording.percent(record["yield"])),
    ]


PLACE = ("name", "site_address")


def _flavour(order: Line, title: str) -> str:
    """Flavour where the title does not say it already, and whether it is sour."""
    flavour = order.get("flavour", "")
    told = f"; {flavour}" if flavour and flavour not in title else ""
    return Sentence("{told}, sour", told=told) if order.get("sour") else told


def _for_whom(order: Line) -> str:
    if not order:
        return "–"
    due: str = ""
    if order.get("due"):
        due = Sentence(", due {day}", day=wording.named_day(order["due"]))
    wanted = Sentence("{n} bags of {mass}", n=order["packs"], mass=say(order["fill_mg"], "mg"))
    who = {"number": order["number"], "customer": order["customer"]}
    return Sentence("{number}, {customer}: {wanted}{due}", **who, wanted=wanted, due=due)


def _packed(record: Line) -> str:
    told = record["summary"]
    mass, packs = wording.kilos(told["packed"]), told["order"].get("packs")
    if told["bags"] is None:
        return mass
    if not packs:
        return Sentence("{n} bags, {mass}", n=told["bags"], mass=mass)
    return Sentence("{n} bags of {wanted} wanted, {mass}", n=told["bags"], wanted=packs, mass=mass)


def _cook(record: Line) -> list[tuple[str, str]]:
    peak, hot = record["summary"]["peak"], record["summary"]["above_130"]
    above = "–" if hot is None else say(hot, "ms")
    if peak is None:
        return [(Sentence("Peak"), "–"), (Sentence("Above 130\u202f°C"), above)]
    over = (
        ""
        if peak["over"] is None
        else f"{'+' if peak['over'] > 0 else ''}{say(peak['over'], 'mK')}"
    )
    return [
        (Sentence("Mark, on this thermometer"), say(peak["mark"], "m°C")),
        (Sentence("Peak, as read"), say(peak["read"], "m°C")),
        (Sentence("Peak, thermometer put right"), say(peak["true"], "m°C")),
        (Sentence("Over the wanted cook"), over or "–"),
        (Sentence("Above 130\u202f°C"), above),
    ]


def _ingredient(one: Line) -> tuple[str, str, str]:
    # What it was packed in is counted, not weighed.
    unit = "1" if one["kind"] == PACK else "mg"
    mass = "–" if one["mg"] is None else say(one["mg"], unit)
    planned = not one["weighed"] and one["mg"] is not None
    words = Sentence("{mass}, as planned", mass=mass) if planned else mass
    return one["name"], words, ", ".join(one["lots"]) or Sentence("not said")


def _hashes(record: Line) -> list[tuple[str, str]]:
    """What a copy is held against: the same sheet, the same entries, the same log."""
    log = record["kept"]["log"]
    entries = len(record["kept"]["entries"])
    found: list[tuple[str, str]] = [
        (Sentence("Sheet"), log["sheet"]),
        (Sentence("Its {n} entries", n=entries), log["entries"]),
    ]
    if log.get("head"):
        found.append((Sentence("The shop's log at {n}", n=log["position"]), log["head"]))
    return found
