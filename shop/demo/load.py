"""Writing the invented shop into the demo's store, once, as phones would have sent it."""

from typing import Any

from shop.demo.day import LINES, Line
from shop.demo.ladder import learn
from shop.demo.order import ensure_order
from shop.demo.scenario import PEOPLE, SHOP, ZONE, demo_sheet, when
from shop.demo.store_room import ensure_store_room
from shop.plan.canonical import canonical
from shop.store import phones
from shop.store.access import access_shop, access_token
from shop.store.append import append_chains
from shop.store.batches import batches, open_batch
from shop.store.errors import NotHere
from shop.store.people import set_person
from shop.store.shapes import Caller, Chain, ShopInfo
from shop.store.shops import create_shop

SLUG = "demo"
PHONES = {"kettle": "Kettle phone", "table": "Table phone", "roller": "Roller phone"}


def ensure() -> ShopInfo:
    """The demo as it stands; what is missing is made, what is there is kept."""
    try:
        shop = access_shop(SLUG)
    except NotHere:
        shop = _new_shop()
    ensure_store_room(shop)
    there = {batch.key for batch in batches(shop.id)}
    missing = [
        key for key in ("demo-finished", "demo-handover", "demo-planned") if key not in there
    ]
    if missing:
        callers = _phones(shop)
        for key in missing:
            _batch(shop, key, callers)
    ensure_order(shop)
    return shop


def _new_shop() -> ShopInfo:
    settings = {**SHOP, "time_zone": ZONE.key}
    shop = create_shop(slug=SLUG, name=SHOP["name"], settings=settings)
    for person in PEOPLE:
        set_person(shop_id=shop.id, key=person.id, name=person.name, role=person.role)
    learn(shop)
    return shop


def _phones(shop: ShopInfo) -> dict[str, Caller]:
    """The three phones of the invented crew, added as any phone is."""
    callers = {}
    for key, name in PHONES.items():
        joined = phones.join(code=phones.new_code(shop.id), address="demo")
        phones.rename(shop_id=shop.id, device=joined.device, name=name, station=key)
        callers[key] = access_token(joined.token)
    return callers


def _batch(shop: ShopInfo, key: str, callers: dict[str, Caller]) -> None:
    sheet = demo_sheet(key)
    open_batch(shop_id=shop.id, sheet=sheet, lead=sheet["lead"], by="maren")
    by_phone: dict[str, list[dict[str, Any]]] = {name: [] for name in callers}
    offer = ""
    for line in LINES[key]:
        events = by_phone[line[1]]
        event = _event(line, sheet, callers[line[1]].device, _next(shop, callers[line[1]], events))
        if event["kind"] == "handover_offered":
            offer = f"{event['device']}:{event['seq']}"
        if event["kind"] == "handover_taken":
            event["body"]["target"] = offer
        events.append(event)
    for name, events in by_phone.items():
        _send(shop, callers[name], events)


def _next(shop: ShopInfo, caller: Caller, events: list[dict[str, Any]]) -> int:
    entries = {phone.device: phone.entries for phone in phones.phones(shop.id)}
    return entries[caller.device] + len(events) + 1


def _event(line: Line, sheet: dict[str, Any], device: str, seq: int) -> dict[str, Any]:
    clock, _, by, what = line
    moment = when(clock)
    return {
        **{"device": device, "seq": seq, "v": 1, "batch": sheet["batch"], "by": by},
        **{"recorded": moment, "happened": moment, "known": "pressed", "within": 0},
        **{"offset": 0, "bound": 0, "hlc": [moment, 0], "signed": "shop"},
        **_placed(what, sheet),
    }


def _placed(what: dict[str, Any], sheet: dict[str, Any]) -> dict[str, Any]:
    """The line with its station, and a reading with its instrument and how it is taken."""
    body = dict(what["body"])
    if what["kind"] == "reading_taken":
        record = sheet["records"][body["what"]]
        body |= {"instrument": record["instrument"], "how": record["how"]}
    placed = {**what, "body": body}
    station = _station(sheet, what)
    return {**placed, "station": station} if station else placed


def _station(sheet: dict[str, Any], what: dict[str, Any]) -> str:
    """Where it was pressed: the step's station, or that of the step that reads or counts this."""
    if "step" in what:
        return str(sheet["steps"][what["step"]]["station"])
    wanted = what["body"].get("what")
    asks = (s for s in sheet["steps"].values() if wanted in (s["tally"], *s["record"]))
    return str(what.get("station") or next((s["station"] for s in asks), ""))


def _send(shop: ShopInfo, caller: Caller, events: list[dict[str, Any]]) -> None:
    if not events:
        return
    lines = tuple(canonical(event) for event in events)
    chain = Chain(caller.device, events[0]["seq"], lines)
    receipt = append_chains(shop_id=shop.id, carrier_id=caller.device_id, chains=[chain])
    answer = receipt.answers[0]
    if answer.aside or answer.unfiled:
        raise ValueError(f"The demo does not fit its own sheet: {answer.aside + answer.unfiled}")
