"""The addresses of the wire. Each view translates: read, call the store once, answer."""

from django.conf import settings
from django.http import HttpRequest, HttpResponse

from shop.store import incidents, phones, pins, seen
from shop.store.access import access_device, access_token
from shop.store.append import append_chains
from shop.store.batches import accept_sheet
from shop.store.clock import now_ms
from shop.store.files import take_piece
from shop.store.people import people
from shop.store.read import pull, pull_batch
from shop.store.shapes import Caller, Pull
from shop.store.sheets import sheet_text
from shop.store.shops import reads_of
from shop.store.shown import shown_file
from shop.sync.answers import as_bytes, as_json, as_lines, as_text, nothing_new, wire
from shop.sync.body import read_json, received
from shop.sync.errors import BadMessage, NoToken, WireError
from shop.sync.shapes import (
    header,
    in_company,
    joined,
    read_chains,
    read_incident,
    read_report,
    receipt,
    shown,
    text_of,
    told,
    whole,
)


@wire("POST")
def join(request: HttpRequest) -> HttpResponse:
    """Add the phone that shows a code of the office."""
    message = read_json(request)
    added = phones.join(
        code=text_of(message, "code"),
        address=request.META.get("REMOTE_ADDR", ""),
        device=text_of(message, "device", default=""),
    )
    return as_json(request, joined(added, now_ms()))


@wire("POST")
def push(request: HttpRequest) -> HttpResponse:
    """Keep the events of this phone and those it carries for others."""
    caller = _caller(request)
    message = read_json(request)
    chains = read_chains(message)
    if text_of(message, "epoch", default=caller.shop.epoch) != caller.shop.epoch:
        # A restored server: the phone brings the sheets of boils unknown here, then asks again.
        chains = []
    given = append_chains(shop_id=caller.shop.id, carrier_id=caller.device_id, chains=chains)
    return as_json(request, receipt(given, now_ms()))


@wire("GET")
def pull_new(request: HttpRequest) -> HttpResponse:
    """What came since the phone's cursor; one read and no write when nothing did."""
    caller = _caller(request)
    asked = request.GET
    after = whole("after", asked.get("after", "0"))
    if asked.get("epoch") != caller.shop.epoch or after > caller.shop.head:
        after = 0
    elif after == caller.shop.head and after:
        return nothing_new()
    named = asked.get("batches")
    subscribed = None if named is None else [key for key in named.split(",") if key]
    return _lines(request, caller, pull(caller.shop, after, subscribed))


@wire("POST")
def phone(request: HttpRequest) -> HttpResponse:
    """What a phone says of itself; answered with what the office says of it."""
    caller = _caller(request)
    report = read_report(read_json(request), request.get_host())
    phones.take_report(caller, report)
    shop = caller.shop
    said = told(
        access_device(shop.id, caller.device),
        people(shop.id, active_only=True),
        pins.verifiers(shop.id),
        epoch=shop.epoch,
        moved=_moved(request),
        reads=reads_of(shop),
        server_time=now_ms(),
    )
    return as_json(request, said)


@wire("POST")
def pin(request: HttpRequest) -> HttpResponse:
    """Whether somebody is who they say: checked here, wrong ones counted here."""
    caller, message = _caller(request), read_json(request)
    pins.check_pin(caller, person=text_of(message, "person"), pin=text_of(message, "pin"))
    return as_json(request, {"signed": "shop", "server_time": now_ms()})


@wire("GET")
def company(request: HttpRequest) -> HttpResponse:
    """Who else is on the floor: the shop's phones in use."""
    caller, moment = _caller(request), now_ms()
    seen.spread(caller.device_id, moment)
    return as_json(request, in_company(phones.phones(caller.shop.id), moment))


@wire("POST")
def incident(request: HttpRequest) -> HttpResponse:
    """A note for the shop's restricted record, which no phone ever gets back."""
    caller = _caller(request)
    given = read_incident(read_json(request))
    kept = incidents.tell(shop_id=caller.shop.id, device_id=caller.device_id, **given)
    return as_json(request, {"kept": kept})


@wire("POST")
def move(request: HttpRequest) -> HttpResponse:
    """A code for the shop's new address, once all this phone made is here."""
    caller, to = _caller(request), _moved(request)
    if not to:
        raise BadMessage("not-moved", "The shop has no other address than this one.")
    made = whole("made", str(read_json(request).get("made", "")))
    code = phones.moving_code(caller, made=made)
    return as_json(request, {"code": code, "to": to, "server_time": now_ms()})


def _moved(request: HttpRequest) -> str:
    """The shop's new address, for a phone that still asks under an old name."""
    name = request.get_host().rpartition(":")[0] or request.get_host()
    return str(settings.HOME) if name in settings.OLD_NAMES else ""


@wire("GET", "POST")
def sheet(request: HttpRequest, name: str) -> HttpResponse:
    """A sheet by its hash, in the very text that was hashed; brought back after a restore."""
    caller = _caller(request)
    if request.method == "POST":
        text = read_json(request).get("text")
        if not isinstance(text, str):
            raise BadMessage("shape", f"`text` is {shown(text)}; it must be a sheet's text.")
        accept_sheet(shop_id=caller.shop.id, name=name, text=text)
        return as_json(request, {"epoch": caller.shop.epoch, "server_time": now_ms()})
    return as_text(request, sheet_text(caller.shop.id, name), "application/json")


@wire("GET", "POST")
def file(request: HttpRequest, name: str) -> HttpResponse:
    """A photo or sound as it is shown, from `from` on; or a piece of one, and how much is here."""
    caller = _caller(request)
    start = whole("from", request.GET.get("from", "0"))
    if request.method == "POST":
        have = take_piece(
            caller,
            name=name,
            start=start,
            size=whole("size", request.GET.get("size", "0")),
            media=request.GET.get("type", ""),
            piece=received(request),
        )
        return as_json(request, {"have": have, "server_time": now_ms()})
    media, path = shown_file(caller.shop.id, name)
    return as_bytes(path.read_bytes()[start:], media)


@wire("GET")
def batch(request: HttpRequest, key: str) -> HttpResponse:
    """One batch, open or not, whole."""
    caller = _caller(request)
    return _lines(request, caller, pull_batch(caller.shop, key))


@wire("GET", "POST", "HEAD", "PUT", "PATCH", "DELETE", "OPTIONS")
def nowhere(request: HttpRequest) -> HttpResponse:
    """Any other address under /sync/."""
    raise WireError(404, "no-address", f"There is nothing at {request.path[:80]!r}.")


def _caller(request: HttpRequest) -> Caller:
    """Who asks, by the bearer token alone. Raises NoToken and the store's errors."""
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    if scheme.lower() != "bearer" or not token.strip():
        raise NoToken
    caller = access_token(token.strip())
    seen.heard(caller.shop.id, caller.device_id, now_ms())
    return caller


def _lines(request: HttpRequest, caller: Caller, given: Pull) -> HttpResponse:
    crew = people(caller.shop.id, active_only=True)
    first = {**header(given, crew, now_ms()), "entries": caller.entries}
    return as_lines(request, first, given.lines)
