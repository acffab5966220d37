"""Messages from JSON to the store's shapes and back (docs/contracts.md, section 5)."""

import json
import re
from dataclasses import asdict
from typing import Any

from shop.store.incidents import KINDS, MOST_CHARACTERS
from shop.store.shapes import BatchInfo, Chain, Joined, PersonInfo, Phone, Pull, Receipt
from shop.sync.errors import BadMessage

# The oldest program on a phone that may still start a batch; any may push.
MIN_START = 1
DEVICE = re.compile(r"[a-z0-9]{6,24}")
HASH = re.compile(r"[0-9a-f]{64}")
# What a database may refuse (PostgreSQL's jsonb does).
NO_TEXT = re.compile("[\\0\ud800-\udfff]")
FAR = 2**51
OR_KIND = " or ".join(json.dumps(kind) for kind in KINDS)
MOST_CHAINS = 200


def read_chains(message: dict[str, Any]) -> list[Chain]:
    """The chains of a push. Raises BadMessage, naming what was seen."""
    chains = message.get("chains")
    if not isinstance(chains, list):
        raise BadMessage("shape", f"`chains` is {shown(chains)}; it must be a list.")
    if len(chains) > MOST_CHAINS:
        raise BadMessage("shape", f"{len(chains)} chains; at most {MOST_CHAINS} at once.")
    return [_chain(item) for item in chains]


def _chain(item: Any) -> Chain:
    if not isinstance(item, dict):
        raise BadMessage("shape", f"A chain is {shown(item)}; it must be an object.")
    device, start = item.get("device"), item.get("from_seq")
    lines, head = item.get("lines"), item.get("head", "")
    if not isinstance(device, str) or not DEVICE.fullmatch(device):
        say = f"`device` is {shown(device)}; it must be 6 to 24 of a-z and 0-9."
        raise BadMessage("shape", say)
    if not isinstance(start, int) or isinstance(start, bool) or not 1 <= start < FAR:
        raise BadMessage("shape", f"`from_seq` is {shown(start)}; it must be 1 or more.")
    if not isinstance(lines, list):
        raise BadMessage("shape", f"`lines` is {shown(lines)}; it must be a list of texts.")
    if head != "" and not (isinstance(head, str) and HASH.fullmatch(head)):
        raise BadMessage("shape", f"`head` is {shown(head)}; it must be 64 of 0-9 and a-f.")
    return Chain(device, start, tuple(_line(line) for line in lines), head)


def _line(line: Any) -> str:
    """The line's text. What is not a text is no event, but its number is taken all the same."""
    return line if isinstance(line, str) else json.dumps([line])


# Where it stands, at which boil, and who presses; left out by phones of before.
WHERE = ("station", "batch", "by")
REPORT = {"held": FAR, "files": FAR, "app": FAR, "battery": 100, "charging": 1, "installed": 1}


def read_report(message: dict[str, Any], origin: str) -> dict[str, Any]:
    """What a phone says of itself, and the name it asked under. Raises BadMessage.

    `held` entries and `files` not sent yet; `battery` [%] is left out where it is not known.
    """
    numbers = {key: message[key] for key in REPORT if message.get(key) is not None}
    for key, value in numbers.items():
        if not isinstance(value, int) or isinstance(value, bool) or not 0 <= value <= REPORT[key]:
            say = f"`{key}` is {shown(value)}; it must be a whole number from 0 to {REPORT[key]}."
            raise BadMessage("shape", say)
    where = {key: text_of(message, key) for key in WHERE if key in message}
    tried = {"tried": read_tried(message["tried"])} if message.get("tried") is not None else {}
    build = text_of(message, "build", default="")[:40]
    return {**numbers, **where, **tried, "build": build, "origin": origin}


ENDS = ("works", "fails", "cannot")
TRY = re.compile(r"[a-z]{1,12}")
MOST_TRIES = 20


def read_tried(tried: Any) -> dict[str, Any]:
    """What the phone could do when somebody last tried it: `at` [ms], under which `build`, on which
    `system`, and how each try ended. Raises BadMessage."""
    if not isinstance(tried, dict) or not isinstance(ends := tried.get("ends"), dict):
        raise BadMessage("shape", f"`tried` is {shown(tried)}; it must be an object with `ends`.")
    at = tried.get("at")
    if not isinstance(at, int) or isinstance(at, bool) or not 0 <= at < FAR:
        raise BadMessage("shape", f"`at` is {shown(at)}; it must be a moment in ms.")
    if len(ends) > MOST_TRIES or not all(TRY.fullmatch(key) for key in ends):
        say = f"`ends` is {shown(ends)}; at most {MOST_TRIES} tries, named by 1 to 12 of a-z."
        raise BadMessage("shape", say)
    if wrong := [end for end in ends.values() if end not in ENDS]:
        raise BadMessage("shape", f"A try ended {shown(wrong[0])}; it must be one of {ENDS}.")
    words = {key: text_of(tried, key, default="")[:40] for key in ("build", "system")}
    return {"at": at, **words, "ends": ends}


INCIDENT = re.compile(r"[0-9a-f]{32}")


def read_incident(message: dict[str, Any]) -> dict[str, Any]:
    """A note for the shop's restricted record. Raises BadMessage, which quotes no word of it."""
    key, happened, text = message.get("id"), message.get("happened"), message.get("text")
    if not isinstance(key, str) or not INCIDENT.fullmatch(key):
        raise BadMessage("shape", f"`id` is {shown(key)}; it must be 32 of 0-9 and a-f.")
    if message.get("kind") not in KINDS:
        raise BadMessage("shape", f"`kind` is {shown(message.get('kind'))}; it must be {OR_KIND}.")
    if not isinstance(happened, int) or isinstance(happened, bool) or not 0 <= happened < FAR:
        raise BadMessage("shape", f"`happened` is {shown(happened)}; it must be a moment in ms.")
    if not isinstance(text, str) or not 1 <= len(text) <= MOST_CHARACTERS:
        say = f"`text` must be a text of 1 to {MOST_CHARACTERS} characters."
        raise BadMessage("shape", say)
    if NO_TEXT.search(text):
        raise BadMessage("text", "`text` holds NUL or half of a surrogate pair; neither is text.")
    return {"key": key, "kind": message["kind"], "happened": happened, "text": text}


def told(
    phone: Phone,
    crew: list[PersonInfo],
    pins: dict[str, str],
    *,
    epoch: str,
    moved: str,
    reads: dict[str, str],
    server_time: int,
) -> dict[str, Any]:
    """What the office says of a phone: its name, its usual station, the shop's new address if any,
    whom it may check by which verifier, and the units and language they read."""
    said = {"name": phone.name, "station": phone.station, "moved": moved, **reads}
    people = [{**_person(p), **_reads(p), "pin": pins.get(p.key, "")} for p in crew]
    return {**said, "people": people, "epoch": epoch, "server_time": server_time}


def in_company(phones: list[Phone], server_time: int) -> dict[str, Any]:
    """The phones in use: where each stands, who presses there, and when it was last heard."""
    used = [one for one in phones if not one.is_server and one.locked_out_at is None]
    return {"phones": [_mate(one) for one in used], "server_time": server_time}


def _mate(phone: Phone) -> dict[str, Any]:
    where = {"station": phone.station, "batch": "", "by": ""}
    where |= {key: phone.report[key] for key in WHERE if key in phone.report}
    return {"device": phone.device, "name": phone.name, **where, "heard": phone.seen}


def receipt(given: Receipt, server_time: int) -> dict[str, Any]:
    """The answer to a push."""
    return {
        "epoch": given.epoch,
        "head": given.head,
        "server_time": server_time,
        "min_start": MIN_START,
        "answers": [asdict(answer) for answer in given.answers],
    }


def joined(given: Joined, server_time: int) -> dict[str, Any]:
    """The answer to a phone that was just added."""
    return {
        "device": given.device,
        "token": given.token,
        "shop": given.shop.slug,
        "epoch": given.shop.epoch,
        "name": given.name,
        "server_time": server_time,
    }


def header(given: Pull, people: list[PersonInfo], server_time: int) -> dict[str, Any]:
    """The first line of a pull."""
    shop = given.shop
    crew = [_person(p) for p in people]
    return {
        "epoch": shop.epoch,
        "head": shop.head,
        "through": given.through,
        "server_time": server_time,
        "min_start": MIN_START,
        "shop": {"id": shop.slug, "name": shop.name, "people": crew},
        "sheets": sorted({batch.sheet for batch in given.batches}),
        "batches": [_batch(batch) for batch in given.batches],
        "count": len(given.lines),
    }


def _reads(person: PersonInfo) -> dict[str, str]:
    """Units and language of somebody, where they do not follow the shop."""
    own = {"units": person.units, "language": person.language}
    return {what: value for what, value in own.items() if value}


def _person(person: PersonInfo) -> dict[str, str]:
    return {"id": person.key, "name": person.name, "role": person.role}


def _batch(batch: BatchInfo) -> dict[str, str]:
    return {
        "id": batch.key,
        "sheet": batch.sheet,
        "letter": batch.letter,
        "pattern": batch.pattern,
        "title": batch.title,
        "phase": batch.phase,
        "lot": batch.lot,
    }


def whole(name: str, text: str) -> int:
    """A whole number of the address, such as the `after` of a pull. Raises BadMessage."""
    if not re.fullmatch(r"[0-9]{1,16}", text):
        raise BadMessage("shape", f"`{name}` is {shown(text)}; it must be a whole number from 0.")
    return int(text)


def text_of(message: dict[str, Any], key: str, *, default: str | None = None) -> str:
    """A text of the message: at most 200 characters, no NUL and no half of a pair. Raises
    BadMessage."""
    value = message.get(key, default)
    if not isinstance(value, str) or len(value) > 200:
        raise BadMessage("shape", f"`{key}` is {shown(value)}; it must be a text of at most 200.")
    if NO_TEXT.search(value):
        say = f"`{key}` is {shown(value)}; NUL and halves of surrogate pairs are no text."
        raise BadMessage("text", say)
    return value


def shown(value: object) -> str:
    """A value in a sentence, short."""
    return json.dumps(value)[:60]
