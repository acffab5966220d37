"""The desk of the invented shop, signed in; and somebody outside who must see nothing."""

import pytest
from django.contrib.auth.models import User
from django.test import Client

from shop.demo.load import ensure
from shop.store.shapes import ShopInfo
from shop.store.shops import give_desk


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
