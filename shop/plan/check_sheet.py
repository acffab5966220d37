"""Whether a sheet refers only to what is on it."""

from collections.abc import Iterator
from typing import Any

from shop.plan.errors import SheetWrong

Sheet = dict[str, Any]


def check_sheet(sheet: Sheet) -> None:
    """Raises SheetWrong at the first reference to something that is not there."""
    for where, missing in _loose(sheet):
        raise SheetWrong(where, missing)


def _loose(sheet: Sheet) -> Iterator[tuple[str, str]]:
    figures = {q["name"] for q in sheet["graph"]}
    for step_id, step in sheet["steps"].items():
        where = f"Step {step_id}"
        wanted = {step["number"], step["due"], *(line["figure"] for line in step["lines"])} - {""}
        yield from ((where, f"figure {f}") for f in sorted(wanted - figures))
        yield from ((where, f"record {r}") for r in step["record"] if r not in sheet["records"])
        yield from ((where, f"step {s}") for s in step["after"] if s not in sheet["steps"])
    for name, record in sheet["records"].items():
        if record["target"] and record["target"] not in figures:
            yield f"Record {name}", f"figure {record['target']}"
    for row in sheet.get("materials", []):
        yield from _loose_material(sheet, figures, row)
    yield from _loose_graph(sheet)
    yield from _loose_rest(sheet, figures)


def _loose_material(
    sheet: Sheet, figures: set[str], row: dict[str, Any]
) -> Iterator[tuple[str, str]]:
    places = (("step", sheet["steps"]), ("record", sheet["records"]), ("figure", figures))
    for key, there in places:
        if row[key] and row[key] not in there:
            yield f"Material {row['id']}", f"{key} {row[key]}"


def _loose_graph(sheet: Sheet) -> Iterator[tuple[str, str]]:
    seen: set[str] = set()
    for quantity in sheet["graph"]:
        where = f"Figure {quantity['name']}"
        for name in _operands(quantity["op"]):
            if name not in seen:
                yield where, f"figure {name}"
        if quantity["op"][0] == "read" and quantity["op"][1] not in sheet["records"]:
            yield where, f"record {quantity['op'][1]}"
        seen.add(quantity["name"])


def _operands(op: list[Any]) -> list[str]:
    match op:
        case ["sum", *terms]:
            return [name for name, _ in terms]
        case ["product" | "quotient", a, b, *_]:
            return [a, b]
        case ["min" | "max" | "first", *names]:
            return names
        case ["table" | "guard", name, *_]:
            return [name]
        case ["read", _, fallback]:
            return [fallback] if fallback else []
    return []


def _loose_rest(sheet: Sheet, figures: set[str]) -> Iterator[tuple[str, str]]:
    for check in sheet["checks"]:
        for name in (check["figure"], check["low"], check["high"]):
            if isinstance(name, str) and name and name not in figures:
                yield f"Check {check['id']}", f"figure {name}"
    for line in sheet["balance"]:
        if line["figure"] not in figures:
            yield f"Balance line {line['id']}", f"figure {line['figure']}"
    for portion in sheet["portions"]:
        if portion["figure"] not in figures:
            yield f"Portion {portion['id']}", f"figure {portion['figure']}"
    for row in sheet.get("expected", ()):
        for name in (row["figure"], row["of"]):
            if name not in figures:
                yield "An expected figure", f"figure {name}"
    yield from _loose_skills(sheet)
    yield from _loose_places(sheet)
    people = {person["id"] for person in sheet["people"]}
    for person in {sheet["lead"], *sheet["crew"]} - people:
        yield "The crew", f"person {person}"


def _loose_skills(sheet: Sheet) -> Iterator[tuple[str, str]]:
    # Sheets frozen before there was a ladder name none.
    skills = {"", *(skill["id"] for skill in sheet.get("skills", ()))}
    for step_id, step in sheet["steps"].items():
        if (skill := step.get("skill", "")) not in skills:
            yield f"Step {step_id}", f"skill {skill}"
    for person in sheet["people"]:
        for skill in {*person.get("solo", ())} - skills:
            yield f"Person {person['id']}", f"skill {skill}"


def _loose_places(sheet: Sheet) -> Iterator[tuple[str, str]]:
    """Steps that a station, a block or a stretch of the work names."""
    named = [(f"Station {s['id']}", step) for s in sheet["stations"] for step in s["steps"]]
    named += [(f"Block {block['id']}", block["step"]) for block in sheet["blocks"]]
    named += [("The zone", step) for step in (sheet["zone"]["from"], sheet["zone"]["to"])]
    hot = sheet["hot_scene"]
    named += [("The hot scene", step) for step in (hot["from"], hot["to"])]
    yield from ((where, f"step {step}") for where, step in named if step not in sheet["steps"])
