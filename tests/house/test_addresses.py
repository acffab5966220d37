"""Every address of the program belongs to a room whose outsiders are tested: a new one fails here.

The office in tests/office/test_outsiders.py, the wire in tests/sync/test_outsiders.py; the floor
and the first visit are the same for everybody, which is what is tested here.
"""

from collections.abc import Iterable, Iterator

import pytest
from django.conf import settings
from django.contrib.auth import get_user_model
from django.test import Client
from django.urls import URLPattern, URLResolver, get_resolver

from shop.demo.load import ensure
from shop.launch.authority import open_authority
from shop.launch.first_visit import Place, pages
from shop.screens.office.urls import urlpatterns as office
from shop.store import phones
from shop.store.shops import give_desk
from shop.sync.urls import urlpatterns as wire

OK, FOUND, GONE = 200, 302, 404
# Address of the floor → one to ask for.
FLOOR = {
    "floor": "/floor/",
    "floor-page": "/floor/batch/demo-handover/kettle",
    "floor-worker": "/floor/sw.js",
    "floor-manifest": "/floor/manifest.webmanifest",
    "floor-pack": f"/floor/pack-{settings.BUILD}.json",
    "floor-rest": f"/floor/rest-{settings.BUILD}.json",
}
FIRST_VISIT = {
    *("/", "/alive", "/first-visit.css", "/first-visit.js"),
    *("/kettleside.crt", "/kettleside.mobileconfig"),
}


def every_name(patterns: Iterable[URLPattern | URLResolver]) -> Iterator[str]:
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            yield from every_name(pattern.url_patterns)
        else:
            yield str(pattern.name)


def test_every_address_is_of_a_room_whose_outsiders_are_tested() -> None:
    found = list(every_name(get_resolver().url_patterns))
    assert len(found) == len(set(found))
    # A customer's proof is tested in tests/office/test_proofs.py, figures in test_metrics.py.
    alone = {"home", "health", "metrics", "proof"}
    assert set(found) == {*alone, *FLOOR, *every_name(office), *every_name(wire)}


def somebody(who: str) -> Client:
    """A browser of the demo shop: nobody's, the desk's, a phone's."""
    demo = ensure()
    if who == "desk":
        desk = Client()
        user = get_user_model().objects.create_user("greta")
        give_desk(shop_id=demo.id, user_id=user.pk)
        desk.force_login(user)
        return desk
    token = phones.join(code=phones.new_code(demo.id), address="outside").token
    return Client(headers={"authorization": f"Bearer {token}"} if who == "phone" else {})


@pytest.mark.parametrize("name", FLOOR)
def test_the_floor_is_the_same_for_everybody_and_tells_nobody_anything(db: None, name: str) -> None:
    said = set()
    for client in map(somebody, ("nobody", "desk", "phone")):
        answer = client.get(FLOOR[name])
        assert answer.status_code == OK
        assert not answer.cookies
        said.add(b"".join(answer))
        assert client.post(FLOOR[name]).status_code == 405
    [told] = said
    assert not [secret for secret in (b"Beehive", b"Isolde", b"csrf") if secret in told]


def test_only_the_office_is_under_a_shops_name(db: None) -> None:
    """No shop's name in an address opens the wire or the floor of that shop, nor tells of it."""
    desk = somebody("desk")
    assert desk.get("/at/demo/office/").status_code == OK
    for address in ("/at/demo/", "/at/demo/sync/pull", "/at/demo/floor/", "/at/demo/nothing/"):
        for slug in ("demo", "no-such-shop"):
            assert desk.get(address.replace("demo", slug)).status_code == GONE
    assert desk.get("/")["Location"] == "/office/"


def test_the_first_visit_knows_a_name_and_a_certificate_and_nothing_of_the_shop(
    tmp_path_factory: pytest.TempPathFactory,
) -> None:
    authority = open_authority(tmp_path_factory.mktemp("authority"), "sugar-loft.local")
    place = Place("sugar-loft.local", "https://sugar-loft.local:8443", 8080, "192.0.2.7")
    answers = pages(authority, place)
    assert set(answers) == FIRST_VISIT
    for page in answers.values():
        body = page.body if isinstance(page.body, bytes) else page.body()
        assert b"PRIVATE KEY" not in body
        assert b"token" not in body.lower()
