"""The batch record as a page."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from shop.record.report import SIGNED
from shop.screens.office import wording
from shop.screens.office.record_balance import BalancePage, balance_page
from shop.screens.office.record_people import (
    HandoverLine,
    beside,
    handover,
    interruption,
    names_of,
)
from shop.screens.office.record_summary import SummaryPage, summary_page
from shop.screens.office.record_temperature import TemperaturePage, temperature_page
from shop.screens.office.record_timeline import TimelinePage, timeline_page
from shop.screens.office.sheet_words import told
from shop.sentences import Sentence, listed
from shop.store.files import NAME


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the record: a step or a reading, with who and when."""

    what: str
    detail: str
    actual: str
    target: str
    by: str
    signed: str
    happened: str
    recorded: str
    late: str
    received: str
    gone: str
    files: tuple["FileLine", ...] = ()


@dataclass(frozen=True, slots=True)
class Section:
    """A heading of the record and its lines, in the order they happened."""

    heading: str
    rows: list[Row]


@dataclass(frozen=True, slots=True)
class Off:
    """Something that went off, and what was changed because of it."""

    what: str
    seen: str
    at: str
    by: str
    changed: str


@dataclass(frozen=True, slots=True)
class FileLine:
    """A photo or a spoken note, under the hash of its bytes."""

    sha256: str
    is_photo: bool
    words: str
    taken_at: tuple[str, int | None]

    @property
    def is_named(self) -> bool:
        """Whether its name is one a file can have; a phone may say any."""
        return NAME.fullmatch(self.sha256) is not None


@dataclass(frozen=True, slots=True)
class RecordPage:
    """Everything the record page prints; every text is ready to read."""

    batch: str
    letter: str
    pattern: str
    title: str
    lot: str
    shop: str
    day: str
    phase: str
    lead: str
    position: int
    sections: list[Section]
    off: list[Off]
    summary: SummaryPage
    temperature: TemperaturePage
    timeline: TimelinePage
    balance: BalancePage
    owed: list[str]
    notes: list[tuple[str, str, str]]
    files: list[FileLine]
    handovers: list[HandoverLine]
    beside: list[str]
    interrupted: list[tuple[str, str, str]]
    unfiled: list[tuple[str, str]]
    unread: int
    conflicts: list[str]
    aside: list[tuple[str, int, str]]


def record_page(
    report: dict[str, Any], *, zone: ZoneInfo, position: int, aside: list[tuple[str, int, str]]
) -> RecordPage:
    """The page of a batch from its record; `position` is the newest event it knows."""
    names = names_of(report)
    return RecordPage(
        batch=report["batch"],
        **_badge(report),
        title=report["title"],
        lot=report["lot"],
        shop=report["shop"]["name"],
        day=wording.named_day(report["day"]),
        phase=wording.phase_word(report["phase"]),
        lead=report["lead"],
        position=position,
        sections=_sections(report, zone),
        off=[_off(entry, zone) for entry in report["deviations"]],
        summary=summary_page(report, zone),
        temperature=temperature_page(report, zone),
        timeline=timeline_page(report, zone),
        balance=balance_page(report),
        owed=[_owed(o, report["kept"]["sheet"]) for o in report["owed"]],
        notes=[
            (n["text"], names.get(n["by"], n["by"]), wording.clock(n["at"], zone))
            for n in report["notes"]
        ],
        files=[_file(f, report, zone) for f in report["files"]],
        handovers=[handover(h, names, zone) for h in report["handovers"]],
        beside=[beside(b, report, zone) for b in report["beside"]],
        interrupted=[interruption(i, zone) for i in report["interrupted"]],
        unfiled=[(u["ref"], Sentence(u["reason"])) for u in report["unfiled"]],
        unread=len(report["unread"]),
        conflicts=[f"{c['kind'].replace('_', ' ')}: {c['what']}" for c in report["conflicts"]],
        aside=aside,
    )


def _owed(o: dict[str, Any], sheet: dict[str, Any]) -> str:
    label = told(sheet, o["label"])
    return f"{label} ({told(sheet, o['say'])})" if o["say"] else label


def _badge(report: dict[str, Any]) -> dict[str, str]:
    """The boil's letter and pattern."""
    boil = report["kept"]["sheet"]["boil"]
    return {"letter": boil["letter"], "pattern": boil["pattern"]}


def _file(f: dict[str, Any], report: dict[str, Any], zone: ZoneInfo) -> FileLine:
    names, sheet = names_of(report), report["kept"]["sheet"]
    kind = Sentence("Photo") if f["kind"] == "photo" else Sentence("Spoken note")
    what = Sentence(f["what"]) if f["what"] else kind
    of = f"{_numbered(sheet, f['say'], f['nth'])}: " if f["say"] else ""
    who, at = names.get(f["by"], f["by"]), wording.clock(f["at"], zone)
    words = Sentence("{of}{what}, {who}, {at}", of=of, what=what, who=who, at=at)
    return FileLine(f["sha256"], f["kind"] == "photo", words, (f["step"], f["nth"]))


# Nothing more need be said of who these were.
SURE = (SIGNED["shop"], SIGNED["desk"])


def _sections(report: dict[str, Any], zone: ZoneInfo) -> list[Section]:
    """Steps and readings under the nine headings, each in the order it happened."""
    sheet = report["kept"]["sheet"]
    files = [_file(f, report, zone) for f in report["files"]]
    lines = [
        (s["heading"], s["happened"], _step_row(s, files, sheet, zone)) for s in report["steps"]
    ]
    lines += [
        (r["heading"], r["happened"], _reading_row(r, sheet, zone)) for r in report["readings"]
    ]
    lines += [(REST, act["happened"], _act_row(act, zone)) for act in report["acts"]]
    found = [
        Section(
            Sentence(heading),
            [row for h, _, row in sorted(lines, key=lambda x: x[1]) if h == heading],
        )
        for heading in (*report["headings"], REST)
    ]
    return [section for section in found if section.rows]


def _dated(line: dict[str, Any], zone: ZoneInfo) -> dict[str, Any]:
    about = f" ± {line['within'] // 60_000} min" if line["within"] >= 60_000 else ""
    return {
        "by": line["by"],
        "signed": "" if line["signed"] in SURE else Sentence(line["signed"]),
        "happened": wording.moment(line["happened"], zone) + about,
        "recorded": wording.moment(line["recorded"], zone),
        "late": wording.minutes_between(line["happened"], line["recorded"]),
        "received": wording.moment(line["received"], zone),
        "gone": _gone(line),
    }


def _gone(line: dict[str, Any]) -> str:
    if line["struck_by"]:
        return Sentence("struck through")
    return Sentence("corrected") if line["replaced_by"] else ""


def _numbered(sheet: dict[str, Any], text: str, nth: int | None) -> str:
    """A text of the sheet, and which of several it is."""
    said = told(sheet, text)
    return f"{said} ({nth})" if nth else said


def _step_row(
    step: dict[str, Any], files: list[FileLine], sheet: dict[str, Any], zone: ZoneInfo
) -> Row:
    passed = Sentence("done")
    if step["state"] == "passed":
        passed = Sentence("passed: {reason}", reason=Sentence(step["reason"]))
    what = _numbered(sheet, step["say"], step["nth"])
    own = tuple(f for f in files if f.is_named and f.taken_at == (step["step"], step["nth"]))
    dated = _dated(step, zone)
    return Row(what=what, detail=step["station"], actual=passed, target="", files=own, **dated)


def _reading_row(reading: dict[str, Any], sheet: dict[str, Any], zone: ZoneInfo) -> Row:
    return Row(
        what=_numbered(sheet, reading["label"], reading["nth"]),
        detail=listed([Sentence(reading["how"]), Sentence(reading["instrument"])]),
        actual=wording.as_read(reading),
        target=wording.target_and_band(reading),
        **_dated(reading, zone),
    )


# Whatever is neither a step nor a reading: counted, offered, struck, said.
REST = Sentence("everything else")


def _act_row(act: dict[str, Any], zone: ZoneInfo) -> Row:
    said = "; ".join(f"{key}: {_said(value)}" for key, value in act["body"].items())
    place = " ".join(text for text in (act["station"], act["step"]) if text)
    what = Sentence(act["kind"].replace("_", " "))
    return Row(what=what, detail=place, actual=said, target="", **_dated(act, zone))


def _said(value: Any) -> str:
    return ", ".join(map(str, value)) if isinstance(value, list) else str(value)


def _off(entry: dict[str, Any], zone: ZoneInfo) -> Off:
    changed = Sentence(entry["mended"]["text"]) if entry["mended"] else ""
    return Off(
        what=Sentence(entry["say"]),
        seen=wording.band_of(entry),
        at=wording.clock(entry["at"], zone),
        by=entry["by"],
        changed=changed,
    )
