"""What must hold of every decoder whatever bytes come: it reads them or refuses them in its own
errors, and what it has read can be used to the end."""

import json
from collections.abc import Iterable
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from shop.craft.errors import CraftError
from shop.craft.reckon import reckon
from shop.picture.errors import PictureError
from shop.picture.reading import read_image
from shop.plan.canonical import canonical
from shop.record.check import decode, is_unread, misfit, say_misfit
from shop.record.errors import NotAnEvent, RecordError
from shop.record.exported import as_text, from_text, linked, sheet_hash
from shop.record.fold import fold
from shop.record.handover import card, glance, spots
from shop.record.live import history as look_back
from shop.record.order import in_order
from shop.record.report import report
from shop.record.steps import in_hot_scene, in_zone, station_view
from shop.store.backup import MANIFEST, backups, checked
from shop.store.batches import read_sheet
from shop.store.chain import sha256hex
from shop.store.errors import BackupWrong, BadSheet
from shop.store.sheets import frozen_text
from tests.record.histories import START, history
from tests.store.scene import sheet as whole_sheet

Event = dict[str, Any]
CODES = {"json", "number", "text", "envelope", "long"}
SIDE = 64
SHEET = whole_sheet()


def text_of(data: bytes) -> str | None:
    """The text a program would be given; halves of surrogate pairs may stand in it."""
    try:
        return data.decode("utf-8", "surrogatepass")
    except UnicodeDecodeError:
        return None


def events(data: bytes) -> None:
    """Lines of a push: each is an event or refused by a code; all that are events can be folded."""
    text = text_of(data)
    if text is not None:
        use(SHEET, sound_events(text.split("\n")))


def sound_events(lines: Iterable[str]) -> list[Event]:
    """The events among these lines; a refusal has a known code and a sentence that can travel."""
    found = []
    for line in lines:
        try:
            found.append(decode(line))
        except NotAnEvent as bad:
            assert bad.code in CODES, bad.code
            json.dumps(bad.say)
    return found


def use(sheet: dict[str, Any], made: list[Event]) -> None:
    """All that anybody does with a sheet and its events, for every law there is on them."""
    for event in made:
        if not is_unread(event) and (code := misfit(sheet, event)):
            say_misfit(code, sheet, event)
    state = fold(sheet, made)
    # The state travels to a phone and is compared byte for byte.
    text = canonical(state)
    assert canonical(fold(sheet, [*reversed(once(made)), *once(made)])) == text
    look_back(in_order(made))
    whole = card(sheet, state, START)
    canonical([whole, glance(sheet, state, START), spots(whole)])
    for station in sheet["stations"]:
        station_view(sheet, state, station["id"])
    in_hot_scene(sheet, state), in_zone(sheet, state)
    report(sheet, made, state, {})


def once(made: list[Event]) -> list[Event]:
    """Of two events with one number the later, as the log has only one."""
    return list({(e["device"], e["seq"]): e for e in made}.values())


def sheet(data: bytes) -> None:
    """A sheet that a phone brings: refused, or everything can be reckoned, folded and shown."""
    text = text_of(data)
    if text is None:
        return
    for name in ("0" * 64, _hash(text)):
        try:
            read = read_sheet(name=name, text=text)
        except BadSheet as bad:
            json.dumps(str(bad))
            continue
        use_sheet(read)


def use_sheet(read: dict[str, Any]) -> None:
    """Nothing recorded on it, then some boils' worth, then the report."""
    for seed in (1, 2, 3):
        made = [{**event, "batch": read["batch"]} for event in history(seed, 30)]
        use(read, [e for e in made if e["v"] == 1])
    use(read, [])


def _hash(text: str) -> str:
    """The name the sheet would have, if it could be one."""
    try:
        found = json.loads(text)
        return sha256hex(frozen_text(found).encode()) if isinstance(found, dict) else ""
    except (ValueError, RecursionError, BadSheet):
        return ""


def record_file(data: bytes) -> None:
    """A record that comes back as a file: none, changed, or the same again once more."""
    text = text_of(data)
    if text is None:
        return
    try:
        found = from_text(text)
    except RecordError as bad:
        json.dumps(str(bad))
        return
    again = as_text(found)
    assert as_text(from_text(again)) == again


def with_links(data: bytes) -> bytes:
    """A record's file with the links its entries have; any other bytes as they are."""
    try:
        told = json.loads(data)
        kept = told["kept"]
        name = sheet_hash(kept["sheet"])
        rows = [(e["line"], e["received"], e["carrier"]) for e in kept["entries"]]
        kept["entries"] = linked(name, rows)
        last = kept["entries"][-1]["link"] if rows else name
        kept["log"] |= {"sheet": name, "entries": last}
        return json.dumps({**told, "fold": 0}).encode()
    except (ValueError, TypeError, KeyError, AttributeError, RecursionError, RecordError):
        return data


def image(data: bytes) -> None:
    """A picture: refused in a sentence, or a small upright one."""
    try:
        read = read_image(data, SIDE)
    except PictureError as bad:
        json.dumps(str(bad))
        return
    height, width, colours = read.rgb.shape
    assert max(height, width) <= SIDE
    assert colours == 3
    assert read.see_through.shape == (height, width)


def reckoned(data: bytes) -> None:
    """The bench calculator: a name, then `option=text` on each line."""
    text = text_of(data)
    if text is None:
        return
    name, *rest = text.split("\n")
    given = dict(line.partition("=")[::2] for line in rest)
    try:
        answer = reckon(name, given)
    except CraftError as bad:
        assert str(bad)
        return
    # No infinity and no NaN is told to anybody.
    json.dumps(answer.as_json(), allow_nan=False)
    assert all(result.in_words() for result in answer.results.values())


def manifest(data: bytes) -> None:
    """What stands beside a backup: a backup, or none."""
    with TemporaryDirectory(dir="/dev/shm") as folder:
        place = Path(folder) / "one"
        place.mkdir()
        (place / MANIFEST).write_bytes(data)
        for found in backups(Path(folder)):
            assert found.at.utcoffset() is not None
            str(found), f"{found.events:,} {found.size:,} {found.sha256[:12]}"


def store_file(data: bytes) -> None:
    """The file a restore is asked to put back: whole, or refused."""
    with TemporaryDirectory(dir="/dev/shm") as folder:
        place = Path(folder) / "kettleside.sqlite3"
        place.write_bytes(data)
        try:
            assert checked(place) >= 0
        except BackupWrong as bad:
            assert str(bad)
