"""What the desk sees first: every boil, what its stations do now, what needs someone."""

from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from django.utils.translation import gettext

from shop.record.may import may
from shop.record.steps import station_view
from shop.screens.office.reading import whole_day
from shop.screens.office.sheet_words import told
from shop.screens.office.wording import phase_word
from shop.store.shapes import BatchInfo

LATE_H, TWO_DAYS_H = 36, 48


@dataclass(frozen=True, slots=True)
class StationLine:
    """A station's work now."""

    name: str
    now: str
    next: str
    waits: str
    done: int
    total: int


@dataclass(frozen=True, slots=True)
class Boil:
    """One batch on the page."""

    batch: str
    letter: str
    title: str
    lot: str
    phase: str
    lead: str
    can_open: bool
    stations: list[StationLine]
    needs: list[str]


@dataclass(frozen=True, slots=True)
class BackupLine:
    """How old the last good backup is; `late` after a day and a half, or where there is none."""

    words: str
    late: bool


def backup_line(taken: datetime | None, now: datetime) -> BackupLine:
    """The age in whole hours, then in days."""
    if taken is None:
        return BackupLine(gettext("No backup yet."), late=True)
    hours = int((now - taken).total_seconds() // 3600)
    age = f"{hours} h" if hours < TWO_DAYS_H else gettext("%(n)s days") % {"n": hours // 24}
    return BackupLine(gettext("Last good backup %(age)s ago.") % {"age": age}, late=hours >= LATE_H)


@dataclass(frozen=True, slots=True)
class TodayPage:
    """All the page prints; `head` is the newest event it knows."""

    day: str
    head: int
    boils: list[Boil]
    aside: list[tuple[str, int, str]]
    backup: BackupLine | None
    warnings: list[str]


def day_of(day: date) -> str:
    """`Wednesday 25 November 2026`."""
    return whole_day(day)


def boil(info: BatchInfo, sheet: dict[str, Any], state: dict[str, Any]) -> Boil:
    """A batch as the page shows it."""
    names = {p["id"]: p["name"] for p in sheet["people"]}
    lead = state["lead"]["by"]
    return Boil(
        batch=info.key,
        letter=info.letter,
        title=info.title,
        lot=info.lot,
        phase=phase_word(state["phase"]),
        lead=names.get(lead, lead),
        can_open=state["phase"] == "planned",
        stations=_stations(sheet, state) if state["phase"] == "open" else [],
        needs=[*_whose(sheet, state, names), *_needs(state)],
    )


def _stations(sheet: dict[str, Any], state: dict[str, Any]) -> list[StationLine]:
    names = {s["id"]: told(sheet, s["name"]) for s in sheet["stations"]}
    return [_line(sheet, names, s, station_view(sheet, state, s["id"])) for s in sheet["stations"]]


def _line(
    sheet: dict[str, Any], names: dict[str, str], station: dict[str, Any], view: dict[str, Any]
) -> StationLine:
    waits = ", ".join(sorted({names[w["station"]] for w in view["waits_for"]}))
    now, coming = (_say(sheet, view[k]) for k in ("now", "next"))
    return StationLine(names[station["id"]], now, coming, waits, view["done"], view["total"])


def _say(sheet: dict[str, Any], key: str) -> str:
    step, _, nth = key.partition("#")
    if not key:
        return "–"
    return told(sheet, sheet["steps"][step]["say"]) + (f" ({nth})" if nth else "")


def _whose(sheet: dict[str, Any], state: dict[str, Any], names: dict[str, str]) -> list[str]:
    """Whether somebody has the boil who should not be left alone with it."""
    lead = state["lead"]["by"]
    if state["phase"] != "open" or may(sheet, lead, "have_boil"):
        return []
    able = gettext(" or ").join(
        gettext(role["name"]) for role in sheet["roles"] if "have_boil" in role["may"]
    )
    return [
        gettext("%(who)s has the boil: it wants a %(able)s")
        % {"who": names.get(lead, lead) or gettext("Nobody named"), "able": able}
    ]


def _needs(state: dict[str, Any]) -> list[str]:
    """What waits for a person, in one line each."""
    open_off = sum(entry["mended"] is None for entry in state["off"])
    counted = [
        (len(state["conflicts"]), gettext("to settle between two entries")),
        (open_off, gettext("went off, nothing written down as changed")),
        (len(state["owed"]), gettext("readings owed")),
        (len(state["unfiled"]), gettext("couldn't file")),
        (len(state["unread"]), gettext("from a newer app, kept unread")),
        (int(state["offer"] is not None), gettext("handover offered, not yet taken")),
    ]
    return [f"{n} {words}" for n, words in counted if n]
