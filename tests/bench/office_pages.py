"""What `office` runs beside a store of its own: builds it, asks for every page, tells the times."""

import time
from importlib import import_module

from django.contrib.auth import get_user_model
from django.test import Client, override_settings

from shop.demo.load import ensure
from shop.management.opening import open_store
from shop.screens.office.picture_asks import opened
from shop.screens.office.picture_pieces import decision
from shop.store.access import access_shop
from shop.store.facts import refresh
from shop.store.shops import give_desk
from tests.bench.office_fill import fill
from tests.bench.office_rest import fill_rest, sizes_of
from tests.bench.rows import percentile
from tests.office.asks import asks, set_up

WARM, ROUNDS = 2, 30
WAIT_S = 120
OK = 200
FLOOR = "/one/old-77/"
# What more is asked of the list than its first page; each as people press it.
SEARCHES = {
    "boils: rare word": "/office/boils/?words=windmill+96+ginger",
    "boils: no such word": "/office/boils/?words=giraffe",
    "boils: colour": "/office/boils/?colour=another&tint=%23c02030",
    "boils: what went off": "/office/boils/?off=grain&month=2024-03",
    "boils: customer": "/office/boils/?customer=Customer+7",
    "boils: far back": "/office/boils/?after=old-9000",
}


def build(boils: int) -> int:
    """The shop with so many boils; how many entries it has."""
    open_store()
    shop = ensure()
    entries = fill(shop, boils)
    fill_rest(shop, sizes_of(boils))
    return entries


def measure() -> dict[str, dict[str, float]]:
    """Name of each page → its 95th percentile [ms]; and that of the floor, taken before and after.

    Rounds go through all pages: none is asked while nothing else was read since.
    """
    open_store()
    # As the server starts.
    import_module("shop.wsgi")
    pages, desk = _set_up()
    floor = _floor(desk)
    took: dict[str, list[float]] = {}
    for turn in range(WARM + ROUNDS):
        for name, address in {**pages, **SEARCHES}.items():
            spent = _ask(desk, address)
            if turn >= WARM and spent is not None:
                took.setdefault(name, []).append(spent)
    floor += _floor(desk)
    return {
        "pages": {name: percentile(times, 0.95) for name, times in took.items()},
        "floor": {"p95": percentile(floor, 0.95)},
    }


def _set_up() -> tuple[dict[str, str], Client]:
    """Something behind every address, and somebody at the desk."""
    shop = ensure()
    scene = set_up(shop)
    user = get_user_model().objects.create_user("bench", is_staff=True)
    give_desk(shop_id=shop.id, user_id=user.pk)
    refresh(shop.id)
    _work_out(scene.picture)
    desk = Client(SERVER_NAME="localhost")
    desk.force_login(user)
    return {name: ask.address(name) for name, ask in asks(scene).items()}, desk


def _work_out(picture: str) -> None:
    """What a process works out beside the pages is there before they are asked."""
    one = opened(access_shop("demo"), picture)
    for piece in (one.looked(), one.seen(), decision(one)):
        piece.result(WAIT_S)


def _ask(desk: Client, address: str) -> float | None:
    """Time to the last byte [ms]; None where there is nothing to be had by asking."""
    start = time.perf_counter()
    answer = desk.get(address)
    b"".join(answer)
    spent = (time.perf_counter() - start) * 1000
    return spent if answer.status_code == OK else None


def _floor(desk: Client) -> list[float]:
    with override_settings(ROOT_URLCONF="tests.bench.office_floor"):
        times = [_ask(desk, FLOOR) for _ in range(WARM + ROUNDS)]
    return [spent for spent in times[WARM:] if spent is not None]
