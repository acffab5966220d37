"""Dates, values and states in the office's words."""

from datetime import UTC, date, datetime
from typing import Any
from zoneinfo import ZoneInfo

from shop.plan.whole import half_up
from shop.record.words import decimal, say

PHASES = {"planned": "planned", "open": "on the floor", "closed": "closed", "given_up": "given up"}
KNOWN = {"pressed": "", "said": "said afterwards", "countdown": "from a countdown"}


def moment(ms: int | None, zone: ZoneInfo) -> str:
    """`25 Nov 2026, 11:26:30`, always with the month's name; `–` where unknown."""
    if ms is None:
        return "–"
    local = datetime.fromtimestamp(ms / 1000, UTC).astimezone(zone)
    return f"{local.day} {local:%b %Y, %H:%M:%S}"


def on_day(ms: int | None, zone: ZoneInfo) -> str:
    """`25 Nov 2026`, the day of a moment; `–` where unknown."""
    return moment(ms, zone).partition(",")[0]


def named_day(iso: str) -> str:
    """`25 Nov 2026` from `2026-11-25`: the month always has its name."""
    day = date.fromisoformat(iso)
    return f"{day.day} {day:%b %Y}"


def clock(ms: int | None, zone: ZoneInfo) -> str:
    """`11:26`, or `–`."""
    if ms is None:
        return "–"
    return f"{datetime.fromtimestamp(ms / 1000, UTC).astimezone(zone):%H:%M}"


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
    return f"{seen}; wanted {low} to {high}"


def minutes_between(a: int, b: int | None) -> str:
    """`4 min later`, or nothing within the same minute."""
    minutes = half_up((b or a) - a, 60_000)
    return f"{minutes} min later" if minutes >= 1 else ""


def kilos(mg: int | None) -> str:
    """Kilograms to 10 g, the office's resolution for a mass balance."""
    return "–" if mg is None else f"{decimal(mg, 1_000_000, 2)} kg"


def percent(ppm: int | None) -> str:
    """One decimal: `88.7 %`."""
    return "–" if ppm is None else f"{decimal(ppm, 10_000, 1)} %"
