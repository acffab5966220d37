"""Each request: an id that an answer carries, its time, its count; told where it broke or lasted.

One line for each request would drown the few that matter: a hundred phones ask every second.
"""

from __future__ import annotations

import logging
import secrets
import time
from collections.abc import Callable
from http import HTTPStatus

from django.http import HttpRequest
from django.http.response import HttpResponseBase
from prometheus_client import CollectorRegistry, Counter, Histogram

from shop.launch.logs import address, request_id

SLOW_S = 2.0
ROOMS = ("sync", "floor", "office", "static", "proof", "health", "metrics")
BUCKETS = (0.005, 0.02, 0.1, 0.5, SLOW_S, 10.0)

log = logging.getLogger("kettleside.asked")
# Of this process alone: each of several has its own.
COUNTED = CollectorRegistry()
ANSWERS = Counter("kettleside_answers", "Requests answered.", ["room", "status"], registry=COUNTED)
SECONDS = Histogram(
    "kettleside_answer_seconds",
    "Time from a request to its answer.",
    ["room"],
    buckets=BUCKETS,
    registry=COUNTED,
)


def asked(
    answer: Callable[[HttpRequest], HttpResponseBase],
) -> Callable[[HttpRequest], HttpResponseBase]:
    """Middleware, outermost."""

    def handle(request: HttpRequest) -> HttpResponseBase:
        key, room, begun = secrets.token_hex(8), room_of(request.path), time.monotonic()
        request_id.set(key)
        address.set(room)
        given = answer(request)
        lasted = time.monotonic() - begun
        ANSWERS.labels(room, f"{given.status_code // 100}xx").inc()
        SECONDS.labels(room).observe(lasted)
        # A poll that finds nothing is most of the traffic, and nobody asks what became of it.
        if given.status_code != HTTPStatus.NO_CONTENT:
            given["X-Request-ID"] = key
        if lasted >= SLOW_S:
            _tell_slow(request, given.status_code, lasted)
        request_id.set("")
        address.set("")
        return given

    return handle


def room_of(path: str) -> str:
    """The room an address belongs to; never the address, which may open something."""
    parts = path.split("/")
    first = parts[3] if parts[1:2] == ["at"] and len(parts) > 3 else parts[1]
    return first if first in ROOMS else "other"


def _tell_slow(request: HttpRequest, status: int, lasted: float) -> None:
    match = request.resolver_match
    log.warning(
        "An answer took %.1f s; every other page and phone waited for it.",
        lasted,
        extra={"more": {"seconds": round(lasted, 1), "status": status, "view": _name(match)}},
    )


def _name(match: object) -> str:
    return str(getattr(match, "view_name", "") or "")
