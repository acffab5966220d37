"""The floor page over HTTP, for presses and starts that do the least a page can do."""

import functools
import http.server
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

PAGE = Path(__file__).parent / "floor_page"


class Quiet(http.server.SimpleHTTPRequestHandler):
    """Files of the floor page, without a word."""

    protocol_version = "HTTP/1.1"

    def log_message(self, *args: object) -> None:
        """The bench prints its own figures."""


@contextmanager
def floor_server() -> Iterator[str]:
    """Base address of the floor page."""
    handler = functools.partial(Quiet, directory=str(PAGE))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    try:
        yield f"http://localhost:{server.server_address[1]}/"
    finally:
        server.shutdown()
        server.server_close()
