"""The plain-HTTP page where a phone fetches the authority before it can trust the shop.

A plain page can be forged by anyone on the network, so it shows the fingerprint and asks people
to compare it with the shop's own screen; it sets no cookie and takes no input. Its last part tries
whether the phone finds the name, whether the server answers and whether its certificate is trusted.
"""

from __future__ import annotations

import json
import plistlib
import threading
import uuid
from collections.abc import Callable, Iterator, Mapping
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
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
    # The page may have been opened by number, and asks under the name.
    "Access-Control-Allow-Origin": "*",
}
POLICY = (
    "default-src 'none'; style-src 'self'; script-src 'self'; frame-ancestors 'none'; "
    "connect-src {base} {plain}"
)


@dataclass(frozen=True)
class Page:
    """A body that stands, or one that is made for each asker."""

    kind: str
    body: bytes | Callable[[], bytes]
    policy: str = "default-src 'none'"


@dataclass(frozen=True)
class Place:
    """Where phones find the shop: `base` by name over HTTPS, this page's port, one bare number."""

    name: str
    base: str
    port: int
    number: str

    @property
    def plain(self) -> str:
        return f"http://{self.name}:{self.port}"


@dataclass(frozen=True)
class FirstVisit:
    """What the template says; `floor` is the link by name that a trusting phone opens."""

    owner: str
    name: str
    base: str
    plain: str
    floor: str
    example_address: str
    fingerprint: tuple[str, ...]


def pages(
    authority: Authority, place: Place, alive: Callable[[], bool] = lambda: True
) -> dict[str, Page]:
    """Everything this server answers, by path; `alive` says whether the HTTPS server answers."""
    visit = FirstVisit(
        owner=owner_of(authority),
        name=place.name,
        base=place.base,
        plain=place.plain,
        floor=f"{place.base}/floor/",
        example_address=place.number,
        fingerprint=rows(authority.fingerprint),
    )
    policy = POLICY.format(base=place.base, plain=place.plain)
    return {
        "/": Page("text/html; charset=utf-8", render(visit), policy),
        "/first-visit.css": file("text/css", "first_visit.css"),
        "/first-visit.js": file("text/javascript", "first_visit.js"),
        "/alive": Page("application/json", lambda: json.dumps({"server": alive()}).encode()),
        "/kettleside.crt": Page("application/x-x509-ca-cert", authority.der),
        "/kettleside.mobileconfig": Page(
            "application/x-apple-aspen-config", mobile_profile(authority)
        ),
    }


def file(kind: str, name: str) -> Page:
    return Page(f"{kind}; charset=utf-8", (TEMPLATES / name).read_bytes())


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
            body = page.body if isinstance(page.body, bytes) else page.body()
            self.send_response(HTTPStatus.OK)
            for name, value in HEADERS.items():
                self.send_header(name, value)
            self.send_header("Content-Security-Policy", page.policy)
            self.send_header("Content-Type", page.kind)
            self.send_header("Content-Length", str(len(body)))
            self.end_headers()
            self.wfile.write(body)
            return None

        def log_message(self, format: str, *args: object) -> None:
            """Say nothing: every phone that comes by would write to the terminal."""

    return Handler
