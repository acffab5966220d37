"""What an event must be: its envelope, its body, and its place in a sheet."""

import json
from collections.abc import Iterator
from typing import Any

from shop.plan.canonical import DEEPEST, is_deep
from shop.record.errors import NotAnEvent
from shop.record.kinds import KINDS, VERSION, body_fits, is_whole
from shop.record.order import Event
from shop.record.reading import problem_with

KNOWN = ("pressed", "said", "countdown")
MOST_COUNTED = 100_000
LONGEST = 8192
TEXTS = ("device", "kind", "batch", "by", "known")
NUMBERS = ("seq", "v", "recorded", "happened", "within")
PLACES = ("station", "step", "block", "for", "signed")

Sheet = dict[str, Any]


def decode(line: str) -> Event:
    """The event written on one line.

    Raises NotAnEvent with a stable code (`json`, `number`, `text`, `envelope`, `long`).
    """
    if len(line) > LONGEST:
        raise NotAnEvent(
            "long", f"An event of {len(line)} characters; the limit is {LONGEST}. Shorten the note."
        )
    try:
        event = json.loads(line, parse_float=_no_float, parse_constant=_no_float)
        line.encode("utf-8")
        json.dumps(event, ensure_ascii=False).encode("utf-8")
    except UnicodeEncodeError as bad:
        raise NotAnEvent("text", f"Ill-formed Unicode at character {bad.start}.") from bad
    except (ValueError, RecursionError) as bad:
        raise NotAnEvent("json", f"This is not one whole JSON object: {bad}.") from bad
    if is_deep(event):
        raise NotAnEvent("json", f"Something in it is nested more than {DEEPEST} deep.")
    _check_envelope(event)
    return dict(event)


def _no_float(text: str) -> None:
    raise NotAnEvent("number", f"The number {text} is not whole; events hold whole numbers only.")


def _check_envelope(event: Any) -> None:
    if not isinstance(event, dict):
        raise NotAnEvent("envelope", f"An event is an object, not {type(event).__name__}.")
    for problem in _envelope_problems(event):
        raise NotAnEvent("envelope", problem)


def _envelope_problems(event: Event) -> list[str]:
    say = [_wrong(event, key, wanted) for key, wanted in _misfits(event)]
    if say:
        return say
    if event["seq"] < 1:
        return [_wrong(event, "seq", "1 or more")]
    return [] if event["known"] in KNOWN else [_wrong(event, "known", " or ".join(KNOWN))]


def _misfits(event: Event) -> Iterator[tuple[str, str]]:
    """Keys of the wrong kind, and what each must be."""
    yield from ((k, "text") for k in TEXTS if not isinstance(event.get(k), str))
    yield from ((k, "a whole number") for k in NUMBERS if not is_whole(event.get(k)))
    yield from ((k, "text") for k in PLACES if not isinstance(event.get(k, ""), str))
    if not is_whole(event.get("nth", 1)) or event.get("nth", 1) < 1:
        yield "nth", "1 or more"
    for key in ("offset", "bound"):
        if not is_whole(event.get(key, "")) and event.get(key, "") is not None:
            yield key, "a whole number or null"
    if not _is_hlc(event.get("hlc")):
        yield "hlc", "two whole numbers"
    if not isinstance(event.get("body"), dict):
        yield "body", "an object"


def _wrong(event: Event, key: str, wanted: str) -> str:
    return f"`{key}` is {json.dumps(event.get(key))[:60]}; it must be {wanted}."


def _is_hlc(value: object) -> bool:
    return (
        isinstance(value, list) and len(value) == 2 and all(is_whole(v) and v >= 0 for v in value)
    )


def is_unread(event: Event) -> bool:
    """Of a kind or version this program does not know: kept, and folded over."""
    return event["kind"] not in KINDS or event["v"] > VERSION


def misfit(sheet: Sheet, event: Event) -> str:
    """Why an event that can be read can't be used with this sheet; `""` if it can.

    Codes: `batch body step count`, and for readings `record unit scale low high`.
    """
    if event["batch"] != sheet["batch"]:
        return "batch"
    if not body_fits(event["kind"], event["body"]):
        return "body"
    if event.get("step") is not None and event["step"] not in sheet["steps"]:
        return "step"
    if event["kind"] in ("step_done", "step_undone", "step_passed", "sheet_amended"):
        return "" if "step" in event else "step"
    if event["kind"] == "reading_taken":
        return problem_with(sheet["records"].get(event["body"]["what"]), event["body"])
    if event["kind"] == "tally_counted" and not 0 < abs(event["body"]["add"]) <= MOST_COUNTED:
        return "count"
    return ""


def say_misfit(code: str, sheet: Sheet, event: Event) -> str:
    """The sentence for a misfit: the value seen, the limit and the next step."""
    body = event["body"]
    # A body that does not fit may name anything at all.
    what = body.get("what")
    record = sheet["records"].get(what, {}) if isinstance(what, str) else {}
    label, fixed = record.get("label", ""), record.get("fixed", "")
    seen = f"{body.get('n')}/{body.get('d')} {body.get('unit')}"
    return {
        "batch": f"This belongs to batch {event['batch']}, not {sheet['batch']}.",
        "body": f"The body of {event['kind']} is not as it must be: {json.dumps(body)[:80]}.",
        "step": f"Step {event.get('step', '(none)')} is not on the sheet of {sheet['batch']}.",
        "record": f"Nothing called {body.get('what')} is written down on this sheet.",
        "unit": f"{label}: {seen}; units are {', '.join(record.get('units', {}))}.",
        "scale": f"{label}: {seen}; the divisor must be 1, 10, 100 or 1000.",
        "count": f"{body.get('add')} is not a count from 1 to {MOST_COUNTED}.",
        "low": f"{label}: {seen} is under the limit of {record.get('low')} {fixed}. Read again.",
        "high": f"{label}: {seen} is over the limit of {record.get('high')} {fixed}. Read again.",
    }[code]
