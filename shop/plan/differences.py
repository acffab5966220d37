"""What is different between two sheets, thing by thing: by it a boil made again is looked over."""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from shop.plan.again import planned_figures
from shop.sentences import Sentence

Sheet = dict[str, Any]
Value = int | str | None


@dataclass(frozen=True, slots=True)
class Difference:
    """One thing: whole numbers in `unit`, `time` for a moment; words have none.

    `was` or `now` is None where the thing is not on that sheet.
    """

    group: str
    what: str
    was: Value
    now: Value
    unit: str = ""


ORDER = {
    **{
        "number": (Sentence("Order number"), ""),
        "customer": (Sentence("Customer"), ""),
        "flavour": (Sentence("Flavour"), ""),
    },
    **{
        "sour": (Sentence("Sour"), "1"),
        "country": (Sentence("Country"), ""),
        "due": (Sentence("Due"), "day"),
    },
    **{"packs": (Sentence("Bags"), "1"), "fill_mg": (Sentence("In a bag"), "mg")},
}
SIZE = {"rod_um": (Sentence("Rod"), "um"), "piece_um": (Sentence("Piece"), "um")}
FIGURES = (
    *("log_mass_forecast", "log_length_forecast", "rod_metres", "rods", "packs", "packs_spare"),
    *("sugar_planned", "syrup_planned", "water_planned", "acid_dose", "flavour_dose"),
    *("take_off_mark", "flame_off_mark"),
)
STEP = {
    **{"say": "", "call": ", called", "cue": ", cue", "band": ", hot band"},
    **{"caution": ", caution", "skill": ", skill", "station": ", station"},
}
PORTION = {
    **{"name": ("name", ""), "swatch": ("colour", ""), "treatment": ("treatment", "")},
    **{"stocked": ("repair stock", "1"), "dye_mg_per_kg": ("dye, mg a kg", "1")},
}
PART = {
    **{"area_um2": ("area", "um2"), "narrowest_um": ("narrowest", "um"), "copies": ("copies", "1")},
    **{"portion": ("sugar", ""), "block": ("block", "")},
}
DRAWN = {
    **{
        "title": (Sentence("Picture"), ""),
        "reading_end": (Sentence("Reading end"), ""),
        "diameter_um": (Sentence("Across"), "um"),
    },
    "mirror_symmetric": (Sentence("The same from both ends"), "1"),
}
# What follows from order, numbers, picture and way is told with those; of the rest only that.
TOLD = {
    *("order", "title", "day", "lot", "batch", "boil", "people", "crew", "lead", "again", "way"),
    *("steps", "stations", "order_of_steps", "graph", "portions", "parts", "blocks", "picture"),
    *("numbers", "checks", "records", "materials"),
}
REST = {
    **{
        "shop": Sentence("Site"),
        "roles": Sentence("Roles and what they may do"),
        "skills": Sentence("Skills"),
    },
    **{
        "marks": Sentence("Marks"),
        "hazards": Sentence("Cautions read together"),
        "burn": Sentence("Burn drill"),
    },
    **{
        "pass_reasons": Sentence("Reasons to pass a step"),
        "walk": Sentence("Where a handover walks"),
    },
    **{
        "stop_items": Sentence("Stop items"),
        "zone": Sentence("Handover zone"),
        "expected": Sentence("What the card foretells"),
    },
    **{
        "balance": Sentence("Mass balance"),
        "hot_scene": Sentence("Hot scene"),
        "format": Sentence("Form of the sheet"),
    },
}


def differences(old: Sheet, new: Sheet) -> list[Difference]:
    """Everything in which the new sheet is another; nothing but its id for the same sheet."""
    found = [*_order(old, new), *_figures(old, new), *_picture(old, new), *_way(old, new)]
    found += [*_numbers(old, new), *_hands(old, new), *_materials(old, new), *_rest(old, new)]
    return found or list(_besides(old, new))


def _order(old: Sheet, new: Sheet) -> Iterator[Difference]:
    yield from _if(Sentence("Order"), Sentence("Title"), old["title"], new["title"])
    yield from _fields(Sentence("Order"), "", old["order"], new["order"], ORDER)
    yield from _fields(Sentence("Size"), "", old["order"], new["order"], SIZE)


def _figures(old: Sheet, new: Sheet) -> Iterator[Difference]:
    """The planned masses, lengths and marks; each portion's to weigh."""
    was, now = planned_figures(old), planned_figures(new)
    units = {q["name"]: (q["says"], q["unit"]) for q in (*old["graph"], *new["graph"])}
    portions = [p["figure"] for p in (*old["portions"], *new["portions"])]
    for name in dict.fromkeys([*FIGURES, *portions]):
        says, unit = units.get(name, (name, "1"))
        yield from _if(Sentence("Masses and lengths"), says, was.get(name), now.get(name), unit)


def _picture(old: Sheet, new: Sheet) -> Iterator[Difference]:
    group, one, other = Sentence("Picture"), old["picture"], new["picture"]
    yield from _fields(group, "", one, other, DRAWN)
    yield from _rows(group, old["parts"], new["parts"], PART)
    yield from _rows(Sentence("Sugars"), old["portions"], new["portions"], PORTION)
    was, now = (", then ".join(b["name"] for b in sheet["blocks"]) for sheet in (old, new))
    yield from _if(group, Sentence("Laid up"), was, now)
    if one["shapes"] != other["shapes"]:
        yield Difference(group, Sentence("Drawing"), Sentence("as it was"), Sentence("another"))


def _way(old: Sheet, new: Sheet) -> Iterator[Difference]:
    """Steps that came, went, or say something else; then whether they come in another order."""
    was, now = old["steps"], new["steps"]
    for key in dict.fromkeys([*was, *now]):
        one, other = was.get(key), now.get(key)
        if one is None or other is None:
            yield Difference(
                Sentence("Our way"), Sentence("Step"), one and one["say"], other and other["say"]
            )
        else:
            yield from _step(one, other)
    both = [[key for key in sheet["steps"] if key in was and key in now] for sheet in (old, new)]
    if both[0] != both[1]:
        yield Difference(
            Sentence("Our way"),
            Sentence("Order of the steps"),
            Sentence("as it was"),
            Sentence("another"),
        )


def _step(one: Mapping[str, Any], other: Mapping[str, Any]) -> Iterator[Difference]:
    named = [
        found
        for key, word in STEP.items()
        for found in _if(Sentence("Our way"), f"{one['say']}{word}", one[key], other[key])
    ]
    yield from named
    if not named and one != other:
        yield Difference(
            Sentence("Our way"), one["say"], Sentence("as it was"), Sentence("changed")
        )


def _numbers(old: Sheet, new: Sheet) -> Iterator[Difference]:
    was, now = ({n["id"]: n for n in sheet["numbers"]} for sheet in (old, new))
    for key in dict.fromkeys([*was, *now]):
        some = was.get(key) or now[key]
        one, other = (there.get(key, {}).get("value") for there in (was, now))
        yield from _if(Sentence("Numbers"), some["name"], one, other, some["unit"])


def _hands(old: Sheet, new: Sheet) -> Iterator[Difference]:
    group = Sentence("Day and hands")
    yield from _if(group, Sentence("Make day"), old["day"], new["day"], "day")
    yield from _if(group, Sentence("Letter"), old["boil"]["letter"], new["boil"]["letter"])
    was, now = planned_figures(old), planned_figures(new)
    for name, says in (
        ("planned_light_up", Sentence("Lighting at")),
        ("latest_light_up", Sentence("Light by")),
    ):
        yield from _if(group, says, was.get(name), now.get(name), "time")
    yield from _if(group, Sentence("Lead"), _names(old, [old["lead"]]), _names(new, [new["lead"]]))
    yield from _if(group, Sentence("Crew"), _names(old, old["crew"]), _names(new, new["crew"]))


def _names(sheet: Sheet, keys: Iterable[str]) -> str:
    names = {person["id"]: person["name"] for person in sheet["people"]}
    return ", ".join(sorted(names.get(key, key) for key in keys))


def _materials(old: Sheet, new: Sheet) -> Iterator[Difference]:
    """What the store room has for each, where the sheets say; a sheet of before names none."""
    was, now = ({m["id"]: m for m in _stored(sheet)} for sheet in (old, new))
    for key in dict.fromkeys([*was, *now]):
        some = was.get(key) or now[key]
        yield from _if(
            Sentence("Store room"), some["name"], _lots(was.get(key)), _lots(now.get(key))
        )


def _stored(sheet: Sheet) -> list[dict[str, Any]]:
    return [m for m in sheet.get("materials", []) if m["kind"] != "water"]


def _lots(material: Mapping[str, Any] | None) -> str | None:
    if material is None:
        return None
    return ", ".join(lot["words"] for lot in material["lots"]) or "no lot open"


def _rest(old: Sheet, new: Sheet) -> Iterator[Difference]:
    for key in sorted((old.keys() | new.keys()) - TOLD):
        if old.get(key) != new.get(key):
            yield Difference(
                Sentence("Besides"), REST.get(key, key), Sentence("as it was"), Sentence("another")
            )


def _besides(old: Sheet, new: Sheet) -> Iterator[Difference]:
    """Where nothing else tells of it: how it is reckoned, held to limits or laid out."""
    own = {"batch", "lot", "again"}
    if {k: v for k, v in old.items() if k not in own} != {
        k: v for k, v in new.items() if k not in own
    }:
        yield Difference(
            Sentence("Besides"),
            Sentence("How it is reckoned"),
            Sentence("as it was"),
            Sentence("another"),
        )


def _rows(
    group: str,
    old: Sequence[Mapping[str, Any]],
    new: Sequence[Mapping[str, Any]],
    fields: Mapping[str, tuple[str, str]],
) -> Iterator[Difference]:
    """Rows by their ids: that came, that went, and in which a field is another."""
    was, now = ({row["id"]: row for row in rows} for rows in (old, new))
    for key in dict.fromkeys([*was, *now]):
        one, other = was.get(key), now.get(key)
        if one is None or other is None:
            yield Difference(group, Sentence("Part of it"), _named(one), _named(other))
        else:
            yield from _fields(group, one["name"], one, other, fields)


def _named(row: Mapping[str, Any] | None) -> str | None:
    return row["name"] if row else None


def _fields(
    group: str,
    name: str,
    one: Mapping[str, Any],
    other: Mapping[str, Any],
    fields: Mapping[str, tuple[str, str]],
) -> Iterator[Difference]:
    for key, (word, unit) in fields.items():
        what = f"{name}, {word}" if name else word
        yield from _if(group, what, one.get(key), other.get(key), unit)


def _if(group: str, what: str, was: Value, now: Value, unit: str = "") -> Iterator[Difference]:
    if was != now:
        yield Difference(group, what, was, now, unit)
