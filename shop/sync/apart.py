"""The wire apart from what pages need: for /sync/ no session, cookie or sign-in is even looked at.

A phone asks every second; what a page needs costs more than the answer.
"""

from collections.abc import Callable
from typing import cast

from django.core.exceptions import DisallowedHost
from django.http import HttpRequest, HttpResponse
from django.urls import resolve

from shop.sync.answers import refuse
from shop.sync.errors import WireError

Answer = Callable[[HttpRequest], HttpResponse]

WIRE = "/sync/"
WRONG_HOST = "This server is not reached by that name. Use the address the shop's page shows."


def wire_apart(get_response: Answer) -> Answer:
    """Calls the wire's views straight from here; they answer every error themselves."""

    def answer(request: HttpRequest) -> HttpResponse:
        if not request.path_info.startswith(WIRE):
            return get_response(request)
        try:
            request.get_host()
        except DisallowedHost:
            return refuse(WireError(400, "wrong-host", WRONG_HOST))
        view, args, kwargs = resolve(request.path_info)
        return cast(HttpResponse, view(request, *args, **kwargs))

    return answer
