"""A boil as it was made, in words, and what is different about the sheet that makes it again."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext

from shop.plan.differences import Difference, Value, differences
from shop.record.as_made import AsMade, KeptSample, Weighed
from shop.record.words import decimal
from shop.screens.office.drawing import Face, faces
from shop.screens.office.units import say
from shop.screens.office.wording import clock, kilos, moment, named_day
from shop.sentences import Sentence

YES_OR_NO = ("Sour", "repair stock", "from both ends")
# Steps, parts and lots that are on one of the sheets alone.
MISSING = "–"


@dataclass(frozen=True, slots=True)
class AgainPage:
    """What stands beside the form: the boil of before."""

    batch: str
    lot: str
    day: str
    title: str
    order: str
    bags: str
    blocks: list[str]
    moved: bool
    sized: list[str]
    weighed: list[tuple[str, str, str]]
    reading_end: str
    off: list[tuple[str, str]]
    notes: list[str]
    kept: str
    faces: list[Face]


@dataclass(frozen=True, slots=True)
class ChangedPage:
    """What a sheet made again has otherwise than the boil it was made from, group by group."""

    batch: str
    lot: str
    groups: list[tuple[str, list[tuple[str, str, str]]]]
    not_there: list[str]


def again_page(sheet: dict[str, Any], made: AsMade, zone: ZoneInfo) -> AgainPage:
    """The boil of this sheet as it was made."""
    names = {row["id"]: row["name"] for row in (*sheet["blocks"], *sheet["portions"])}
    order = sheet["order"]
    return AgainPage(
        batch=sheet["batch"],
        lot=sheet["lot"],
        day=named_day(sheet["day"]),
        title=sheet["title"],
        order=gettext("%(packs)s bags for %(customer)s, %(number)s") % order,
        bags="" if made.bags is None else f"{made.bags}",
        blocks=[names[block] for block in made.blocks],
        moved=made.moved,
        sized=[f"{names[key]} {_share(ratio)}" for key, ratio in made.ratios.items()],
        weighed=[_weighed(one) for one in made.weighed],
        reading_end=made.reading_end,
        off=list(made.off),
        notes=list(made.notes),
        kept=_kept(made.kept, sheet, zone),
        faces=faces(sheet["picture"])[:1],
    )


def _share(ratio: int) -> str:
    """`8 % more`, `5 % less`."""
    over = ratio - 1_000_000
    return f"{decimal(abs(over), 10_000, 0)} % {gettext('more') if over > 0 else gettext('less')}"


def _weighed(one: Weighed) -> tuple[str, str, str]:
    return Sentence(one.label), say(one.planned, "mg"), say(one.weighed, "mg")


def _kept(kept: KeptSample | None, sheet: dict[str, Any], zone: ZoneInfo) -> str:
    if kept is None:
        return ""
    names = {person["id"]: person["name"] for person in sheet["people"]}
    by = names.get(kept.by, kept.by) or gettext("nobody named")
    return Sentence(
        "{mass} under lot {lot}, {at}, by {by}: {where}",
        mass=say(kept.mg, "mg"),
        lot=sheet["lot"],
        at=moment(kept.at, zone),
        by=by,
        where=kept.where,
    )


def changed_page(old: dict[str, Any], new: dict[str, Any], zone: ZoneInfo) -> ChangedPage:
    """The old sheet beside the new one."""
    found = differences(old, new)
    groups: dict[str, list[tuple[str, str, str]]] = {}
    for one in found:
        what, was, now = _line(one, zone)
        # What is less than the last figure shown is not another number to anybody.
        if was != now:
            groups.setdefault(Sentence(one.group), []).append((what, was, now))
    not_there = [m["name"] for m in new.get("materials", []) if _is_out(m)]
    return ChangedPage(old["batch"], old["lot"], list(groups.items()), not_there)


def _is_out(material: dict[str, Any]) -> bool:
    """A colour or flavour that the store room knows and has no open lot of."""
    return material["kind"] in ("colour", "flavour") and not material["lots"]


def _line(one: Difference, zone: ZoneInfo) -> tuple[str, str, str]:
    return Sentence(one.what), _words(one.was, one, zone), _words(one.now, one, zone)


def _words(value: Value, one: Difference, zone: ZoneInfo) -> str:
    if value is None or value == "":
        return MISSING
    if isinstance(value, str):
        return named_day(value) if one.unit == "day" else Sentence(value)
    if one.what.endswith(YES_OR_NO):
        return gettext("yes") if value else gettext("no")
    if one.unit == "time":
        return clock(value, zone)
    return kilos(value) if one.unit == "mg" and abs(value) >= 1_000_000 else say(value, one.unit)
