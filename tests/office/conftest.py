"""The desk of the invented shop, signed in; and somebody outside who must see nothing."""

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

from shop.demo.load import ensure
from shop.store.shapes import ShopInfo


@pytest.fixture
def demo(db: None) -> ShopInfo:
    return ensure()


@pytest.fixture
def lead(demo: ShopInfo, client: Client) -> Client:
    """The lead maker at the desk."""
    client.force_login(get_user_model().objects.create_user(username="office"))
    return client


@pytest.fixture
def outsider(demo: ShopInfo) -> Client:
    return Client()
