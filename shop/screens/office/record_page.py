"""The batch record as a page."""

from dataclasses import dataclass
from typing import Any
from zoneinfo import ZoneInfo

from shop.record.report import NOBODY, SIGNED
from shop.screens.office import wording


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


@dataclass(frozen=True, slots=True)
class HandoverLine:
    """A handover: both names, both walks, what was asked."""

    kind: str
    gave: str
    took: str
    walked: str
    asked: str
    right: str


@dataclass(frozen=True, slots=True)
class RecordPage:
    """Everything the record page prints; every text is ready to read."""

    batch: str
    title: str
    lot: str
    shop: str
    day: str
    phase: str
    lead: str
    position: int
    sections: list[Section]
    off: list[Off]
    balance: list[tuple[str, str, str]]
    unaccounted: str
    missing: str
    yield_share: str
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
    names = _names(report)
    return RecordPage(
        batch=report["batch"],
        title=report["title"],
        lot=report["lot"],
        shop=report["shop"]["name"],
        day=wording.named_day(report["day"]),
        phase=wording.PHASES[report["phase"]],
        lead=report["lead"],
        position=position,
        sections=_sections(report, zone),
        off=[_off(entry, zone) for entry in report["deviations"]],
        balance=[
            (line["label"], "in" if line["sign"] > 0 else "out", wording.kilos(line["mg"]))
            for line in report["mass_balance"]["lines"]
        ],
        unaccounted=wording.kilos(report["mass_balance"]["unaccounted"]),
        missing=", ".join(report["mass_balance"]["missing"]),
        yield_share=wording.percent(report["yield"]),
        owed=[f"{o['label']} ({o['say']})" if o["say"] else o["label"] for o in report["owed"]],
        notes=[
            (n["text"], names.get(n["by"], n["by"]), wording.clock(n["at"], zone))
            for n in report["notes"]
        ],
        files=[_file(f, names, zone) for f in report["files"]],
        handovers=[_handover(h, names, zone) for h in report["handovers"]],
        beside=[_beside(b, report, zone) for b in report["beside"]],
        interrupted=[_interruption(i, zone) for i in report["interrupted"]],
        unfiled=[(u["ref"], u["reason"]) for u in report["unfiled"]],
        unread=len(report["unread"]),
        conflicts=[f"{c['kind'].replace('_', ' ')}: {c['what']}" for c in report["conflicts"]],
        aside=aside,
    )


def _file(f: dict[str, Any], names: dict[str, str], zone: ZoneInfo) -> FileLine:
    what = f["what"] or ("Photo" if f["kind"] == "photo" else "Spoken note")
    words = f"{what}, {names.get(f['by'], f['by'])}, {wording.clock(f['at'], zone)}"
    return FileLine(f["sha256"], f["kind"] == "photo", words)


# What the phone asks whoever takes over.
SPOTS = 8
# Nothing more need be said of who these were.
SURE = (SIGNED["shop"], SIGNED["desk"])


def _names(report: dict[str, Any]) -> dict[str, str]:
    return {person["id"]: person["name"] for person in report["people"]}


def _sections(report: dict[str, Any], zone: ZoneInfo) -> list[Section]:
    """Steps and readings under the nine headings, each in the order it happened."""
    lines = [(s["heading"], s["happened"], _step_row(s, zone)) for s in report["steps"]]
    lines += [(r["heading"], r["happened"], _reading_row(r, zone)) for r in report["readings"]]
    found = [
        Section(heading, [row for h, _, row in sorted(lines, key=lambda x: x[1]) if h == heading])
        for heading in report["headings"]
    ]
    return [section for section in found if section.rows]


def _dated(line: dict[str, Any], zone: ZoneInfo) -> dict[str, str]:
    about = f" ± {line['within'] // 60_000} min" if line["within"] >= 60_000 else ""
    return {
        "by": line["by"],
        "signed": "" if line["signed"] in SURE else line["signed"],
        "happened": wording.moment(line["happened"], zone) + about,
        "recorded": wording.moment(line["recorded"], zone),
        "late": wording.minutes_between(line["happened"], line["recorded"]),
        "received": wording.moment(line["received"], zone),
        "gone": _gone(line),
    }


def _gone(line: dict[str, Any]) -> str:
    if line["struck_by"]:
        return "struck through"
    return "corrected" if line["replaced_by"] else ""


def _numbered(text: str, nth: int | None) -> str:
    return f"{text} ({nth})" if nth else text


def _step_row(step: dict[str, Any], zone: ZoneInfo) -> Row:
    passed = f"passed: {step['reason']}" if step["state"] == "passed" else "done"
    what = _numbered(step["say"], step["nth"])
    return Row(what=what, detail=step["station"], actual=passed, target="", **_dated(step, zone))


def _reading_row(reading: dict[str, Any], zone: ZoneInfo) -> Row:
    return Row(
        what=_numbered(reading["label"], reading["nth"]),
        detail=f"{reading['how']}, {reading['instrument']}",
        actual=wording.as_read(reading),
        target=wording.target_and_band(reading),
        **_dated(reading, zone),
    )


def _off(entry: dict[str, Any], zone: ZoneInfo) -> Off:
    changed = entry["mended"]["text"] if entry["mended"] else ""
    return Off(
        what=entry["say"],
        seen=wording.band_of(entry),
        at=wording.clock(entry["at"], zone),
        by=entry["by"],
        changed=changed,
    )


def _handover(entry: dict[str, Any], names: dict[str, str], zone: ZoneInfo) -> HandoverLine:
    gave, took = (names.get(entry[k], entry[k]) or NOBODY for k in ("from", "to"))
    walks = [_walk(w["places"], w["by"], w["at"], names, zone) for w in entry["walks"]]
    if entry["walked"]:
        walks.append(_walk(entry["walked"], entry["to"], entry["taken"], names, zone))
    return HandoverLine(
        kind="Glance card" if entry["glance"] else "Full card",
        gave=f"{gave}, {wording.clock(entry['offered'], zone)}",
        took=f"{took}, {wording.clock(entry['taken'], zone)}",
        walked="; ".join(walks) or "nothing walked",
        asked=entry["questions"],
        right=f"{entry['right']} of {SPOTS} spot questions right" if entry["right"] else "",
    )


def _walk(places: list[str], by: str, at: int, names: dict[str, str], zone: ZoneInfo) -> str:
    return f"{names.get(by, by) or NOBODY} walked {', '.join(places)} {wording.clock(at, zone)}"


def _beside(entry: dict[str, Any], report: dict[str, Any], zone: ZoneInfo) -> str:
    """`Odo pulled with Maren beside`, in the words of the sheet's skills where it has them."""
    names = _names(report)
    skill = report["skills"].get(entry["skill"], entry["skill"])
    who, by = (names.get(entry[k], entry[k]) or NOBODY for k in ("who", "by"))
    return f"{skill}: {by}, with {who} beside, {wording.clock(entry['at'], zone)}"


def _interruption(entry: dict[str, Any], zone: ZoneInfo) -> tuple[str, str, str]:
    """Only that and when: details about people are not kept here."""
    ended = entry["ended"]
    how = f"{ended['how']}, {wording.clock(ended['at'], zone)}" if ended else "not ended"
    return ("interrupted", wording.clock(entry["at"], zone), how)
