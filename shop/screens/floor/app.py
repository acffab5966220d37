"""The app as files: what the shell loads, and the two packs that let a worker keep all of it."""

import json
import re
from base64 import b64decode, b64encode
from functools import cache
from hashlib import sha256
from pathlib import Path
from typing import Literal, NotRequired, TypedDict

import brotli
from django.conf import settings
from django.template.loader import render_to_string

MANIFEST = "/floor/manifest.webmanifest"
# Style that no first visit needs.
LATER = tuple(f"css/{name}.css" for name in ("rest", "attend", "wall", "aloud", "guide"))
PARTS = ("js", "css/look.css", "css/floor.css", *LATER, "icons", "guide", "cues", "voice")
# What no first visit needs: read, not worked with.
READ = ("guide", "cues", "voice", *LATER)
# The desk's own modules go to no phone.
OFFICE = {Path(settings.STATIC_DIR) / "js" / name for name in ("office", "preview")}
# 64 bits: enough against a file that was cut or mixed up; nobody is kept out by it.
SUM = 16
IMPORT = re.compile(r"""^(?:import|export) .*from '([^']+)';$""", re.M)
COMMENT = re.compile(r"^[ \t]*(?://[^\n]*|/\*(?:[^*]|\*(?!/))*\*/)[ \t]*\n", re.M)
TYPES = {
    ".js": "text/javascript; charset=utf-8",
    ".css": "text/css; charset=utf-8",
    ".svg": "image/svg+xml; charset=utf-8",
    ".html": "text/html; charset=utf-8",
    ".webp": "image/webp",
    ".mp3": "audio/mpeg",
    ".json": "application/json",
}


class Packed(TypedDict):
    """One file of the pack; `coded` is how its text stands for bytes that are no text."""

    type: str
    text: str
    headers: dict[str, str]
    coded: NotRequired[Literal["base64"]]


@cache
def first_modules() -> list[str]:
    """Addresses of what a start needs before all else: the shelf, which reads the disk."""
    return _reached("js/sync/updates.js", "js/store/shelf.js")


@cache
def modules() -> list[str]:
    """Addresses of what a station needs besides, for the shell to ask for together."""
    return [found for found in _reached("js/screens/floor.js") if found not in first_modules()]


@cache
def shell() -> str:
    """The first visit's shell, the same for everybody: no request, no user, no token."""
    asked = {"first": [], "modules": "", "worker": settings.FLOOR_WORKER}
    return render_to_string("floor/shell.html", asked)


@cache
def kept_shell() -> str:
    """The shell the worker keeps: it also names every module, so that a start asks for all of
    them together. On a first visit that would fetch each one over the network."""
    asked = {"first": first_modules(), "modules": " ".join(modules()), "worker": True}
    return render_to_string("floor/shell.html", asked)


@cache
def worker() -> str:
    """The worker of this build; switched off, one that takes every phone's worker away."""
    name = "sw.js" if settings.FLOOR_WORKER else "sw_off.js"
    return without_comments(render_to_string(f"floor/{name}", {"build": settings.BUILD}))


@cache
def manifest() -> str:
    """Web app manifest (W3C Application Manifest)."""
    icons = [
        {"src": f"{settings.APP_TREE_URL}icons/sweet-{size}.png", "sizes": f"{size}x{size}"}
        for size in (192, 512)
    ]
    return json.dumps(
        {
            "id": "/floor/",
            "start_url": "/floor/",
            "scope": "/floor/",
            "name": "Kettleside",
            "short_name": "Kettleside",
            "display": "standalone",
            "background_color": "#d9d5cc",
            "theme_color": "#d9d5cc",
            "icons": [{**icon, "type": "image/png", "purpose": "any"} for icon in icons],
        }
    )


def _rest() -> set[str]:
    """Addresses of what no first visit needs: brought by a screen that wants it."""
    first = _reached(
        "js/boot.js", "js/store/shelf.js", "js/screens/floor.js", "js/screens/pages.js"
    )
    modules = (_address(path) for path in _files() if path.suffix == ".js")
    read = tuple(f"{settings.APP_TREE_URL}{part}" for part in READ)
    later = {address for path in _files() if (address := _address(path)).startswith(read)}
    return {address for address in modules if address not in first} | later


@cache
def rest(coding: str) -> bytes:
    """What the pack leaves out, in one answer, brotli-coded or plain; and the sums of both."""
    left = _rest()
    files = {address: file for address, file in _texts().items() if address in left}
    sums = {address: _sum(file) for address, file in {**_first(), **files}.items()}
    files[f"/floor/kept-{settings.BUILD}.json"] = _packed(json.dumps(sums).encode(), TYPES[".json"])
    return _coded(files, coding)


@cache
def pack(coding: str) -> bytes:
    """What a phone needs to be added and to stand at a station, in one answer."""
    return _coded(_first(), coding)


def _first() -> dict[str, Packed]:
    left = _rest()
    files = {address: file for address, file in _texts().items() if address not in left}
    files["/floor/"] = {
        "type": "text/html; charset=utf-8",
        "text": kept_shell(),
        "headers": policy(),
    }
    files[MANIFEST] = _packed(manifest().encode(), "application/manifest+json")
    return files


def _sum(file: Packed) -> str:
    """The first figures of its SHA-256, by which a phone knows that its copy is whole."""
    text = file["text"]
    return sha256(b64decode(text) if "coded" in file else text.encode()).hexdigest()[:SUM]


def _texts() -> dict[str, Packed]:
    """Every file of the app by its address, but the icons of a home screen."""
    return {
        _address(path): _packed(path.read_bytes(), TYPES[path.suffix])
        for path in _files()
        if path.suffix in TYPES
    }


def _coded(files: dict[str, Packed], coding: str) -> bytes:
    plain = json.dumps(files, ensure_ascii=False, separators=(",", ":")).encode()
    return brotli.compress(plain) if coding == "br" else plain


def without_comments(text: str) -> str:
    """The text without lines that are nothing but comment: a sixth of what a phone would load.

    Nothing else is touched, so that a line of the app is the line of its source.
    """
    return COMMENT.sub("", text)


def policy() -> dict[str, str]:
    """The shell keeps its content policy when it comes from the cache."""
    directives = settings.CONTENT_SECURITY_POLICY["DIRECTIVES"]
    text = "; ".join(f"{name} {' '.join(values)}" for name, values in directives.items())
    return {"Content-Security-Policy": text}


def _packed(content: bytes, kind: str) -> Packed:
    if kind in {TYPES[".webp"], TYPES[".mp3"]}:
        return {"type": kind, "text": b64encode(content).decode(), "headers": {}, "coded": "base64"}
    return {"type": kind, "text": without_comments(content.decode()), "headers": {}}


def _files() -> list[Path]:
    found: list[Path] = []
    for part in PARTS:
        path = Path(settings.STATIC_DIR) / part
        found += sorted(path.rglob("*")) if path.is_dir() else [path]
    return [path for path in found if path.is_file() and not OFFICE & {*path.parents}]


def _reached(*names: str) -> list[str]:
    """Addresses of these modules and of all that they import, not what they bring later."""
    static = Path(settings.STATIC_DIR)
    found = [static / name for name in names]
    for path in found:
        imports = (path.parent / name for name in IMPORT.findall(path.read_text("utf-8")))
        found += [p for p in dict.fromkeys(p.resolve() for p in imports) if p not in found]
    return [_address(path) for path in found]


def _address(path: Path) -> str:
    return f"{settings.APP_TREE_URL}{path.relative_to(settings.STATIC_DIR).as_posix()}"
