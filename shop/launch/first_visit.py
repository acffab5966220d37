"""The plain-HTTP page where a phone fetches the authority before it can trust the shop.

A plain page can be forged by anyone on the network, so it shows the fingerprint and asks people
to compare it with the terminal; it sets no cookie and takes no input.
"""

from __future__ import annotations

import plistlib
import threading
import uuid
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path

from cryptography.x509.oid import NameOID
from django.template import Context, Engine

from shop.launch.authority import Authority
from shop.launch.errors import PortTakenError

TEMPLATES = Path(__file__).resolve().parents[2] / "templates" / "launch"
HEADERS = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": "default-src 'none'; style-src 'self'; frame-ancestors 'none'",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}


@dataclass(frozen=True)
class Page:
    kind: str
    body: bytes


@dataclass(frozen=True)
class FirstVisit:
    """What the template says; `floor` is the link by name that a trusting phone opens."""

    owner: str
    name: str
    floor: str
    example_address: str
    fingerprint: tuple[str, ...]


def pages(authority: Authority, name: str, floor: str, address: str) -> dict[str, Page]:
    """Everything this server answers, by path."""
    visit = FirstVisit(owner_of(authority), name, floor, address, rows(authority.fingerprint))
    profile = Page("application/x-apple-aspen-config", mobile_profile(authority))
    return {
        "/": Page("text/html; charset=utf-8", render(visit)),
        "/first-visit.css": Page("text/css", (TEMPLATES / "first_visit.css").read_bytes()),
        "/kettleside.crt": Page("application/x-x509-ca-cert", authority.der),
        "/kettleside.mobileconfig": profile,
    }


def render(visit: FirstVisit) -> bytes:
    template = Engine(dirs=[str(TEMPLATES)]).get_template("first_visit.html")
    return template.render(Context(vars(visit))).encode()


def rows(fingerprint: str) -> tuple[str, ...]:
    """Eight pairs a row: what an eye can compare."""
    pairs = fingerprint.split(":")
    return tuple(" ".join(pairs[start : start + 8]) for start in range(0, len(pairs), 8))


def owner_of(authority: Authority) -> str:
    return str(authority.root.subject.get_attributes_for_oid(NameOID.COMMON_NAME)[0].value)


def mobile_profile(authority: Authority) -> bytes:
    """An unsigned profile with the root in it (Apple, 'CertificateRoot' payload).

    The ids come from the root itself, so that installing twice replaces and does not pile up.
    """
    own = uuid.uuid5(uuid.NAMESPACE_OID, authority.fingerprint)
    payload = {
        "PayloadType": "com.apple.security.root",
        "PayloadIdentifier": f"kettleside.root.{own}",
        "PayloadUUID": str(own),
        "PayloadVersion": 1,
        "PayloadDisplayName": owner_of(authority),
        "PayloadCertificateFileName": "kettleside.crt",
        "PayloadContent": authority.der,
    }
    return plistlib.dumps(
        {
            "PayloadType": "Configuration",
            "PayloadIdentifier": f"kettleside.{own}",
            "PayloadUUID": str(uuid.uuid5(own, "profile")),
            "PayloadVersion": 1,
            "PayloadDisplayName": owner_of(authority),
            "PayloadDescription": "Lets this phone trust the workshop's own computer.",
            "PayloadContent": [payload],
        }
    )


@contextmanager
def first_visit_server(address: str, port: int, answers: Mapping[str, Page]) -> Iterator[int]:
    """Serve the pages while the block runs; yields the port."""
    try:
        server = ThreadingHTTPServer((address, port), handler_of(answers))
    except OSError as error:
        reason = error.strerror or str(error)
        raise PortTakenError(port, reason, "--first-visit-port") from error
    server.daemon_threads = True
    thread = threading.Thread(target=server.serve_forever, name="first-visit", daemon=True)
    thread.start()
    try:
        yield server.server_address[1]
    finally:
        server.shutdown()
        server.server_close()


def handler_of(answers: Mapping[str, Page]) -> type[BaseHTTPRequestHandler]:
    class Handler(BaseHTTPRequestHandler):
        # A phone that opens a connection and says nothing must not hold a thread for ever.
        timeout = 20

        def do_GET(self) -> None:
            page = answers.get(self.path.partition("?")[0])
            if page is None:
                return self.send_error(HTTPStatus.NOT_FOUND)
            self.send_response(HTTPStatus.OK)
            for name, value in HEADERS.items():
                self.send_header(name, value)
            self.send_header("Content-Type", page.kind)
            self.send_header("Content-Length", str(len(page.body)))
            self.end_headers()
            self.wfile.write(page.body)
            return None

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing: every phone that comes by would write to the terminal."""

    return Handler
