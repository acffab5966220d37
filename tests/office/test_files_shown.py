"""Photos at the desk: as a copy that can do nothing."""

from pathlib import Path

import pytest
from django.test import Client

from shop.store import phones
from shop.store.access import access_token
from shop.store.shapes import ShopInfo
from tests.picture.test_photo import with_place_and_camera
from tests.store.scene import keep_photo

OK, NOT_SHOWN = 200, 415


def test_a_photo_is_given_to_the_desk_as_a_copy_that_can_do_nothing(
    lead: Client, demo: ShopInfo, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    joined = phones.join(code=phones.new_code(demo.id), address="desk")
    caller = access_token(joined.token)
    shown = lead.get(f"/office/file/{keep_photo(caller, with_place_and_camera())}")
    content = b"".join(shown)
    assert (shown.status_code, shown["Content-Type"]) == (OK, "image/jpeg")
    assert b"Sugarcam" not in content
    assert shown["Content-Disposition"].startswith('inline; filename="image-')
    assert shown["X-Content-Type-Options"] == "nosniff"
    policy = shown["Content-Security-Policy"]
    assert "sandbox" in policy
    assert "default-src 'none'" in policy
    page = lead.get(f"/office/file/{keep_photo(caller, b'<html><script>alert(1)</script>')}")
    assert (page.status_code, page["Content-Type"]) == (NOT_SHOWN, "text/plain; charset=utf-8")
    assert b"<" not in page.content
