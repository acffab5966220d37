"""Dates, values and states in the office's words."""

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from django.utils.translation import gettext, gettext_noop

from shop.plan.whole import half_up
from shop.record.words import decimal
from shop.screens.office import units
from shop.screens.office.reading import short_day
from shop.screens.office.units import say
from shop.sentences import Sentence

PHASES = {
    "planned": gettext_noop("planned"),
    "open": gettext_noop("on the floor"),
    "closed": gettext_noop("closed"),
    "given_up": gettext_noop("given up"),
}
NO_DATE = gettext_noop("no date")
KNOWN = {"pressed": "", "said": "said afterwards", "countdown": "from a countdown"}


def phase_word(phase: str) -> str:
    """A boil's phase as it is said; one that is not known as it stands."""
    return gettext(PHASES.get(phase, phase))


def moment(ms: int | None, zone: ZoneInfo) -> str:
    """`25 Nov 2026, 11:26:30`, always with the month's name; `–` where unknown."""
    if ms is None:
        return "–"
    local = _local(ms, zone)
    return f"{short_day(local)}, {local:%H:%M:%S}" if local else f"{gettext(NO_DATE)} ({ms} ms)"


def _local(ms: int, zone: ZoneInfo) -> datetime | None:
    """The date of a moment; None outside the years a calendar counts. A phone may say any."""
    try:
        return datetime.fromtimestamp(ms / 1000, UTC).astimezone(zone)
    except (ValueError, OverflowError, OSError):
        return None


def on_day(ms: int | None, zone: ZoneInfo) -> str:
    """`25 Nov 2026`, the day of a moment; `–` where unknown."""
    return moment(ms, zone).partition(",")[0]


def named_day(iso: str) -> str:
    """`25 Nov 2026` from `2026-11-25`: the month always has its name."""
    return short_day(date.fromisoformat(iso))


def clock(ms: int | None, zone: ZoneInfo) -> str:
    """`11:26`, or `–`."""
    if ms is None:
        return "–"
    local = _local(ms, zone)
    return f"{local:%H:%M}" if local else gettext(NO_DATE)


def as_read(reading: dict[str, Any]) -> str:
    """A reading exactly as it stood on the instrument: `152.3 degC`."""
    places = len(str(reading["d"])) - 1
    return f"{decimal(reading['n'], reading['d'], places)} {reading['unit']}"


def target_and_band(reading: dict[str, Any]) -> str:
    """`149.0 °C ± 1.5 K`, or nothing where the sheet sets no target."""
    if reading["target"] is None:
        return ""
    width = "mK" if reading["fixed"] == "m°C" else reading["fixed"]
    band = f" ± {say(reading['tolerance'], width)}" if reading["tolerance"] else ""
    return say(reading["target"], reading["fixed"]) + band


def band_of(entry: dict[str, Any]) -> str:
    """What a derived went-off entry saw, and the limits it left."""
    if entry["value"] is None or not entry["unit"]:
        return ""
    seen, low, high = (say(entry[k], entry["unit"]) for k in ("value", "low", "high"))
    return Sentence("{seen}; wanted {low} to {high}", seen=seen, low=low, high=high)


def minutes_between(a: int, b: int | None) -> str:
    """`4 min later`, or nothing within the same minute."""
    minutes = half_up((b or a) - a, 60_000)
    return Sentence("{n} min later", n=minutes) if minutes >= 1 else ""


def kilos(mg: int | None) -> str:
    """Kilograms to 10 g, the office's resolution for a mass balance."""
    return "–" if mg is None else units.kilos(mg)


def percent(ppm: int | None) -> str:
    """One decimal: `88.7 %`."""
    return "–" if ppm is None else f"{decimal(ppm, 10_000, 1)} %"
