"""How often each page of the office asks the database: as often with many of everything as with a
few."""

from pathlib import Path

import pytest
from django.contrib.auth.models import User
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext

from shop.store.shapes import ShopInfo
from tests.bench.office_fill import fill
from tests.bench.office_rest import Sizes, fill_rest
from tests.office.asks import COMPANY, OWN, Scene, asks, set_up
from tests.office.conftest import user_of

FEW = Sizes(people=2, phones=2, orders=2, materials=7, lots=7, pictures=2, notes=10)
TIMES = 40
# What any page may ask, with a session and a user among it.
MOST = 40


@pytest.fixture
def scene(demo: ShopInfo, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Scene:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    made = set_up(demo)
    user_of("company", demo, made.second, runs_the_company=True)
    return made


def asked(desk: Client, address: str) -> list[str]:
    """The queries of a page that was opened before."""
    b"".join(desk.get(address))
    with CaptureQueriesContext(connection) as queries:
        b"".join(desk.get(address))
    return [query["sql"] for query in queries]


def all_asked(desk: Client, scene: Scene) -> dict[str, list[str]]:
    """Name of each address → its queries, at the desk of the invented shop."""
    found = {}
    for name, ask in asks(scene).items():
        own = name in {*COMPANY, OWN}
        found[name] = asked(desk, ask.address(name) if own else f"/at/demo{ask.address(name)}")
    return found


def grow(shop: ShopInfo, times: int, tag: str, start: int) -> None:
    many = {name: getattr(FEW, name) * times for name in FEW.__dataclass_fields__}
    fill(shop, 3 * times, start=start)
    fill_rest(shop, Sizes(**{**many, "materials": FEW.materials}), tag)


def test_no_page_asks_more_often_where_there_is_more_of_everything(scene: Scene) -> None:
    desk = Client()
    desk.force_login(User.objects.get(username="company"))
    grow(scene.demo, 1, "a", 0)
    few = all_asked(desk, scene)
    grow(scene.demo, TIMES, "b", 100)
    many = all_asked(desk, scene)
    grew = {
        name: (len(few[name]), len(many[name]), more_of(few[name], many[name]))
        for name in few
        if len(many[name]) > len(few[name])
    }
    assert grew == {}
    assert {name: len(found) for name, found in many.items() if len(found) > MOST} == {}


def more_of(few: list[str], many: list[str]) -> str:
    """The query that is asked most often of those there are more of."""
    counts = {sql[:90]: sum(q[:90] == sql[:90] for q in many) for sql in many}
    return max(counts, key=lambda sql: counts[sql] - sum(q[:90] == sql for q in few))
