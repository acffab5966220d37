"""Some hundred messages of any kind: each is answered in JSON, nothing acknowledged is lost."""

import gzip
import random
from pathlib import Path
from typing import Any, cast

import pytest
from django.http import HttpResponse
from django.test import Client
from hypothesis import given, settings
from hypothesis import strategies as st

from shop.models import Aside, Event
from shop.store.access import access_batch
from shop.store.verify import broken_links
from tests.fuzz.api import Answered, Asked
from tests.fuzz.api_hunt import check
from tests.fuzz.wire import Wire
from tests.store.kept import kept
from tests.store.scene import Loft, give_pin, keep_photo, open_loft

QUESTIONS = 40


def scene_of(loft: Loft, elsewhere: Loft) -> dict[str, Any]:
    """What the questions may name."""
    give_pin(loft.shop.id, "odo")
    both = (loft.kettle, loft.table)
    return {
        "phones": [{"device": one.device, "token": one.token} for one in both],
        **{"epoch": loft.shop.epoch, "batches": ["b1", "b9"], "shop": loft.shop.id},
        "photo": keep_photo(loft.kettle.caller, b"a face"),
        "sheet": access_batch(loft.shop.id, "b1").sheet,
        "foreign": {"device": elsewhere.kettle.device, "batch": "b1"},
        "kept": kept(elsewhere.shop.id),
    }


def answer(client: Client, asked: Asked) -> Answered:
    """As the server would, without one."""
    given: dict[str, Any] = {
        f"HTTP_{k.upper().replace('-', '_')}": v for k, v in asked.headers.items()
    }
    given |= {"CONTENT_LENGTH": str(len(asked.body))}
    made = client.generic(asked.method, asked.path, asked.body, "application/json", **given)
    found = cast(HttpResponse, made)
    body = found.content
    if found.headers.get("Content-Encoding") == "gzip":
        body = gzip.decompress(body)
    return Answered(found.status_code, {k.lower(): v for k, v in found.items()}, body, 0)


def there(loft: Loft, elsewhere: Loft) -> dict[str, Any]:
    """What the store holds now."""
    events = Event.objects.filter(shop_id=loft.shop.id).select_related("device")
    asides = Aside.objects.filter(shop_id=loft.shop.id)
    return {
        "broken": list(broken_links()),
        "kept": kept(elsewhere.shop.id),
        "lines": [[e.device.key, e.seq, e.line] for e in events],
        "asides": [[a.device, a.seq, bytes(a.line).hex()] for a in asides],
    }


def test_any_messages_are_answered_and_nothing_is_lost(
    db: None, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    loft, elsewhere, client = (
        open_loft(),
        open_loft("elsewhere"),
        Client(raise_request_exception=False),
    )
    elsewhere.kettle.presses(3)
    elsewhere.kettle.push()
    wire = Wire(scene_of(loft, elsewhere))

    # A seed, for what is drawn from it follows what was answered before.
    @given(st.integers(0, 2**32))
    @settings(max_examples=12, database=None)
    def asked(seed: int) -> None:
        chance = random.Random(seed)
        for _ in range(QUESTIONS):
            question = wire.question(chance)
            answered = answer(client, question)
            check(question, answered)
            wire.heard(question, answered)

    asked()
    found = wire.check(there(loft, elsewhere))
    assert found["acknowledged"] > 10
    assert found["set_aside"] > 10
