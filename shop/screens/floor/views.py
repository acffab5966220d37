"""The floor's few addresses; none of them knows who asks."""

from collections.abc import Callable

from django.conf import settings
from django.http import HttpRequest, HttpResponse
from django.views.decorators.gzip import gzip_page
from django.views.decorators.http import require_GET

from shop.screens.floor import app

YEAR = 31_536_000


# Nothing secret is in the shell, so compressing it gives nothing away.
@gzip_page
@require_GET
def shell(request: HttpRequest, path: str = "") -> HttpResponse:
    """The shell, for every page of the floor."""
    answer = HttpResponse(app.shell())
    answer["Cache-Control"] = "no-cache"
    return answer


@gzip_page
@require_GET
def worker(request: HttpRequest) -> HttpResponse:
    """The worker; never kept by a cache, so that a new build is found."""
    answer = HttpResponse(app.worker(), content_type="text/javascript; charset=utf-8")
    answer["Cache-Control"] = "no-cache"
    return answer


@require_GET
def manifest(request: HttpRequest) -> HttpResponse:
    """What a phone puts on its home screen."""
    return HttpResponse(app.manifest(), content_type="application/manifest+json")


@require_GET
def pack(request: HttpRequest, build: str) -> HttpResponse:
    """What a first visit needs, in one answer; only ever of the build that runs."""
    return _files(request, build, app.pack)


@require_GET
def rest(request: HttpRequest, build: str) -> HttpResponse:
    """All the rest of the app."""
    return _files(request, build, app.rest)


def _files(request: HttpRequest, build: str, files: Callable[[str], bytes]) -> HttpResponse:
    if build != settings.BUILD:
        return HttpResponse(f"This server runs build {settings.BUILD}, not {build}.", status=404)
    coding = "br" if "br" in request.headers.get("Accept-Encoding", "") else ""
    answer = HttpResponse(files(coding), content_type="application/json")
    answer["Cache-Control"] = f"public, max-age={YEAR}, immutable"
    answer["Vary"] = "Accept-Encoding"
    answer["X-Build"] = settings.BUILD
    if coding:
        answer["Content-Encoding"] = coding
    return answer
