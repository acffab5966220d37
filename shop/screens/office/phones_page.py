"""What the desk sees of the phones: where each stands, what it holds, whether it is whole."""

from collections.abc import Iterable
from dataclasses import dataclass
from zoneinfo import ZoneInfo

from shop.plan.whole import half_up
from shop.screens.office.wording import moment
from shop.store.shapes import KitFound, Phone

MINUTE, HOUR, DAY = 60_000, 3_600_000, 86_400_000
# How a phone can be found when it is looked over as kit.
FOUND = {"wiped": "Wiped", "whole": "Whole", "broken": "Broken", "missing": "Missing"}
MISSED = ("broken", "missing")


@dataclass(frozen=True, slots=True)
class PhoneLine:
    """A device as the desk sees it; `trouble` asks for somebody."""

    device: str
    name: str
    station: str
    seen: str
    holds: str
    app: str
    battery: str
    origin: str
    kit: str
    state: str
    trouble: bool
    is_phone: bool
    locked: bool


@dataclass(frozen=True, slots=True)
class KitLine:
    """A phone on the breakables list."""

    name: str
    station: str
    whole: str
    wiped: str
    trouble: bool


def phone_lines(
    phones: Iterable[Phone], checks: Iterable[KitFound], *, now: int, zone: ZoneInfo
) -> list[PhoneLine]:
    """Every device, with the newest check of its kit."""
    newest = _newest(checks)
    return [_line(phone, newest.get(phone.device, {}), now, zone) for phone in phones]


def kit_lines(phones: Iterable[Phone], checks: Iterable[KitFound], zone: ZoneInfo) -> list[KitLine]:
    """The breakables list: each phone in use, when it was last seen whole and last wiped."""
    newest = _newest(checks)
    used = [phone for phone in phones if not phone.is_server and not phone.locked_out_at]
    return [_kit_line(phone, newest.get(phone.device, {}), zone) for phone in used]


def _newest(checks: Iterable[KitFound]) -> dict[str, dict[str, KitFound]]:
    """Device → what was found → the newest time; whole, broken and missing are one question."""
    found: dict[str, dict[str, KitFound]] = {}
    for check in checks:
        kind = "wiped" if check.found == "wiped" else "state"
        found.setdefault(check.device, {}).setdefault(kind, check)
    return found


def _line(phone: Phone, checks: dict[str, KitFound], now: int, zone: ZoneInfo) -> PhoneLine:
    said, state = phone.report, checks.get("state")
    missed = state is not None and state.found in MISSED
    return PhoneLine(
        device=phone.device,
        name=phone.name,
        station=phone.station,
        seen="–" if phone.is_server else ago(phone.seen, now),
        holds="–" if phone.is_server else holds(phone, now),
        app=str(said.get("build", "")),
        battery=_battery(phone),
        origin=str(said.get("origin", "")),
        kit=f"{FOUND[state.found]}, {moment(state.at, zone)}" if state else "Not looked over",
        state=_state(phone, zone),
        trouble=bool(said.get("held") or missed) and not phone.is_server,
        is_phone=not phone.is_server,
        locked=bool(phone.locked_out_at),
    )


def _kit_line(phone: Phone, checks: dict[str, KitFound], zone: ZoneInfo) -> KitLine:
    state, wiped = checks.get("state"), checks.get("wiped")
    whole = f"{FOUND[state.found]}, {moment(state.at, zone)}, {state.by}" if state else "–"
    when = f"{moment(wiped.at, zone)}, {wiped.by}" if wiped else "–"
    missed = state is None or state.found in MISSED
    return KitLine(phone.name, phone.station, whole, when, missed)


def ago(then: int | None, now: int) -> str:
    """`just now`, `4 min ago`, `3 h ago`, `12 days ago`; `never` where it was not."""
    if then is None:
        return "never"
    for unit, word in ((DAY, "days"), (HOUR, "h"), (MINUTE, "min")):
        if now - then >= 2 * unit or (unit != DAY and now - then >= unit):
            return f"{(now - then) // unit} {word} ago"
    return "just now"


def holds(phone: Phone, now: int) -> str:
    """What the phone said it has not sent; what it made since, nobody here can know."""
    if phone.reported is None:
        return "It has not said"
    held, files = int(phone.report.get("held", 0)), int(phone.report.get("files", 0))
    said = [f"{held} entries"] if held else []
    said += [f"{files} photos or sounds"] if files else []
    return f"{', '.join(said) or 'Nothing'}, {ago(phone.reported, now)}"


def _battery(phone: Phone) -> str:
    share = phone.report.get("battery")
    if share is None:
        return "not told"
    charging = ", charging" if phone.report.get("charging") else ""
    return f"{half_up(int(share), 1)} %{charging}"


def _state(phone: Phone, zone: ZoneInfo) -> str:
    if phone.is_server:
        return "the shop's server"
    if phone.locked_out_at:
        return f"locked out {moment(phone.locked_out_at, zone)}"
    return f"in use, took the place of {phone.replaces}" if phone.replaces else "in use"
