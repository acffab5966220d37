"""Photos and sounds: by content, piece by piece, going on where they broke off."""

import json
import os
from hashlib import sha256
from pathlib import Path
from typing import Any, cast

import pytest
from django.http import HttpResponse
from django.test import Client

from shop.picture.photo import clean_copy
from shop.store.files import path_of
from shop.store.verify import broken_links
from tests.store.scene import Loft, Phone, a_photo, keep_photo

# A photo, and behind its end what no browser is given.
PHOTO = a_photo("the log") + os.urandom(700_000)
NAME = sha256(PHOTO).hexdigest()
PIECE = 256 * 1024
GONE, WRONG = 404, 400


@pytest.fixture(autouse=True)
def folder(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))


def put(client: Client, phone: Phone, start: int, piece: bytes, **more: Any) -> HttpResponse:
    asked = {"from": start, "size": len(PHOTO), "type": "image/jpeg", **more}
    query = "&".join(f"{key}={value}" for key, value in asked.items() if key != "name")
    return cast(
        HttpResponse,
        client.post(
            f"/sync/file/{more.get('name', NAME)}?{query}",
            piece,
            "application/octet-stream",
            headers={"authorization": f"Bearer {phone.token}"},
        ),
    )


def have(answer: HttpResponse) -> int:
    assert answer.status_code == 200, answer.content
    return int(json.loads(answer.content)["have"])


def get(client: Client, phone: Phone, query: str = "") -> HttpResponse:
    given = {"authorization": f"Bearer {phone.token}"}
    return cast(HttpResponse, client.get(f"/sync/file/{NAME}{query}", headers=given))


def test_a_photo_broken_off_goes_on_where_it_was_and_comes_back_whole(
    loft: Loft, client: Client
) -> None:
    assert have(put(client, loft.kettle, 0, b"")) == 0
    assert have(put(client, loft.kettle, 0, PHOTO[:PIECE])) == PIECE
    assert get(client, loft.table).status_code == GONE
    # The answer was lost: the same again, then a piece from too far on; neither is taken.
    assert have(put(client, loft.kettle, 0, PHOTO[:PIECE])) == PIECE
    assert have(put(client, loft.kettle, 2 * PIECE, PHOTO[2 * PIECE :])) == PIECE
    assert have(put(client, loft.kettle, PIECE, PHOTO[PIECE:])) == len(PHOTO)
    whole = get(client, loft.table)
    assert path_of(NAME).read_bytes() == PHOTO
    assert (whole.content, whole["Content-Type"]) == (clean_copy(PHOTO), "image/jpeg")
    assert whole["X-Content-Type-Options"] == "nosniff"
    assert get(client, loft.table, "?from=100").content == whole.content[100:]
    # Brought again, by another phone: it is there.
    assert have(put(client, loft.table, 0, b"")) == len(PHOTO)
    assert list(broken_links()) == []


def test_bytes_that_are_not_what_they_are_called_are_thrown_away(
    loft: Loft, client: Client
) -> None:
    other = bytes(len(PHOTO))
    answer = put(client, loft.kettle, 0, other)
    assert answer.status_code == WRONG
    assert "send it again" in json.loads(answer.content)["say"]
    assert have(put(client, loft.kettle, 0, PHOTO)) == len(PHOTO)


@pytest.mark.parametrize(
    ("more", "said"),
    [
        ({"name": "x" * 64}, "no SHA-256"),
        ({"name": "..%2F..%2Fetc"}, "There is nothing"),
        ({"type": "text/html"}, "The type is"),
        ({"size": 0}, "it must have from 1"),
        ({"size": 30_000_000}, "it must have from 1"),
        ({"from": "-1"}, "whole number"),
    ],
)
def test_what_is_no_photo_or_sound_is_refused_by_name(
    loft: Loft, client: Client, more: dict[str, Any], said: str
) -> None:
    start = more.pop("from", 0)
    answer = put(client, loft.kettle, start, b"x", **more)
    assert answer.status_code in (WRONG, GONE)
    assert said in json.loads(answer.content)["say"]


def test_a_changed_or_missing_file_is_named_by_verify(loft: Loft, client: Client) -> None:
    put(client, loft.kettle, 0, PHOTO)
    path_of(NAME).write_bytes(PHOTO[:-1])
    [broken] = broken_links()
    assert broken.where.startswith(f"file {NAME[:12]}")
    path_of(NAME).unlink()
    assert "missing" in next(iter(broken_links())).say


def test_another_shops_photo_is_not_here(loft: Loft, outsider: Loft, client: Client) -> None:
    put(client, loft.kettle, 0, PHOTO)
    assert get(client, outsider.kettle).status_code == GONE


def test_what_is_no_photo_is_kept_and_the_phone_is_told_that_it_cannot_be_shown(
    loft: Loft, client: Client
) -> None:
    name = keep_photo(loft.kettle.caller, b"<html><script>")
    given = {"authorization": f"Bearer {loft.table.token}"}
    answer = client.get(f"/sync/file/{name}", headers=given)
    assert (answer.status_code, json.loads(answer.content)["error"]) == (415, "cannot-be-shown")
