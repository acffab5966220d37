"""A phone that asks by a bare number is sent to the name.

What it would record is kept under that number, which the router may give to another machine.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from ipaddress import ip_address
from typing import TypeAlias

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.http.response import HttpResponseBase
from django.template.loader import render_to_string

View: TypeAlias = Callable[[HttpRequest], HttpResponseBase]

MISDIRECTED = 421


def by_name(answer: View) -> View:
    """Middleware: refuses a number that is not this computer's own loop (RFC 9110, 15.5.20)."""

    def handle(request: HttpRequest) -> HttpResponseBase:
        if settings.HOME and is_number(request.META.get("HTTP_HOST", "")):
            return refuse(request)
        return answer(request)

    return handle


def is_number(host: str) -> bool:
    """`192.0.2.7`, `192.0.2.7:8443`, `[2001:db8::1]:8443`; not `127.0.0.1`."""
    bare = host[1:].partition("]")[0] if host.startswith("[") else host.partition(":")[0]
    try:
        return not ip_address(bare).is_loopback
    except ValueError:
        return False


def refuse(request: HttpRequest) -> HttpResponse:
    say = (
        f"Open the shop by its name: {settings.HOME}/floor/. A number can pass to another machine, "
        "and what a phone holds is kept under the address it was made at."
    )
    if request.path.startswith("/sync/"):
        body = json.dumps({"error": "by-number", "say": say})
        return HttpResponse(body, "application/json", status=MISDIRECTED)
    page = render_to_string("launch/by_number.html", {"home": settings.HOME, "say": say})
    return HttpResponse(page, status=MISDIRECTED)
