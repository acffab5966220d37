"""The batch record as data: what was done, read, went off, weighed; for pages and exports.

Contents after 21 CFR 117.305 (a)–(f): actual values, made at the time, by whom, which lot.
Good practice here, no claim of compliance.
"""

from collections.abc import Mapping
from typing import Any

from shop.record.balance import whole_balance, yield_of
from shop.record.check import Sheet
from shop.record.kinds import body_fits
from shop.record.live import history
from shop.record.order import Event, actor, in_order, ref_of
from shop.record.reading import SCALES, fixed_value
from shop.record.steps import State
from shop.record.summary import summary
from shop.record.temperatures import temperatures
from shop.record.timeline import timeline

Line = dict[str, Any]

HEADINGS = [
    "set-up",
    "cook",
    "colour",
    "cool",
    "aerate",
    "assemble",
    "size",
    "cut",
    "pack-and-clean",
]


def report(
    sheet: Sheet, events: list[Event], state: State, received: Mapping[str, int], melted: int = 0
) -> dict[str, Any]:
    """The whole record; `received` maps each event's ref to the server's time [ms] of receipt.

    `melted` [mg]: scrap of other boils that went in.
    """
    entries = history(in_order(events))
    names = {person["id"]: person["name"] for person in sheet["people"]}
    dated = [{**_dates(entry, received, names), **entry} for entry in entries]
    balance = whole_balance(sheet, state, melted)
    readings = [_reading(sheet, state, e) for e in dated if _is_reading(sheet, e)]
    return {
        "batch": sheet["batch"],
        "lot": sheet["lot"],
        "title": sheet["title"],
        "shop": sheet["shop"],
        "day": sheet["day"],
        "people": sheet["people"],
        "headings": HEADINGS,
        "phase": state["phase"],
        "lead": names.get(state["lead"]["by"], state["lead"]["by"]),
        "steps": [_step(sheet, e) for e in dated if _is_step(e)],
        "readings": readings,
        "acts": [_act(e) for e in dated if not (_is_step(e) or _is_reading(sheet, e))],
        "deviations": [deviation(sheet, entry, names) for entry in state["off"]],
        "mass_balance": balance,
        "yield": yield_of(balance),
        "summary": summary(sheet, events, state, names),
        "temperatures": temperatures(sheet, state, readings, names),
        "timeline": timeline(sheet, events, state, names),
        "owed": [_owed(sheet, entry) for entry in state["owed"]],
        "notes": state["notes"],
        "files": _files(sheet, events, state),
        "handovers": state["handovers"],
        "beside": state["beside"],
        "skills": {skill["id"]: skill["name"] for skill in sheet.get("skills", [])},
        "interrupted": state["interrupted"],
        "tallies": state["tallies"],
        "unfiled": state["unfiled"],
        "unread": state["unread"],
        "conflicts": state["conflicts"],
    }


def _files(sheet: Sheet, events: list[Event], state: State) -> list[Line]:
    """Photos and sounds, each with the step it was taken at, as that step says."""
    places = {ref_of(event): event for event in events}
    return [{**file, **_place(sheet, places[file["ref"]])} for file in state["files"]]


def _place(sheet: Sheet, event: Event) -> Line:
    step, block = event.get("step", ""), event.get("block", "")
    say = sheet["steps"].get(step, {}).get("say", "")
    return {"step": step, "nth": event.get("nth"), "block": block, "say": say}


def _dates(entry: Line, received: Mapping[str, int], names: dict[str, str]) -> Line:
    """Who and when: on the phone's clock as it stood, corrected, and as the shop received it."""
    event = entry["event"]
    return {
        "by": whose(event, names),
        "signed": SIGNED.get(event.get("signed", ""), NOT_SIGNED),
        "happened": entry["at"],
        "recorded": event["recorded"] + (event["offset"] or 0),
        "device_clock": event["recorded"],
        "received": received.get(entry["ref"]),
        "known": event["known"],
        "within": event["within"],
        "device": event["device"],
    }


# How the presser is known, in words.
SIGNED = {
    "shop": "signed in, checked by the shop",
    "phone": "signed in on the phone, no network",
    "desk": "signed in at the desk",
}
NOT_SIGNED = "not signed in"


def whose(event: Event, names: Mapping[str, str]) -> str:
    """Whose act it is, and who pressed where that was somebody else."""
    who, presser = (names.get(k, k) or NOBODY for k in (actor(event), event["by"]))
    return who if who == presser else f"{who} (pressed by {presser})"


NOBODY = "nobody named"


def _common(entry: Line) -> Line:
    kept = (
        "ref",
        "by",
        "signed",
        "happened",
        "recorded",
        "device_clock",
        "received",
        "known",
        "within",
    )
    return {name: entry[name] for name in (*kept, "device", "struck_by", "replaced_by")}


def _step(sheet: Sheet, entry: Line) -> Line:
    event = entry["event"]
    step = sheet["steps"].get(event.get("step"), {})
    return {
        "step": event.get("step", ""),
        "nth": event.get("nth"),
        "heading": step.get("heading", ""),
        "station": step.get("station", ""),
        "say": step.get("say", ""),
        "state": "passed" if entry["kind"] == "step_passed" else "done",
        "reason": event["body"].get("reason", ""),
        **_common(entry),
    }


def _is_step(entry: Line) -> bool:
    return entry["kind"] in ("step_done", "step_passed")


def _act(entry: Line) -> Line:
    """Any other entry as it was made: with steps and readings the whole history."""
    event = entry["event"]
    place = {name: event.get(name, "") for name in ("station", "step")}
    return {"kind": entry["kind"], **place, "body": event["body"], **_common(entry)}


def _is_reading(sheet: Sheet, entry: Line) -> bool:
    """A reading with a value on this sheet, be it in use or over a limit."""
    body = entry["event"]["body"]
    if entry["kind"] != "reading_taken" or not body_fits("reading_taken", body):
        return False
    record = sheet["records"].get(body["what"], {"units": {}})
    return body["unit"] in record["units"] and body["d"] in SCALES


def _reading(sheet: Sheet, state: State, entry: Line) -> Line:
    body = entry["event"]["body"]
    record = sheet["records"][body["what"]]
    return {
        "what": body["what"],
        "nth": entry["event"].get("nth"),
        "label": record["label"],
        "heading": _heading(sheet, body["what"]),
        "station": entry["event"].get("station", ""),
        "n": body["n"],
        "d": body["d"],
        "unit": body["unit"],
        "value": fixed_value(record, body["unit"], body["n"], body["d"]),
        "fixed": record["fixed"],
        "instrument": body["instrument"],
        "how": body["how"],
        "target": state["figures"].get(record["target"]) if record["target"] else None,
        "tolerance": record["tolerance"],
        **_common(entry),
    }


def _heading(sheet: Sheet, what: str) -> str:
    """Heading of the first step that writes this down."""
    return next((s["heading"] for s in sheet["steps"].values() if what in s["record"]), "set-up")


def deviation(sheet: Sheet, entry: Line, names: dict[str, str]) -> Line:
    """A went-off entry with the words of its check or mark, and what was changed."""
    words = {c["id"]: c["say"] for c in sheet["checks"]}
    words |= {m["id"]: m["words"] for m in sheet["marks"]}
    stops = [sheet["steps"][s]["say"] for s in entry["what"].split(",") if s in sheet["steps"]]
    said = {"lit_open": f"Lit with these open: {'; '.join(stops)}"} | words
    by = names.get(entry["by"], entry["by"])
    say = said.get(entry["code"], entry["text"])
    return {**entry, "say": say, "unit": _unit_of(sheet, entry["code"]), "by": by}


def _unit_of(sheet: Sheet, code: str) -> str:
    """Fixed unit in which a check's value stands; `""` for what people marked."""
    units = {q["name"]: q["unit"] for q in sheet["graph"]}
    return next(
        (
            units.get(c["figure"], sheet["records"][c["record"]]["fixed"])
            for c in sheet["checks"]
            if c["id"] == code
        ),
        "",
    )


def _owed(sheet: Sheet, entry: Line) -> Line:
    step = sheet["steps"].get(entry["step"].split("#")[0], {})
    label = sheet["records"].get(entry["what"], {}).get("label", entry["text"])
    return {**entry, "label": label, "say": step.get("say", "")}
