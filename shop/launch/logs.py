"""What the program tells of itself: words at a terminal, one JSON object a line for a service.

KETTLESIDE_LOG=json, which the installed service sets, chooses the lines. Each has `say`, a sentence
that somebody who is no administrator can act on, and the id of the request it belongs to, which the
page that broke shows too. What people typed never gets into a line: an error is named by its kind
and by where in the program it happened, not by its words, which may hold a name, a PIN or a note.
"""

from __future__ import annotations

import json
import logging
import os
import re
import sys
import traceback
from contextvars import ContextVar
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from shop.launch.faults import fault_of

# The request that is answered now: its id and the name of its address.
request_id: ContextVar[str] = ContextVar("request_id", default="")
address: ContextVar[str] = ContextVar("address", default="")

ROOT = Path(__file__).resolve().parents[2]
MOST_FRAMES = 12
# What opens something, wherever it would slip in.
SECRETS = re.compile(
    r"(?i)(bearer\s+)[\w.~+/=-]+|(/proof/)[^\s'\"]+|(#add=)\d+|(sessionid=|csrftoken=)[\w-]+"
    r"|(postgres(?:ql)?://[^:@/\s]*:)[^@\s]*(?=@)"
)


def as_lines() -> bool:
    """Whether a service manager reads, not a person."""
    return os.environ.get("KETTLESIDE_LOG") == "json"


def tell(words: str, **more: Any) -> None:
    """Say something to whoever runs the program, on standard error."""
    if as_lines():
        if words.strip():
            logging.getLogger("kettleside").info(words.strip(), extra={"more": more})
        return
    print(words, file=sys.stderr, flush=True)


class Lines(logging.Formatter):
    """One JSON object: time, level, say; where it belongs, request, address, fault."""

    def format(self, record: logging.LogRecord) -> str:
        line = {
            "time": datetime.fromtimestamp(record.created, UTC).isoformat(timespec="milliseconds"),
            "level": record.levelname.lower(),
            "say": sentence_of(record),
            "from": record.name,
            "request": request_id.get(),
            "address": address.get(),
            **getattr(record, "more", {}),
            **_fault(record),
        }
        kept = {name: value for name, value in line.items() if value not in ("", None)}
        return json.dumps(kept, ensure_ascii=False)


class Words(logging.Formatter):
    """For a terminal: the sentence, and below it where in the program something broke."""

    def format(self, record: logging.LogRecord) -> str:
        at = _fault(record)
        place = f"\n  request {request_id.get()} {address.get()}" if at and request_id.get() else ""
        fault = "".join(f"\n  {where}" for where in at.get("at", []))
        kind = f" ({at['error']})" if at else ""
        return f"{sentence_of(record)}{kind}{place}{fault}"


def sentence_of(record: logging.LogRecord) -> str:
    """What is said: of an error what it means, never its own words."""
    if record.exc_info and record.exc_info[1]:
        return fault_of(record.exc_info[1]).say
    if hasattr(record, "request"):
        # Django's own words hold the address that was asked, which may open a proof.
        return f"A page was answered with {getattr(record, 'status_code', 'an error')}."
    return scrubbed(record.getMessage())


def scrubbed(words: str) -> str:
    """Without what would open something."""
    return SECRETS.sub(lambda found: next(filter(None, found.groups()), "") + "…", words)


def _fault(record: logging.LogRecord) -> dict[str, Any]:
    if not record.exc_info or record.exc_info[1] is None:
        return {}
    error = record.exc_info[1]
    frames = traceback.extract_tb(error.__traceback__)[-MOST_FRAMES:]
    at = [f"{_inside(frame.filename)}:{frame.lineno} {frame.name}" for frame in frames]
    kind = type(error)
    return {"fault": fault_of(error).code, "error": f"{kind.__module__}.{kind.__name__}", "at": at}


def _inside(name: str) -> str:
    path = Path(name)
    return path.relative_to(ROOT).as_posix() if path.is_relative_to(ROOT) else path.name


def logging_settings() -> dict[str, Any]:
    """Django's LOGGING; the server's own loggers read the same formatters."""
    how = f"{__name__}.{'Lines' if as_lines() else 'Words'}"
    return {
        "version": 1,
        "disable_existing_loggers": False,
        "formatters": {"ours": {"()": how}},
        "handlers": {"console": {"class": "logging.StreamHandler", "formatter": "ours"}},
        "root": {"handlers": ["console"], "level": "WARNING"},
        "loggers": {
            "kettleside": {"level": "INFO"},
            "django": {"handlers": [], "level": "INFO", "propagate": True},
            # A wrong address or a refused form is the asker's affair and no news to the shop.
            "django.request": {"level": "ERROR"},
        },
    }
