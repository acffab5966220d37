"""The batch record as a table to take away."""

import csv
import io
import json
from typing import Any

from shop.screens.office import wording

COLUMNS = [
    "type",
    "what",
    "nth",
    "station",
    "heading",
    "value",
    "unit",
    "target",
    "by",
    "signed",
    "happened",
    "recorded",
    "device_clock",
    "received",
    "known",
    "device",
    "ref",
    "struck_by",
    "replaced_by",
]


def as_csv(report: dict[str, Any]) -> str:
    """Every entry as a line of a table (UTF-8, RFC 4180), times in ms since 1970 UTC."""
    out = io.StringIO(newline="")
    writer = csv.DictWriter(out, COLUMNS, extrasaction="ignore", lineterminator="\r\n")
    writer.writeheader()
    writer.writerows(_safe(row) for row in rows_of(report))
    return out.getvalue()


def rows_of(report: dict[str, Any]) -> list[dict[str, Any]]:
    """Steps, acts and readings as rows, before any apostrophe."""
    steps = [{**step, "type": step["state"], "what": step["step"]} for step in report["steps"]]
    acts = [
        {**act, "type": act["kind"], "what": act["step"], "value": _said(act)}
        for act in report["acts"]
    ]
    readings = [
        {**r, "type": "reading", "value": wording.as_read(r).split(" ")[0]}
        for r in report["readings"]
    ]
    return [*steps, *acts, *readings]


def _said(act: dict[str, Any]) -> str:
    """What an act said, as it was made."""
    return json.dumps(act["body"], ensure_ascii=False) if act["body"] else ""


# What makes a spreadsheet take a text for a formula (OWASP, CSV Injection), and the apostrophe
# itself, so that a table read back is the one that was written.
RISKY = "=+-@\t\r\n＝＋－＠'"


def _safe(row: dict[str, Any]) -> dict[str, Any]:
    """A text that a spreadsheet would take for a formula gets a leading apostrophe."""
    return {
        k: f"'{v}" if isinstance(v, str) and v[:1] in RISKY and v else v for k, v in row.items()
    }


def from_csv(text: str) -> list[dict[str, str]]:
    """The rows of such a table as they were before the apostrophes; all values as text.

    Raises ValueError where it is no table of a record.
    """
    reader = csv.DictReader(io.StringIO(text, newline=""))
    if reader.fieldnames != COLUMNS:
        raise ValueError(f"Its first line is {reader.fieldnames}, not that of a record's table.")
    return [{k: v[1:] if v.startswith("'") else v for k, v in row.items()} for row in reader]
