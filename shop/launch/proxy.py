"""Behind a proxy every request comes from the proxy: who asked stands in a header it sets."""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeAlias

from django.http import HttpRequest
from django.http.response import HttpResponseBase

View: TypeAlias = Callable[[HttpRequest], HttpResponseBase]


def behind_proxy(answer: View) -> View:
    """Middleware: the last address of X-Forwarded-For, the one our own proxy saw, is who asks.

    Wrong codes are counted by it; those before it are only what the asker claims.
    """

    def handle(request: HttpRequest) -> HttpResponseBase:
        claimed = request.META.get("HTTP_X_FORWARDED_FOR", "")
        if seen := claimed.rpartition(",")[2].strip():
            request.META["REMOTE_ADDR"] = seen
        return answer(request)

    return handle
