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
    out = io.StringIO()
    writer = csv.DictWriter(out, COLUMNS, extrasaction="ignore", lineterminator="\r\n")
    writer.writeheader()
    for step in report["steps"]:
        writer.writerow(_safe({**step, "type": step["state"], "what": step["step"]}))
    for act in report["acts"]:
        writer.writerow(
            _safe({**act, "type": act["kind"], "what": act["step"], "value": _said(act)})
        )
    for reading in report["readings"]:
        value = wording.as_read(reading).split(" ")[0]
        writer.writerow(_safe({**reading, "type": "reading", "value": value}))
    return out.getvalue()


def _said(act: dict[str, Any]) -> str:
    """What an act said, as it was made."""
    return json.dumps(act["body"], ensure_ascii=False) if act["body"] else ""


def _safe(row: dict[str, Any]) -> dict[str, Any]:
    """A text that a spreadsheet would take for a formula gets a leading apostrophe."""
    return {
        k: f"'{v}" if str(v)[:1] in "=+-@\t\r" and isinstance(v, str) else v for k, v in row.items()
    }
