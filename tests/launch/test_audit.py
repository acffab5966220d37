"""What the index knows against a pin; nothing that could not be asked is called clean."""

import json
import threading
from collections.abc import Iterator
from datetime import date
from http.server import BaseHTTPRequestHandler, HTTPServer
from pathlib import Path
from typing import Any

import pytest

from shop.launch import audit
from shop.launch.audit import Accepted, CouldNotAsk, Found
from shop.management.commands import audit as command
from shop.management.commands.audit import asked
from tests.programs import ROOT

BAD = {"id": "PYSEC-0-1", "fixed_in": ["1.1"], "withdrawn": None}
GONE = {"id": "PYSEC-0-2", "fixed_in": [], "withdrawn": "2026-01-01T00:00:00Z"}
PAGES: dict[str, Any] = {
    "/pypi/toffee/1.0/json": {"info": {"version": "1.0"}, "vulnerabilities": [BAD, GONE]},
    "/pypi/fudge/2.0/json": {"info": {"version": "2.0"}, "vulnerabilities": []},
    # Only the newest release has a page, as on a mirror.
    "/pypi/brittle/json": {"info": {"version": "3.0"}, "vulnerabilities": [BAD]},
    "/pypi/odd/1.0/json": {"info": {"version": "1.0"}},
}
TODAY = date(2026, 11, 26)


class Pages(BaseHTTPRequestHandler):
    def do_GET(self) -> None:
        page = PAGES.get(self.path)
        content = json.dumps(page).encode()
        self.send_response(200 if page else 404)
        self.send_header("Last-Modified", "Thu, 26 Nov 2026 06:00:00 GMT")
        self.end_headers()
        self.wfile.write(content)

    def log_message(self, *_: object) -> None:
        """Nothing to say."""


@pytest.fixture(scope="module")
def base() -> Iterator[str]:
    server = HTTPServer(("127.0.0.1", 0), Pages)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    server.server_close()


def test_a_known_vulnerability_is_named_with_what_mends_it(base: str) -> None:
    [found], made = audit.vulnerable(base, "toffee", "1.0")
    assert str(found) == "toffee 1.0: PYSEC-0-1 (fixed in 1.1)"
    assert made is not None
    assert (made.day, made.hour) == (26, 6)
    assert audit.vulnerable(base, "fudge", "2.0")[0] == []


def test_where_only_the_newest_has_a_page_a_pin_of_it_is_told(base: str) -> None:
    assert len(audit.vulnerable(base, "brittle", "3.0")[0]) == 1
    with pytest.raises(CouldNotAsk, match=r"tells only of 3\.0"):
        audit.vulnerable(base, "brittle", "2.9")


@pytest.mark.parametrize("package", ["unknown", "odd"])
def test_what_gives_no_word_is_not_called_clean(base: str, package: str) -> None:
    with pytest.raises(CouldNotAsk, match=package):
        audit.vulnerable(base, package, "1.0")
    found, made, unasked = asked(base, [("toffee", "1.0"), (package, "1.0")])
    assert (len(found), len(made), len(unasked)) == (1, 1, 1)


def test_no_network_is_said(base: str) -> None:
    _, made, unasked = asked("http://127.0.0.1:9", [("toffee", "1.0")])
    assert (made, len(unasked)) == ([], 1)


def test_a_reason_holds_until_its_day() -> None:
    found = [Found("toffee", "1.0", "PYSEC-0-1", ())]
    excuse = [Accepted("PYSEC-0-1", "never called", TODAY)]
    assert audit.unexcused(found, excuse, TODAY) == []
    assert audit.unexcused(found, excuse, date(2026, 11, 27)) == found
    assert audit.unexcused(found, [], TODAY) == found


@pytest.mark.parametrize(
    "row", ['id = "A"\nwhy = ""\nuntil = 2027-01-01', 'id = "A"\nwhy = "x"\nuntil = "later"']
)
def test_an_excuse_needs_a_reason_and_a_day(tmp_path: Path, row: str) -> None:
    path = tmp_path / "accepted.toml"
    path.write_text(f"[[accepted]]\n{row}\n")
    with pytest.raises(ValueError, match="needs a reason and a day"):
        audit.accepted(path)


def test_every_pin_is_read_and_has_a_hash() -> None:
    for name in ("run", "dev"):
        text = (ROOT / ".pins" / f"{name}.txt").read_text("utf-8")
        pins = [line for line in text.splitlines() if line and not line.startswith((" ", "#"))]
        assert len({p.split("==")[0] for p in pins}) == len({n for n, _ in audit.pinned(text)})
        assert len(audit.pinned(text)) > 20
        blocks = text.split("\n" + pins[1])[0]
        assert "--hash=sha256:" in blocks
        assert all(line.endswith("\\") for line in pins)
    assert audit.accepted(ROOT / ".pins" / "accepted.toml") == []


def test_the_index_is_the_one_pip_uses() -> None:
    assert audit.index().startswith("http")
    # Named nowhere in the program.
    host = audit.index().split("//")[1]
    assert host not in (ROOT / "shop" / "launch" / "audit.py").read_text("utf-8")


def test_an_index_that_does_not_answer_holds_nothing_up(
    base: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(command, "MOST_S", -1)
    found, made, unasked = command.asked(base, [("slow", "1.0"), ("slower", "2.0")])
    assert (found, made) == ([], [])
    assert unasked == [
        "slow 1.0 (the index is too slow)",
        "slower 2.0 (the index is too slow)",
    ]
