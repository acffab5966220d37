"""Whether a shop's own way can be worked: its words fit a phone, nothing waits for itself, and
nothing that the program says for safety has been taken out of it."""

import re
from collections.abc import Collection, Iterator, Mapping
from itertools import pairwise
from typing import Any

from shop.plan.own_way import (
    OWN_STEP,
    Flat,
    all_ids,
    file_of_way,
    programs_flat,
    stations_of,
    step_of,
)
from shop.plan.skills import ladder
from shop.sentences import Sentence

SAY_WORDS, CALL_WORDS = 8, 3
# Letters that fit where each is read: two metres, seventy centimetres, a line.
LONGEST = {"say": 60, "call": 22, "cue": 120, "caution": 90, "band": 16}
LONGEST_LINE, MOST_BURN, MOST_MARKS = 60, 4, 12
BAND = re.compile(r"\d{2,3} [A-ZÄÖÜ]{2,12}")
MAY_STAND = {"portion": {"id", "name", "Name"}, "block": {"id", "name", "Name", "say", "cue"}}
BRACES = re.compile(r"\{(\w*)\}")
HEADINGS = (
    *("set-up", "cook", "colour", "cool", "aerate", "assemble", "size", "cut"),
    "pack-and-clean",
)
HOT_SCENE = ("cook.at-140", "cook.poured")
# Who waits for a second pair of eyes or a value by the program's way goes on doing so.
NEVER_LOOSER = {
    "stop": Sentence("an item without which nothing is lit"),
    "needs_value": Sentence("a step that needs its value"),
    "second_person": Sentence("a step that needs a second person"),
    "together": Sentence("what is read together"),
}


def problems_of(flat: Flat, figures: Collection[str] | None = None) -> list[str]:
    """Sentences, one for each thing that is wrong; `figures`: what a sheet can reckon, where
    that is known."""
    return [
        *_words(flat),
        *_safety(flat),
        *_references(flat, figures),
        *_order(flat),
        *_lists(flat),
    ]


def why_not_dropped(ident: str) -> str:
    """Why a step of the program's can't be dropped; "" where it may be."""
    step = step_of(programs_flat(), ident)
    reasons = {
        "stop": Sentence("nothing is lit without it"),
        "caution": Sentence("its caution must be read"),
        "moment": Sentence("the reckoning hangs on it"),
        "each": Sentence("the picture asks for it"),
        "block": Sentence("the picture asks for it"),
        "together": Sentence("the cautions are read there"),
    }
    return next((words for field, words in reasons.items() if step.get(field)), "")


def _words(flat: Flat) -> Iterator[str]:
    for ident in all_ids(flat):
        step = step_of(flat, ident)
        name = f"Step {step['say'] or ident!r}"
        for field, most in (("say", SAY_WORDS), ("call", CALL_WORDS)):
            words = len(step[field].split())
            if not 1 <= words <= most:
                yield Sentence(
                    "{name}: {field} has {words} words; it must be from 1 to {most}.",
                    name=name,
                    field=field,
                    words=words,
                    most=most,
                )
        for field, most in LONGEST.items():
            if len(step[field]) > most:
                yield Sentence(
                    "{name}: {field} has {count} letters; at most {most} fit.",
                    name=name,
                    field=field,
                    count=len(step[field]),
                    most=most,
                )
        yield from _braces(name, step)


def _braces(name: str, step: Mapping[str, Any]) -> Iterator[str]:
    may = MAY_STAND.get(step.get("each", ""), set())
    for field in LONGEST:
        found = set(BRACES.findall(step[field]))
        if found - may or set(BRACES.sub("", step[field])) & {"{", "}"}:
            allowed = ", ".join(f"{{{word}}}" for word in sorted(may)) or "nothing"
            yield Sentence(
                "{name}: {field} has a brace; between braces may stand {allowed}.",
                name=name,
                field=field,
                allowed=allowed,
            )


def _safety(flat: Flat) -> Iterator[str]:
    program, here = programs_flat(), set(all_ids(flat))
    for ident in all_ids(program):
        step, own = step_of(program, ident), step_of(flat, ident)
        name = f"Step {step['say']!r}"
        if ident not in here:
            if why := why_not_dropped(ident):
                yield Sentence(
                    "{name} can’t be dropped: {why}. Reword it, or add to it.", name=name, why=why
                )
            continue
        for field, what in NEVER_LOOSER.items():
            if step[field] and not own[field]:
                yield f"{name} stays {what}."
        yield from _never_less(name, step, own, program)


def _never_less(
    name: str, step: Mapping[str, Any], own: Mapping[str, Any], program: Flat
) -> Iterator[str]:
    if step["caution"] and not own["caution"]:
        yield Sentence(
            "{name} keeps its caution {caution!r}; it may be added to.",
            name=name,
            caution=step["caution"],
        )
    if step["skill"] and not own["skill"]:
        yield Sentence("{name} keeps a skill it needs; choose one.", name=name)
    if own["band"] and not BAND.fullmatch(own["band"]) and own["band"] != step["band"]:
        yield Sentence(
            "{name}: the hot band is {band!r}; a number and a word, 150 LIQUID.",
            name=name,
            band=own["band"],
        )
    if _degrees(own["band"]) < _degrees(step["band"]):
        yield Sentence(
            "{name}: the hot band says {says}; not under {band}.",
            name=name,
            says=own["band"] or "nothing",
            band=step["band"],
        )
    waits = [one for one in step["after"] if program[f"steps/{one}/stop"]]
    if missing := [one for one in waits if one not in own["after"]]:
        yield Sentence("{name} still comes after {some}.", name=name, some=", ".join(missing))


def _degrees(band: str) -> int:
    found = re.match(r"\d+", band)
    return int(found[0]) if found else 0


def _references(flat: Flat, figures: Collection[str] | None) -> Iterator[str]:
    here, records = set(all_ids(flat)), {*file_of_way("records")}
    skills = {"", *(skill.id for skill in ladder())}
    for ident in all_ids(flat):
        step = step_of(flat, ident)
        name = f"Step {step['say']!r}"
        gone = [one for one in step["after"] if one not in here]
        gone += [one for one in step["record"] if one not in records]
        if figures is not None:
            wanted = [
                step["number"],
                step["due"],
                *step["lines"],
                (step["repeat"] or {}).get("figure", ""),
            ]
            gone += [one for one in wanted if one and "{" not in one and one not in figures]
        gone += [] if step["skill"] in skills else [step["skill"]]
        if gone:
            yield Sentence(
                "{name} refers to {some}, which is not there.", name=name, some=", ".join(gone)
            )
        if step["heading"] not in HEADINGS:
            yield Sentence(
                "{name}: the heading is {heading!r}; one of {some}.",
                name=name,
                heading=step["heading"],
                some=", ".join(HEADINGS),
            )
        if step["needs_value"] and not step["record"]:
            yield Sentence(
                "{name} needs a value but writes nothing down; choose what it records.", name=name
            )


def _order(flat: Flat) -> Iterator[str]:
    program = programs_flat()
    for station in stations_of(flat):
        order, known = flat[f"order/{station}"], program[f"order/{station}"]
        if len(set(order)) != len(order):
            yield Sentence("A step stands twice at {station}.", station=station)
        strange = [s for s in order if s not in known and not s.startswith(OWN_STEP)]
        if strange:
            yield Sentence(
                "{some} belongs to another station than {station}.",
                some=", ".join(strange),
                station=station,
            )
        marked = [s for s in known if program[f"steps/{s}/moment"] and s in order]
        if marked != [s for s in order if s in marked]:
            names = ", ".join(repr(flat[f"steps/{s}/call"]) for s in marked)
            yield Sentence("The reckoning needs {names} in this order.", names=names)
    kettle = flat["order/kettle"]
    places = [kettle.index(step) for step in HOT_SCENE if step in kettle]
    if len(places) == len(HOT_SCENE) and places[1] != places[0] + 1:
        yield Sentence(
            "Nothing may stand between 'Flame low' and 'Poured': then the phone takes no touch."
        )
    if loop := _loop(flat):
        yield Sentence("These wait for each other for ever: {some}.", some=", ".join(loop))


def _loop(flat: Flat) -> list[str]:
    """Steps that would wait for themselves, through what they come after and their stations' order;
    Kahn's algorithm, from both ends, leaves them over."""
    waits = {step: set(flat[f"steps/{step}/after"]) for step in all_ids(flat)}
    for station in stations_of(flat):
        for before, step in pairwise(flat[f"order/{station}"]):
            waits[step].add(before)
    while free := [step for step, before in waits.items() if not before & waits.keys()]:
        for step in free:
            del waits[step]
    while ends := waits.keys() - set().union(*waits.values()):
        for step in ends:
            del waits[step]
    return sorted(waits)


def _lists(flat: Flat) -> Iterator[str]:
    kept = {hazard["id"] for hazard in flat["hazards"]}
    for hazard in file_of_way("words")["hazard"]:
        if hazard["id"] not in kept:
            yield Sentence(
                "The caution {words!r} can’t be dropped; it may be added to.", words=hazard["words"]
            )
    lines: list[tuple[str, Any]] = [
        (Sentence("A line of the burn drill"), line) for line in flat["burn/own"]
    ]
    lines += [(Sentence("A reason to pass"), reason) for reason in flat["pass_reasons"]]
    lines += [(Sentence("A mark"), mark["words"]) for mark in flat["marks"]]
    lines += [(Sentence("A caution"), hazard["words"]) for hazard in flat["hazards"]]
    for what, line in lines:
        if not 1 <= len(line.strip()) <= LONGEST_LINE:
            yield Sentence(
                "{what} has {count} letters; it must be from 1 to {most}: {line!r}.",
                what=what,
                count=len(line),
                most=LONGEST_LINE,
                line=line,
            )
    if len(flat["burn/own"]) > MOST_BURN:
        yield Sentence(
            "The burn drill has {count} lines of this site; at most {most}.",
            count=len(flat["burn/own"]),
            most=MOST_BURN,
        )
    if not flat["pass_reasons"] or not 1 <= len(flat["marks"]) <= MOST_MARKS:
        yield Sentence(
            "There must be a reason to pass, and from 1 to {most} marks.",
            most=MOST_MARKS,
        )
    ids = [row["id"] for key in ("marks", "hazards") for row in flat[key]]
    if len(set(ids)) != len(ids):
        yield Sentence("Two marks or cautions have one id.")
