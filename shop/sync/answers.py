"""What the wire answers: JSON or JSON lines, packed where the asker can unpack, never HTML."""

import gzip
import json
import logging
from collections.abc import Callable, Iterable
from functools import wraps
from typing import Any, TypeAlias

from django.http import HttpRequest, HttpResponse

from shop.launch.faults import fault_of
from shop.store.errors import StoreError
from shop.sync.errors import WireError, as_wire, of_fault

View: TypeAlias = Callable[..., HttpResponse]

log = logging.getLogger(__name__)

WORTH_PACKING = 300

PACKING = 4


def wire(*methods: str) -> Callable[[View], View]:
    """A view of the wire: these methods only, one shape for every error.

    Cross-site forgery can't happen where no cookie counts (`apart`): only the bearer token does.
    """

    def decorate(view: View) -> View:
        @wraps(view)
        def answer(request: HttpRequest, *args: Any, **kwargs: Any) -> HttpResponse:
            if request.method not in methods:
                return _wrong_method(request, methods)
            try:
                return view(request, *args, **kwargs)
            except WireError as known:
                return refuse(known)
            except StoreError as known:
                return refuse(as_wire(known))
            except Exception as error:
                log.exception("the wire broke")
                return refuse(of_fault(fault_of(error)))

        return answer

    return decorate


def _wrong_method(request: HttpRequest, methods: tuple[str, ...]) -> HttpResponse:
    allowed = " or ".join(methods)
    say = f"{request.method} is not answered here; {allowed} is."
    answer = refuse(WireError(405, "wrong-method", say))
    answer["Allow"] = ", ".join(methods)
    return answer


def refuse(error: WireError) -> HttpResponse:
    """An error, in the one shape every error of the wire has."""
    content = json.dumps({"error": error.code, "say": error.say})
    return _never_stored(HttpResponse(content, "application/json", status=error.status))


def as_json(request: HttpRequest, content: dict[str, Any]) -> HttpResponse:
    """One JSON object."""
    return as_text(request, dense(content), "application/json")


def as_lines(request: HttpRequest, header: dict[str, Any], lines: Iterable[str]) -> HttpResponse:
    """JSON lines: a header, then event lines exactly as stored."""
    return as_text(request, "\n".join([dense(header), *lines, ""]), "application/jsonl")


def as_bytes(content: bytes, media: str) -> HttpResponse:
    """A file's own bytes."""
    return _never_stored(HttpResponse(content, media))


def nothing_new() -> HttpResponse:
    return _never_stored(HttpResponse(status=204))


def dense(content: dict[str, Any]) -> str:
    return json.dumps(content, separators=(",", ":"))


def as_text(request: HttpRequest, text: str, kind: str) -> HttpResponse:
    """A text in UTF-8, packed if it is worth it and the asker said it can unpack."""
    content = text.encode()
    packed = len(content) > WORTH_PACKING and _unpacks(request)
    answer = HttpResponse(gzip.compress(content, PACKING, mtime=0) if packed else content, kind)
    if packed:
        answer["Content-Encoding"] = "gzip"
    answer["Vary"] = "Accept-Encoding"
    return _never_stored(answer)


def _unpacks(request: HttpRequest) -> bool:
    offers = request.headers.get("Accept-Encoding", "").lower().replace(" ", "").split(",")
    return any(offer.split(";")[0] == "gzip" and not offer.endswith(";q=0") for offer in offers)


def _never_stored(answer: HttpResponse) -> HttpResponse:
    answer["Cache-Control"] = "no-store"
    return answer
