"""How a phone was tried, as the desk reads it; and a photo beside its step."""

import io
from zoneinfo import ZoneInfo

import pytest
from django.test import Client
from PIL import Image

from shop.screens.office.phones_page import NEEDED, TRIES, tried
from shop.store import phones
from shop.store.access import access_token
from shop.store.append import office_event
from shop.store.phones import join, new_code
from shop.store.shapes import ShopInfo
from tests.office.test_record_document import ADDRESS, KEY
from tests.store.scene import keep_photo

UTC = ZoneInfo("UTC")
ALL = dict.fromkeys(TRIES, "works")


def said(ends: dict[str, str], build: str = "now") -> dict[str, object]:
    found = {"at": 1_795_000_000_000, "build": build, "system": "apple", "ends": ends}
    return {"build": "now", "tried": found}


@pytest.mark.parametrize(
    ("report", "words"),
    [
        ({}, "Not tried"),
        (said(ALL), "Ready. "),
        (said(ALL, "before"), "with an app of before"),
        (said({**ALL, "ring": "fails"}), "Does not: rings, and is heard."),
        (said({**ALL, "awake": "cannot"}), "Not ready. "),
        # What a phone can do without: it is ready all the same.
        (said({**ALL, "shake": "cannot", "battery": "cannot"}), "Ready. "),
    ],
)
def test_whether_a_phone_is_ready_is_said_in_a_line(report: dict[str, object], words: str) -> None:
    assert words in tried(report, UTC)


@pytest.mark.parametrize("key", NEEDED)
def test_a_phone_that_lacks_what_it_needs_asks_for_somebody(
    lead: Client, demo: ShopInfo, key: str
) -> None:
    added = join(code=new_code(demo.id), address="office")
    phones.take_report(access_token(added.token), said({**ALL, key: "cannot", "shake": "cannot"}))
    page = lead.get("/office/phones/").content.decode()
    assert page.count('class="trouble"') == 1
    own = lead.get(f"/office/phones/{added.device}/").content.decode()
    assert "Not ready" in own
    assert "vibrates" in own
    phones.take_report(access_token(added.token), said({**ALL, "shake": "cannot"}))
    assert 'class="trouble"' not in lead.get("/office/phones/").content.decode()


def test_a_photo_of_a_step_stands_beside_that_step(lead: Client, demo: ShopInfo) -> None:
    picture = io.BytesIO()
    Image.effect_noise((400, 300), 80).convert("RGB").save(picture, "JPEG")
    camera = join(code=new_code(demo.id), address="camera")
    name = keep_photo(access_token(camera.token), picture.getvalue())
    body = {"sha256": name, "size": len(picture.getvalue()), "type": "image/jpeg"}
    place = {"station": "block", "step": "block.hive", "block": "hive"}
    office_event(shop_id=demo.id, batch=KEY, kind="photo_taken", body=body, by="maren", **place)
    page = lead.get(ADDRESS).content.decode()
    rows = [row for row in page.split("<tr") if f'src="/office/file/{name}"' in row]
    # Once under the photos, which come before the tables, and once in the row of that step.
    in_table = [row.partition("</tr>")[0] for row in rows if 'scope="row"' in row.split("</th>")[0]]
    assert len([row for row in in_table if name in row]) == 1
    (file,) = [f for f in lead.get(f"{ADDRESS}record.json").json()["files"] if f["sha256"] == name]
    assert (file["step"], file["block"]) == ("block.hive", "hive")
    assert file["say"] in in_table[-1].replace("&#x27;", "'")
