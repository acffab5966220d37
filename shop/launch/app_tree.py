"""The front end as one tree under one address that names its content.

Every module of the floor is at /static/app/<build>/…, so their relative imports always find the
same build, and a browser may keep them for ever. Nothing is collected, copied or renamed.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import cast

from django.conf import settings
from django.contrib.staticfiles.storage import StaticFilesStorage
from django.http import HttpRequest, HttpResponse
from django.middleware.gzip import GZipMiddleware
from whitenoise.middleware import WhiteNoiseMiddleware

Answer = Callable[[HttpRequest], HttpResponse]

PARTS_OF_THE_BUILD = ("static", "templates/floor")


def build_hash(root: Path) -> str:
    """16 hex digits over the names and bytes of everything the floor is made of."""
    digest = hashlib.sha256()
    for part in PARTS_OF_THE_BUILD:
        for path in files_under(root / part):
            content = path.read_bytes()
            name = path.relative_to(root).as_posix()
            digest.update(f"{name}\0{len(content)}\0".encode() + content)
    return digest.hexdigest()[:16]


def files_under(folder: Path) -> Iterator[Path]:
    found = (path for path in folder.rglob("*") if path.is_file())
    return iter(sorted(found, key=lambda path: path.as_posix()))


def app_tree_middleware(get_response: Answer) -> Answer:
    """WhiteNoise for the packages' own files, with the module tree added under its build.

    WHITENOISE_IMMUTABLE_FILE_TEST says that only the tree may be kept for ever.
    """
    files = WhiteNoiseMiddleware(get_response)
    if settings.STATIC_DIR.is_dir():
        files.add_files(settings.STATIC_DIR, prefix=settings.APP_TREE_URL)
    # Nothing in the tree is secret, so compressing it gives nothing away.
    packed = GZipMiddleware(files)

    def answer(request: HttpRequest) -> HttpResponse:
        own = request.path_info.startswith(settings.APP_TREE_URL)
        return cast(HttpResponse, (packed if own else files)(request))

    return answer


class AppTreeStorage(StaticFilesStorage):
    """What `{% static %}` answers: our own files in the tree, packages' files beside it."""

    def url(self, name: str | None) -> str:
        if name and (settings.STATIC_DIR / name).is_file():
            return f"{settings.APP_TREE_URL}{name}"
        return str(super().url(name))
