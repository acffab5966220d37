"""Text that one of the two database engines would refuse is refused, or kept, by both alike.

SQLite keeps a text of any length and any character; PostgreSQL has a limit for each column and
takes no NUL (postgresql.org/docs, Character Types).
"""

import json
from typing import Any

import pytest
from django.test import Client

from shop.plan.canonical import canonical
from shop.store import batches
from shop.store.access import access_batch, access_device
from shop.store.chain import sha256hex
from shop.store.errors import NotHere
from tests.store.scene import Loft, sheet
from tests.sync.test_phone_word import say
from tests.sync.test_wire import chain, push, refused


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"lot": "L" * 41}, "lot"),
        ({"lot": 7}, "lot"),
        ({"title": "t" * 121}, "title"),
        ({"title": "be\0hive"}, "title"),
        ({"boil": {"letter": "ABC", "pattern": "dot"}}, "letter"),
        ({"boil": {"letter": "C", "pattern": "p" * 13}}, "pattern"),
        ({"boil": {"letter": "C"}}, "pattern"),
        ({"boil": []}, "boil must be an object"),
    ],
)
def test_a_sheet_that_a_column_can_not_hold_is_refused(
    loft: Loft, client: Client, change: dict[str, Any], said: str
) -> None:
    text = canonical({**sheet("b2", "C"), **change})
    name = sha256hex(text.encode())
    answer = refused(say(client, loft.kettle, f"sheet/{name}", {"text": text}), 400)
    assert said in answer["say"]
    with pytest.raises(NotHere):
        access_batch(loft.shop.id, "b2")


def test_a_nul_in_a_sheets_words_is_kept_by_its_hash(loft: Loft, client: Client) -> None:
    text = canonical({**sheet("b2", "C"), "burn": {"lines": ["\0"]}})
    name = sha256hex(text.encode())
    assert say(client, loft.kettle, f"sheet/{name}", {"text": text}).status_code == 200
    assert access_batch(loft.shop.id, "b2").sheet == name


def test_a_word_with_odd_characters_is_no_fault_of_the_server(loft: Loft, client: Client) -> None:
    for build in ("a\0b", "\ud83c", "x" * 200):
        answer = say(client, loft.kettle, "phone", {"held": 1, "build": build})
        assert answer.status_code in (200, 400), (build, answer.content)


@pytest.mark.parametrize("text", ["a\0b", "\\ud83c", "\0" * 64])
def test_odd_texts_of_a_push_are_kept_or_set_aside(loft: Loft, client: Client, text: str) -> None:
    line = loft.kettle.press("note_written", {"text": text})
    for some in ([line], [text], [f'{{"device":"{text}"}}']):
        answer = push(client, loft.kettle, chain(loft.kettle, some))
        assert answer.status_code == 200, answer.content
    for place in ("batch", "by", "v", "station", "step"):
        line = loft.kettle.press(text, {"text": "x"}, **{place: text})
        answer = push(client, loft.kettle, chain(loft.kettle, [line], len(loft.kettle.made)))
        assert answer.status_code == 200, (place, answer.content)


@pytest.mark.parametrize("text", ["a\0b", "\ud83c", "x" * 200, "é" * 100])
def test_odd_texts_in_an_address_or_a_code_find_nothing(
    loft: Loft, client: Client, text: str
) -> None:
    shown = json.dumps({"code": text, "device": text, "app": 1})
    answer = client.post("/sync/join", shown, content_type="application/json")
    assert answer.status_code in (400, 403, 429), answer.content
    given = {"authorization": f"Bearer {loft.kettle.token}"}
    plain = text.encode("utf-8", "replace").decode()
    for path in ("batch", "sheet", "file"):
        found = client.get(f"/sync/{path}/{plain}", headers=given)
        assert found.status_code == 404, (path, found.content)
    query = {
        "after": "1",
        "batches": text.encode("utf-8", "replace").decode(),
        "epoch": loft.shop.epoch,
    }
    assert client.get("/sync/pull", query, headers=given).status_code in (200, 204)
    assert access_device(loft.shop.id, loft.kettle.device).entries == 0


def test_a_boil_opened_with_a_sheet_of_no_name_is_kept(loft: Loft, client: Client) -> None:
    batches.plan_batch(shop_id=loft.shop.id, sheet=sheet("b2", "C"))
    opened = {"sheet": "a\0b", "lead": "maren"}
    line = loft.kettle.press("batch_opened", opened, batch="b2")
    answer = push(client, loft.kettle, chain(loft.kettle, [line]))
    assert answer.status_code == 200, answer.content
    assert access_batch(loft.shop.id, "b2").phase == "open"
