"""What the desk sees of the phones: where each stands, what it holds, whether it is whole."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext, gettext_lazy

from shop.plan.whole import half_up
from shop.screens.office.wording import moment
from shop.store.shapes import KitFound, Phone

MINUTE, HOUR, DAY = 60_000, 3_600_000, 86_400_000
# How a phone can be found when it is looked over as kit.
FOUND = {
    "wiped": gettext_lazy("Wiped"),
    "whole": gettext_lazy("Whole"),
    "broken": gettext_lazy("Broken"),
    "missing": gettext_lazy("Missing"),
}
MISSED = ("broken", "missing")
# What is tried on the phone itself (static/js/screens/checks.js), and what it can't do without.
TRIES = {
    "home": gettext_lazy("starts from the home screen"),
    "offline": gettext_lazy("works without a network"),
    "kept": gettext_lazy("keeps its data"),
    "room": gettext_lazy("has room"),
    "awake": gettext_lazy("keeps its screen on"),
    "photo": gettext_lazy("takes photos"),
    "sound": gettext_lazy("records spoken notes"),
    "battery": gettext_lazy("tells its battery"),
    "shake": gettext_lazy("vibrates"),
    "ring": gettext_lazy("rings, and is heard"),
}
NEEDED = ("home", "offline", "awake", "ring")


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
    tried: str
    cannot: str
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
        kit=f"{FOUND[state.found]}, {moment(state.at, zone)}"
        if state
        else gettext("Not looked over"),
        tried=tried(said, zone),
        cannot=_named(said, "cannot"),
        state=_state(phone, zone),
        trouble=bool(said.get("held") or missed or _unfit(said)) and not phone.is_server,
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
        return gettext("never")
    told = (
        (DAY, gettext("%(n)s days ago")),
        (HOUR, gettext("%(n)s h ago")),
        (MINUTE, gettext("%(n)s min ago")),
    )
    for unit, words in told:
        if now - then >= 2 * unit or (unit != DAY and now - then >= unit):
            return words % {"n": (now - then) // unit}
    return gettext("just now")


def holds(phone: Phone, now: int) -> str:
    """What the phone said it has not sent; what it made since, nobody here can know."""
    if phone.reported is None:
        return gettext("It has not said")
    held, files = int(phone.report.get("held", 0)), int(phone.report.get("files", 0))
    said = [gettext("%(n)s entries") % {"n": held}] if held else []
    said += [gettext("%(n)s photos or sounds") % {"n": files}] if files else []
    return f"{', '.join(said) or gettext('Nothing')}, {ago(phone.reported, now)}"


def tried(said: dict[str, Any], zone: ZoneInfo) -> str:
    """Whether it was found ready when somebody tried it on the phone, and when."""
    if not (found := said.get("tried")):
        return gettext("Not tried")
    when = moment(found["at"], zone)
    if found["build"] != said.get("build"):
        when = gettext("%(when)s, with an app of before") % {"when": when}
    if fails := _named(said, "fails"):
        return gettext("Does not: %(tries)s. %(when)s") % {"tries": fails, "when": when}
    words = gettext("Not ready") if _unfit(said) else gettext("Ready")
    return f"{words}. {when}"


def _named(said: dict[str, Any], end: str) -> str:
    """The tries that ended so, in words."""
    ends = said.get("tried", {}).get("ends", {})
    return ", ".join(str(word) for key, word in TRIES.items() if ends.get(key) == end)


def _unfit(said: dict[str, Any]) -> bool:
    """Whether it was tried, and lacks what a phone at a kettle can't do without."""
    ends = said.get("tried", {}).get("ends", {})
    return bool(ends) and any(ends.get(key) != "works" for key in NEEDED)


def _battery(phone: Phone) -> str:
    share = phone.report.get("battery")
    if share is None:
        return gettext("not told")
    charging = gettext(", charging") if phone.report.get("charging") else ""
    return f"{half_up(int(share), 1)} %{charging}"


def _state(phone: Phone, zone: ZoneInfo) -> str:
    if phone.is_server:
        return gettext("the shop's server")
    if phone.locked_out_at:
        return gettext("locked out %(when)s") % {"when": moment(phone.locked_out_at, zone)}
    if phone.replaces:
        return gettext("in use, took the place of %(phone)s") % {"phone": phone.replaces}
    return gettext("in use")
