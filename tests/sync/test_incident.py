"""Notes on injuries and near misses over the wire: kept once, refused in sentences that quote no
word of them, and given to no phone again."""

import json
from typing import Any

import pytest
from django.test import Client

from shop.store import changes, incidents
from shop.store.access import access_batch
from shop.store.read import batch_lines, batch_state
from shop.store.verify import broken_links
from tests.store.scene import START, Loft
from tests.sync.test_phone_word import say
from tests.sync.test_wire import refused

# No other word of the store holds it.
WORD = "zyzzyva-blister"
NOTE = {"id": "0f" * 16, "kind": "injury", "happened": START, "text": f"A {WORD} at the hook"}


def test_a_note_is_kept_once_whatever_the_network_does(loft: Loft, client: Client) -> None:
    for phone in (loft.kettle, loft.kettle, loft.table):
        assert json.loads(say(client, phone, "incident", NOTE).content) == {"kept": NOTE["id"]}
    say(client, loft.table, "incident", {**NOTE, "text": "other words"})
    [note] = incidents.incidents(loft.shop.id)
    assert (note.text, note.kind, note.happened) == (NOTE["text"], "injury", START)
    assert (note.phone, note.by) == ("Phone 1", "")


def test_a_note_that_was_erased_does_not_come_back(loft: Loft, client: Client) -> None:
    """The phone whose answer was lost says it again, after the office has erased it."""
    say(client, loft.kettle, "incident", NOTE)
    key = str(NOTE["id"])
    incidents.erase(shop_id=loft.shop.id, key=key, day="25 Nov 2026", by="office")
    assert json.loads(say(client, loft.kettle, "incident", NOTE).content) == {"kept": key}
    assert incidents.incidents(loft.shop.id) == []


@pytest.mark.parametrize(
    ("wrong", "code", "said"),
    [
        ({"id": "0F" * 16}, "shape", "`id` is "),
        ({"id": 7}, "shape", "it must be 32 of 0-9 and a-f"),
        ({"kind": "gossip"}, "shape", '`kind` is "gossip"; it must be "near miss" or "injury"'),
        ({"kind": ["injury"]}, "shape", "`kind` is "),
        ({"happened": -1}, "shape", "`happened` is -1"),
        ({"happened": True}, "shape", "`happened` is true"),
        ({"happened": 2**60}, "shape", "it must be a moment in ms"),
        ({"text": ""}, "shape", "1 to 2000 characters"),
        ({"text": WORD * 200}, "shape", "1 to 2000 characters"),
        ({"text": f"{WORD}\0"}, "text", "NUL or half of a surrogate pair"),
        ({"text": f"{WORD}\ud83d"}, "text", "NUL or half of a surrogate pair"),
    ],
)
def test_what_is_no_note_is_refused_without_quoting_it(
    loft: Loft, client: Client, wrong: dict[str, Any], code: str, said: str
) -> None:
    answer = refused(say(client, loft.kettle, "incident", {**NOTE, **wrong}), 400)
    assert answer["error"] == code
    assert said in answer["say"]
    assert WORD not in answer["say"]
    assert incidents.incidents(loft.shop.id) == []


def test_the_longest_note_and_any_letter_arrive_as_written(loft: Loft, client: Client) -> None:
    text = ("é😀'\"\\\n" * 400)[:2000]
    say(client, loft.kettle, "incident", {**NOTE, "text": text})
    assert incidents.incidents(loft.shop.id)[0].text == text


def test_no_phone_batch_or_line_of_the_log_ever_gets_it(
    loft: Loft, outsider: Loft, client: Client, caplog: pytest.LogCaptureFixture
) -> None:
    loft.kettle.press()
    loft.kettle.push()
    say(client, loft.kettle, "incident", NOTE)
    heard = [say(client, loft.table, "phone", {}).content.decode()]
    for phone in (loft.kettle, loft.table, outsider.table):
        headers = {"authorization": f"Bearer {phone.token}"}
        for path in ("pull?after=0&batches=b1", "batch/b1", "company", "incident", "sheet/x"):
            heard.append(client.get(f"/sync/{path}", headers=headers).content.decode())
    batch = access_batch(loft.shop.id, "b1")
    heard += [*batch_lines(batch), json.dumps(batch_state(batch)), caplog.text]
    heard += [str(change) for change in changes.changes(loft.shop.id, most=99)]
    assert any('"batch":"b1"' in text for text in heard)
    assert [text for text in heard if WORD in text] == []
    assert incidents.incidents(outsider.shop.id) == []
    assert list(broken_links([loft.shop.id])) == []
