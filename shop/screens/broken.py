"""The page of a fault: what it means, what to do, and the id under which the log has it."""

import sys

from django.http import HttpRequest, HttpResponse
from django.utils.html import format_html

from shop.launch.faults import NO_ROOM, NOT_WRITABLE, fault_of
from shop.launch.logs import request_id

BROKEN, NO_STORAGE = 500, 507
NOWHERE = (
    '<!doctype html><html lang="en-GB"><meta charset="utf-8"><title>Not found</title>'
    "<h1>Not found</h1><p>There is no such page. Go back, and take another way.</p>"
)


def nowhere(request: HttpRequest, exception: Exception) -> HttpResponse:
    """Where there is no page. Django's own reads what a form sent, and breaks at one too large."""
    return HttpResponse(NOWHERE, status=404)


def broken(request: HttpRequest) -> HttpResponse:
    """Django's handler of what no view caught; it asks nothing of the database."""
    fault = fault_of(sys.exc_info()[1])
    page = format_html(
        '<!doctype html><html lang="en-GB"><meta charset="utf-8">'
        '<meta name="viewport" content="width=device-width"><title>It broke</title>'
        "<h1>It broke</h1><p>{}</p><p>The floor works on without this page.</p>"
        '<p>Under this sign the log tells more: <code>{}</code></p><p><a href="">Try again</a></p>',
        fault.say,
        request_id.get(),
    )
    return HttpResponse(page, status=NO_STORAGE if fault in (NO_ROOM, NOT_WRITABLE) else BROKEN)
