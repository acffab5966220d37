"""Figures for a monitoring program: read by the reference parser, seen by nobody from outside."""

import pytest
from django.db import DatabaseError
from django.test import Client
from prometheus_client.openmetrics.parser import text_string_to_metric_families as openmetrics
from prometheus_client.parser import text_string_to_metric_families as prometheus

from shop.screens import metrics
from shop.store.read import head
from shop.store.shapes import ShopInfo

OK, GONE = 200, 404
OPEN_METRICS = "application/openmetrics-text; version=1.0.0"


def values(text: str, parse: object = openmetrics) -> dict[str, float]:
    return {s.name: s.value for family in parse(text) for s in family.samples}  # type: ignore[operator]


@pytest.mark.parametrize(("accept", "parse"), [(OPEN_METRICS, openmetrics), ("*/*", prometheus)])
def test_they_are_what_stands(demo: ShopInfo, client: Client, accept: str, parse: object) -> None:
    client.get("/health")
    answer = client.get("/metrics", headers={"accept": accept})
    found = values(answer.content.decode(), parse)
    assert found["kettleside_entries"] == head(demo.id)
    assert (found["kettleside_shops"], found["kettleside_database_up"]) == (1, 1)
    assert found["kettleside_disk_free_bytes"] > 0
    assert found["kettleside_clock_behind_seconds"] == 0
    assert found["kettleside_answers_total"] >= 1
    assert accept.split(";")[0] in answer["Content-Type"] or accept == "*/*"


@pytest.mark.parametrize(
    ("asked", "status"),
    [
        ({}, OK),
        ({"REMOTE_ADDR": "::1"}, OK),
        ({"REMOTE_ADDR": "192.0.2.9"}, GONE),
        ({"HTTP_X_FORWARDED_FOR": "192.0.2.9"}, GONE),
        ({"HTTP_AUTHORIZATION": "Bearer wrong"}, GONE),
        ({"REMOTE_ADDR": "192.0.2.9", "HTTP_AUTHORIZATION": "Bearer sesame"}, OK),
        ({"REMOTE_ADDR": "192.0.2.9", "HTTP_AUTHORIZATION": "Bearer "}, GONE),
    ],
)
def test_nobody_from_outside_reads_them(
    db: None, client: Client, monkeypatch: pytest.MonkeyPatch, asked: dict[str, str], status: int
) -> None:
    monkeypatch.setenv("KETTLESIDE_METRICS_TOKEN", "sesame")
    assert client.get("/metrics", **asked).status_code == status  # type: ignore[arg-type]


def test_without_a_token_set_none_is_right(
    db: None, client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv("KETTLESIDE_METRICS_TOKEN", raising=False)
    far = {"REMOTE_ADDR": "192.0.2.9", "HTTP_AUTHORIZATION": "Bearer "}
    assert client.get("/metrics", **far).status_code == GONE  # type: ignore[arg-type]


def test_a_database_that_is_gone_is_a_figure_too(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    def gone() -> None:
        raise DatabaseError

    monkeypatch.setattr(metrics, "figures", gone)
    found = values(client.get("/metrics", headers={"accept": OPEN_METRICS}).content.decode())
    assert found["kettleside_database_up"] == 0
    assert "kettleside_entries" not in found


def test_they_tell_nothing_of_a_shop(demo: ShopInfo, client: Client) -> None:
    text = client.get("/metrics").content.decode()
    assert not [word for word in ("demo", "Beehive", "Isolde", "proof/") if word in text]
