"""What the desk is told of its computer, and what whoever watches over it can ask."""

import json
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from django.test import Client

from shop.launch import condition
from shop.launch.authority import BACKDATED, LEAF_LIFE, current_leaf, open_authority
from shop.screens import health
from shop.screens.office import warnings
from shop.store.clock import now_ms
from shop.store.shapes import ShopInfo

OK, NOT_WELL = 200, 503


@pytest.mark.parametrize(
    ("free", "said"), [(2_000, ""), (1_999, "Photos may soon"), (199, "Presses may not be kept")]
)
def test_a_full_disk_is_told_before_it_is_full(free: int, said: str) -> None:
    found = warnings.disk(free)
    assert said in found
    assert bool(found) is bool(said)


@pytest.mark.parametrize(
    ("days", "said"), [(None, ""), (21, ""), (20, "in 20 days"), (0, "in 0 days"), (-1, "has run")]
)
def test_a_certificate_that_did_not_renew_itself_is_told(days: int | None, said: str) -> None:
    found = warnings.certificate(days)
    assert said in found
    assert bool(found) is bool(said)


def test_a_clock_set_back_is_told_and_a_right_one_is_not(
    lead: Client, demo: ShopInfo, monkeypatch: pytest.MonkeyPatch
) -> None:
    words = "before the last entry"
    assert words not in lead.get("/office/").content.decode()
    earlier = now_ms() - 26 * 3_600_000 - 1_800_000
    monkeypatch.setattr(warnings, "now_ms", lambda: earlier)
    page = lead.get("/office/").content.decode()
    assert "clock stands 26 h before the last entry" in page


def test_the_days_are_those_of_the_certificate_that_phones_are_shown(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    assert condition.certificate_days() is None
    monkeypatch.setenv("KETTLESIDE_TLS", "1")
    made = datetime.now(UTC)
    current_leaf(open_authority(tmp_path / "authority", "test"), ["sugar-loft.local"], made)
    life = LEAF_LIFE - BACKDATED
    for later in (timedelta(0), timedelta(days=80), timedelta(days=100)):
        days = condition.certificate_days(made + later)
        assert days in ((life - later).days, (life - later).days - 1)
    # Behind a proxy ours is shown to nobody.
    monkeypatch.setenv("KETTLESIDE_PROXY", "1")
    assert condition.certificate_days() is None


def test_free_room_is_that_of_the_disk(tmp_path: Path) -> None:
    before = condition.free_megabytes(tmp_path)
    (tmp_path / "photo").write_bytes(b"\1" * 50_000_000)
    assert 20 <= before - condition.free_megabytes(tmp_path) <= 2_000


@pytest.mark.parametrize(
    ("what", "value"), [("free_megabytes", 199), ("certificate_days", -1), ("can_read", False)]
)
def test_whoever_watches_is_told_that_it_is_not_well(
    db: None, client: Client, monkeypatch: pytest.MonkeyPatch, what: str, value: object
) -> None:
    well = client.get("/health")
    assert (well.status_code, json.loads(well.content)["ok"]) == (OK, True)
    monkeypatch.setattr(health, what, lambda: value)
    answer = client.get("/health")
    assert (answer.status_code, json.loads(answer.content)["ok"]) == (NOT_WELL, False)


def test_it_tells_nothing_of_a_shop(client: Client, demo: ShopInfo) -> None:
    numbers = {"ok", "database", "disk_free_mb", "certificate_days"}
    assert set(json.loads(client.get("/health").content)) == numbers
