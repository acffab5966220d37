"""A browser that holds the record's modules and nothing else."""

import functools
import http.server
import json
import threading
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, Playwright

from tests.browsers import CHROMIUM, FLAGS

STATIC = Path(__file__).parents[2] / "static"


class Quiet(http.server.SimpleHTTPRequestHandler):
    """The static folder, and an empty page at /."""

    def do_GET(self) -> None:
        if self.path == "/":
            self.send_response(200)
            self.send_header("Content-Type", "text/html")
            self.end_headers()
        else:
            super().do_GET()

    def log_message(self, *args: object) -> None:
        """Tests speak for themselves."""


@pytest.fixture(scope="module")
def page(playwright: Playwright) -> Iterator[Page]:
    handler = functools.partial(Quiet, directory=str(STATIC))
    server = http.server.ThreadingHTTPServer(("127.0.0.1", 0), handler)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    browser = playwright.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
    tab = browser.new_page()
    tab.goto(f"http://127.0.0.1:{server.server_address[1]}/")
    yield tab
    browser.close()
    server.shutdown()
    server.server_close()


def in_browser(page: Page, body: str, argument: Any = None, *more: str) -> Any:
    """Runs `body` with the record's modules in scope, and `more` of them; JSON texts travel
    fastest both ways."""
    names = [
        "blocks",
        "canonical",
        "fold",
        "graph",
        "handover",
        "kinds",
        "may",
        "order",
        "reading",
        "steps",
        "sticking",
        "words",
        *more,
    ]
    loads = ";".join(f"const {n} = await import('/js/record/{n}.js')" for n in names)
    run = f"""async (text) => {{ {loads}; const given = JSON.parse(text);
      return JSON.stringify((() => {{ {body} }})()); }}"""
    return json.loads(page.evaluate(run, json.dumps(argument)))
