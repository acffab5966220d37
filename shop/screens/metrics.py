"""Figures for a monitoring program (OpenMetrics): of the computer, the store and the answers."""

import os
from collections.abc import Iterator
from datetime import UTC, datetime
from hmac import compare_digest

from django.db import DatabaseError
from django.http import Http404, HttpRequest, HttpResponse
from django.views.decorators.http import require_GET
from prometheus_client import CollectorRegistry
from prometheus_client.core import GaugeMetricFamily, Metric
from prometheus_client.exposition import choose_encoder
from prometheus_client.registry import Collector

from shop.launch.asked import COUNTED
from shop.launch.condition import certificate_days, free_megabytes
from shop.launch.places import backup_folder
from shop.store.backup import backups, is_embedded
from shop.store.figures import figures

HERE = ("127.0.0.1", "::1")


@require_GET
def metrics(request: HttpRequest) -> HttpResponse:
    """For who asks on this computer itself, or with the token of KETTLESIDE_METRICS_TOKEN."""
    if not may_read(request):
        raise Http404("There is no such page.")
    encode, media = choose_encoder(request.headers.get("Accept", ""))
    every = CollectorRegistry()
    every.register(_Now())
    every.register(COUNTED)
    answer = HttpResponse(encode(every), content_type=media)
    answer["Cache-Control"] = "no-store"
    return answer


def may_read(request: HttpRequest) -> bool:
    """A proxy asks from this computer too, for strangers: it says so in a header."""
    token = os.environ.get("KETTLESIDE_METRICS_TOKEN", "")
    scheme, _, given = request.headers.get("Authorization", "").partition(" ")
    if token and scheme.lower() == "bearer":
        return compare_digest(given.strip().encode(), token.encode())
    forwarded = {"X-Forwarded-For", "Forwarded"} & set(request.headers)
    return request.META.get("REMOTE_ADDR") in HERE and not forwarded


class _Now(Collector):
    """What stands at this moment."""

    def collect(self) -> Iterator[Metric]:
        yield from _computer()
        try:
            found = figures()
        except DatabaseError:
            yield _one("database_up", "Whether the store can be read.", 0)
            return
        yield _one("database_up", "Whether the store can be read.", 1)
        yield _one("shops", "Shops in this store.", found.shops)
        yield _one("entries", "Entries in the logs of all shops.", found.entries)
        yield _one("set_aside", "Entries that could not be filed.", found.set_aside)
        yield _one("phones", "Phones that may speak.", found.phones)
        behind = "How far the clock stands before the newest entry."
        yield _one("clock_behind_seconds", behind, found.behind_ms / 1000)


def _computer() -> Iterator[Metric]:
    yield _one("disk_free_bytes", "Free room on the store's disk.", free_megabytes() * 1_000_000)
    if (days := certificate_days()) is not None:
        yield _one("certificate_days", "Days left of the certificate that phones see.", days)
    newest = next(iter(backups(backup_folder())), None) if is_embedded() else None
    if newest is not None:
        age = (datetime.now(UTC) - newest.at).total_seconds()
        yield _one("backup_age_seconds", "Age of the last good backup.", age)


def _one(name: str, words: str, value: float) -> Metric:
    return GaugeMetricFamily(f"kettleside_{name}", words, value=value)
