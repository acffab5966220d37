"""The desk of the invented shop, signed in: asked by Django's own client, or in a browser over a
program of its own; and somebody outside who must see nothing."""

from collections.abc import Iterator
from functools import partial
from typing import Any

import pytest
from django.contrib.auth.models import User
from django.test import Client
from playwright.sync_api import Browser, Page

from shop.demo.load import ensure
from shop.store.shapes import ShopInfo
from shop.store.shops import give_desk
from tests.desks import PASSWORDS, OpenDesk, open_desk
from tests.programs import Program, beside, running


@pytest.fixture
def demo(db: None) -> ShopInfo:
    return ensure()


@pytest.fixture
def lead(demo: ShopInfo, client: Client) -> Client:
    """The lead maker at the desk."""
    client.force_login(user_of("office", demo))
    return client


def user_of(name: str, *at: ShopInfo, runs_the_company: bool = False) -> User:
    """A user who may open these shops' offices."""
    user = User.objects.create_user(username=name, is_staff=runs_the_company)
    for shop in at:
        give_desk(shop_id=shop.id, user_id=user.pk)
    return user


@pytest.fixture
def outsider(demo: ShopInfo) -> Client:
    return Client()


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Program]:
    """The demo for one file of tests, in a store of its own."""
    with running(tmp_path_factory.mktemp("office") / "data", "demo") as started:
        yield started


@pytest.fixture(scope="module")
def fill() -> str:
    """What a file wants in its demo, in Python that leaves an `answer`; it overrides this."""
    return "answer = {}"


@pytest.fixture(scope="module")
def filled(program: Program, fill: str) -> Any:
    """The answer, once all of that is in the demo and everybody has a password."""
    return beside(program.data, f"{fill}\n{PASSWORDS}")


@pytest.fixture(scope="module")
def desk(browser: Browser, program: Program, filled: Any) -> OpenDesk:
    """Opens a tab at the desk, signed in."""
    return partial(open_desk, browser, program)


@pytest.fixture(scope="module")
def page(desk: OpenDesk) -> Iterator[Page]:
    """A tab of the office's own user, for all tests of a file."""
    with desk() as tab:
        yield tab
