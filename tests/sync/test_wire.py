"""The wire: what it keeps, what it refuses and how it says so. Never HTML, never a 500."""

import gzip
import json
from typing import Any, cast

import pytest
from django.db import connection
from django.http import HttpResponse
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.plan.canonical import canonical
from shop.store import phones, read
from shop.store.phones import lock_out
from shop.store.shops import renew_epoch
from tests.store.scene import Loft, Phone

JSON = "application/json"
LINES = "application/jsonl"


def push(client: Client, phone: Phone, content: Any, **headers: str) -> HttpResponse:
    """POST /sync/push with this phone's token."""
    body = content if isinstance(content, bytes) else json.dumps(content).encode()
    given = {"authorization": f"Bearer {phone.token}", **headers}
    answer = client.post("/sync/push", body, content_type=JSON, headers=given)
    return cast(HttpResponse, answer)


def pull(client: Client, phone: Phone, query: str) -> HttpResponse:
    given = {"authorization": f"Bearer {phone.token}"}
    return cast(HttpResponse, client.get(f"/sync/pull?{query}", headers=given))


def chain(phone: Phone, lines: list[str], start: int = 1) -> dict[str, Any]:
    return {"app": 1, "chains": [{"device": phone.device, "from_seq": start, "lines": lines}]}


def stored(loft: Loft) -> int:
    return read.head(loft.shop.id)


def refused(answer: HttpResponse, status: int) -> dict[str, str]:
    """The one shape of every error."""
    assert answer.status_code == status, answer.content[:200]
    assert answer["Content-Type"] == JSON
    body: dict[str, str] = json.loads(answer.content)
    assert set(body) == {"error", "say"}
    assert body["say"].endswith(".")
    return body


def test_what_is_pushed_is_named_as_kept_and_comes_back_as_it_was_made(
    loft: Loft, client: Client
) -> None:
    lines = loft.kettle.presses(5)
    answer = json.loads(push(client, loft.kettle, chain(loft.kettle, lines)).content)
    assert answer["answers"][0]["kept"] == [[1, 5]]
    again = json.loads(push(client, loft.kettle, chain(loft.kettle, lines)).content)
    assert (again["answers"][0]["kept"], again["answers"][0]["had"]) == ([], [[1, 5]])
    header, *came = pull(client, loft.table, "after=0").content.decode().splitlines()
    assert json.loads(header)["count"] == len(came)
    assert set(lines) <= set(came)


def test_a_packed_push_and_a_packed_pull_carry_the_same(loft: Loft, client: Client) -> None:
    lines = loft.kettle.presses(40)
    body = gzip.compress(json.dumps(chain(loft.kettle, lines)).encode())
    assert push(client, loft.kettle, body, **{"content-encoding": "gzip"}).status_code == 200
    given = {"authorization": f"Bearer {loft.table.token}", "accept-encoding": "gzip"}
    answer = client.get("/sync/pull?after=0", headers=given)
    assert answer["Content-Encoding"] == "gzip"
    assert set(lines) <= set(gzip.decompress(answer.content).decode().splitlines())


def test_a_poll_with_nothing_new_is_one_read_and_no_write(loft: Loft, client: Client) -> None:
    query = f"after={stored(loft)}&epoch={loft.shop.epoch}"
    with CaptureQueriesContext(
        connection,
    ) as asked:
        answer = pull(client, loft.table, query)
    assert (answer.status_code, answer.content) == (204, b"")
    assert [q["sql"].split()[0] for q in asked.captured_queries] == ["SELECT"]


def test_another_epoch_gives_everything_again(loft: Loft, client: Client) -> None:
    lines = loft.kettle.presses(3)
    push(client, loft.kettle, chain(loft.kettle, lines))
    before, head = loft.shop.epoch, stored(loft)
    renew_epoch(shop_id=loft.shop.id)
    came = pull(client, loft.table, f"after={head}&epoch={before}").content.decode().splitlines()
    assert set(lines) <= set(came)


def test_under_a_foreign_name_nothing_is_answered_but_json(loft: Loft, client: Client) -> None:
    """A page of somebody else's whose name was pointed here (DNS rebinding) learns nothing."""
    given = {"authorization": f"Bearer {loft.table.token}", "host": "evil.example"}
    said = refused(cast(HttpResponse, client.get("/sync/pull?after=0", headers=given)), 400)
    assert said["error"] == "wrong-host"


def test_another_phone_may_carry_them(loft: Loft, client: Client) -> None:
    lines = loft.kettle.presses(3)
    answer = json.loads(push(client, loft.table, chain(loft.kettle, lines)).content)
    assert answer["answers"][0]["kept"] == [[1, 3]]


@pytest.mark.parametrize("way", ["none", "wrong", "cookie", "basic", "locked"])
def test_without_a_good_token_nothing_is_told_or_kept(loft: Loft, client: Client, way: str) -> None:
    before = stored(loft)
    token = {"none": "", "wrong": "Bearer nothing", "basic": f"Basic {loft.kettle.token}"}
    if way == "cookie":
        client.cookies["token"] = loft.kettle.token
    if way == "locked":
        lock_out(shop_id=loft.shop.id, device=loft.kettle.device)
    header = token.get(way, f"Bearer {loft.kettle.token}" if way == "locked" else "")
    body = json.dumps(chain(loft.kettle, loft.kettle.presses(1)))
    for answer in (
        client.post("/sync/push", body, content_type=JSON, headers={"authorization": header}),
        client.get("/sync/pull?after=0", headers={"authorization": header}),
        client.get("/sync/batch/b1", headers={"authorization": header}),
    ):
        refused(answer, 403 if way == "locked" else 401)  # type: ignore[arg-type]  # as above
    assert stored(loft) == before


BODIES: dict[str, tuple[bytes, int]] = {
    "half a JSON": (b'{"chains": [{"device": "ab', 400),
    "no JSON": (b"<html>hello</html>", 400),
    "nothing": (b"", 400),
    "a list": (b"[]", 400),
    "no chains": (b'{"app": 1}', 400),
    "chains of text": (b'{"chains": ["x"]}', 400),
    "ill-formed UTF-8": (b'{"chains": "\xff\xfe"}', 400),
    "deep": (b"[" * 100_000, 400),
    "ten megabytes": (b'{"chains": "' + b"x" * (10 * 1024 * 1024) + b'"}', 413),
}


@pytest.mark.parametrize("name", BODIES)
def test_a_body_that_is_no_push_is_refused_whole(loft: Loft, client: Client, name: str) -> None:
    body, status = BODIES[name]
    before = stored(loft)
    refused(push(client, loft.kettle, body), status)
    assert stored(loft) == before


def test_a_packed_bomb_is_refused_by_its_unpacked_size(loft: Loft, client: Client) -> None:
    bomb = gzip.compress(b" " * (64 * 1024 * 1024))
    said = refused(push(client, loft.kettle, bomb, **{"content-encoding": "gzip"}), 413)
    assert "10" in said["say"]


def poisoned(phone: Phone, name: str) -> str:
    """One bad line among good ones."""
    reading = {"what": "peak", "n": 1523, "d": 10, "unit": "degC", "instrument": "t1", "how": "x"}
    wrong: dict[str, dict[str, Any]] = {
        "half a JSON": {},
        "float": {},
        "lone surrogate": {},
        "negative seq": {"seq": -1},
        "another device": {"device": "somebody12"},
        "another batch": {"batch": "b9"},
        "text for a time": {"recorded": "now"},
        "1490 °C": {"kind": "reading_taken", "body": {**reading, "n": 1490, "d": 1}},
        "304 in °C": {"kind": "reading_taken", "body": {**reading, "n": 304, "d": 1}},
        "no unit": {"kind": "reading_taken", "body": {**reading, "unit": ""}},
        "negative mass": {
            "kind": "reading_taken",
            "body": {**reading, "what": "poured", "n": -3, "unit": "g"},
        },
        "step of another sheet": {"kind": "step_done", "step": "fly", "body": {}},
        "unknown kind": {"kind": "sang", "body": {"x": 1}},
    }
    line = phone.press(**wrong[name])
    if name == "half a JSON":
        line = line[:40]
    if name == "float":
        line = line.replace('"within":0', '"within":0.5')
    if name == "lone surrogate":
        line = line.replace('"maren"', '"\\ud800"')
    phone.made[-1] = line
    return line


ASIDE = {
    *("half a JSON", "float", "lone surrogate", "negative seq", "another device", "another batch"),
    "text for a time",
}
UNFILED = {"1490 °C", "304 in °C", "no unit", "negative mass", "step of another sheet"}


@pytest.mark.parametrize("name", [*sorted(ASIDE), *sorted(UNFILED), "unknown kind"])
def test_one_bad_line_blocks_nobody_and_is_lost_by_nobody(
    loft: Loft, client: Client, name: str
) -> None:
    before = stored(loft)
    lines = [loft.kettle.press(), poisoned(loft.kettle, name), loft.kettle.press()]
    answer = push(client, loft.kettle, chain(loft.kettle, lines))
    assert answer.status_code == 200
    said = json.loads(answer.content)["answers"][0]
    assert said["expect"] == 4
    if name in ASIDE:
        assert (stored(loft) - before, [a["seq"] for a in said["aside"]]) == (2, [2])
        assert read.asides(loft.shop.id)[0].seq == 2
    else:
        assert (stored(loft) - before, said["aside"]) == (3, [])
        assert [u["seq"] for u in said["unfiled"]] == ([2] if name in UNFILED else [])
    for found in [*said["aside"], *said["unfiled"]]:
        assert found["say"].endswith("."), found


def test_two_phones_with_one_number_are_told_apart(loft: Loft, client: Client) -> None:
    lines = [loft.kettle.press()]
    push(client, loft.kettle, chain(loft.kettle, lines))
    other = canonical({**json.loads(lines[0]), "by": "tobit"})
    said = json.loads(push(client, loft.kettle, chain(loft.kettle, [other])).content)["answers"][0]
    assert [a["reason"] for a in said["aside"]] == ["fork"]


def test_a_gap_is_not_jumped(loft: Loft, client: Client) -> None:
    lines = loft.kettle.presses(4)
    answer = push(client, loft.kettle, chain(loft.kettle, lines[2:], start=3))
    assert json.loads(answer.content)["answers"][0]["expect"] == 1


@pytest.mark.parametrize("query", ["after=-1", "after=1.5", "after=x", f"after={'9' * 30}"])
def test_a_cursor_that_is_none_is_refused(loft: Loft, client: Client, query: str) -> None:
    refused(pull(client, loft.kettle, query), 400)


@pytest.mark.parametrize(
    "code",
    ["000000", "12345", "", "x" * 300, "\ud800".encode("utf-8", "surrogatepass").decode("latin-1")],
)
def test_a_wrong_code_adds_nobody(loft: Loft, client: Client, code: str) -> None:
    before = len(phones.phones(loft.shop.id))
    answer = client.post("/sync/join", json.dumps({"code": code, "app": 1}), content_type=JSON)
    assert answer.status_code in (400, 403)
    assert len(phones.phones(loft.shop.id)) == before


def test_codes_cannot_be_guessed_one_after_another(loft: Loft, client: Client) -> None:
    answers = [
        client.post("/sync/join", json.dumps({"code": f"{n:06d}", "app": 1}), content_type=JSON)
        for n in range(12)
    ]
    assert answers[-1].status_code == 429


@pytest.mark.parametrize(
    ("method", "path", "status"),
    [("get", "/sync/push", 405), ("post", "/sync/pull", 405), ("get", "/sync/nowhere", 404)],
)
def test_a_wrong_address_or_method_answers_json_too(
    loft: Loft, client: Client, method: str, path: str, status: int
) -> None:
    refused(getattr(client, method)(path), status)
