"""Those of a record: handovers, who stood beside, interruptions, in words."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from shop.record.report import NOBODY
from shop.screens.office import wording
from shop.sentences import Sentence, listed

# What the phone asks whoever takes over.
SPOTS = 8


@dataclass(frozen=True, slots=True)
class HandoverLine:
    """A handover: both names, both walks, what was asked."""

    kind: str
    gave: str
    took: str
    walked: str
    asked: str
    right: str


def handover(entry: dict[str, Any], names: dict[str, str], zone: ZoneInfo) -> HandoverLine:
    gave, took = (names.get(entry[k], entry[k]) or NOBODY for k in ("from", "to"))
    walks = [_walk(w["places"], w["by"], w["at"], names, zone) for w in entry["walks"]]
    if entry["walked"]:
        walks.append(_walk(entry["walked"], entry["to"], entry["taken"], names, zone))
    return HandoverLine(
        kind=Sentence("Glance card") if entry["glance"] else Sentence("Full card"),
        gave=f"{gave}, {wording.clock(entry['offered'], zone)}",
        took=f"{took}, {wording.clock(entry['taken'], zone)}",
        walked=listed(walks, "; ") if walks else Sentence("nothing walked"),
        asked=entry["questions"],
        right=Sentence("{n} of {most} spot questions right", n=entry["right"], most=SPOTS)
        if entry["right"]
        else "",
    )


def _walk(places: list[str], by: str, at: int, names: dict[str, str], zone: ZoneInfo) -> str:
    return Sentence(
        "{name} walked {places} {time}",
        name=names.get(by, by) or Sentence(NOBODY),
        places=listed(Sentence(place) for place in places),
        time=wording.clock(at, zone),
    )


def beside(entry: dict[str, Any], report: dict[str, Any], zone: ZoneInfo) -> str:
    """`Odo pulled with Maren beside`, in the words of the sheet's skills where it has them."""
    names = names_of(report)
    skill = report["skills"].get(entry["skill"], entry["skill"])
    who, by = (names.get(entry[k], entry[k]) or NOBODY for k in ("who", "by"))
    return Sentence(
        "{skill}: {by}, with {who} beside, {time}",
        skill=Sentence(skill),
        by=by,
        who=who,
        time=wording.clock(entry["at"], zone),
    )


def interruption(entry: dict[str, Any], zone: ZoneInfo) -> tuple[str, str, str]:
    """Only that and when: details about people are not kept here."""
    ended = entry["ended"]
    how = Sentence("not ended")
    if ended:
        how = listed([Sentence(ended["how"]), wording.clock(ended["at"], zone)])
    return (Sentence("interrupted"), wording.clock(entry["at"], zone), how)


def names_of(report: dict[str, Any]) -> dict[str, str]:
    return {person["id"]: person["name"] for person in report["people"]}
