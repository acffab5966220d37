"""Whether anything at all was changed: a hash of every row the program keeps."""

from collections.abc import Iterator
from hashlib import sha256
from typing import Any

from django.apps import apps
from django.contrib.auth import get_user_model
from django.db.models import Model

from shop.models import BoilFacts, LotUse, Projection, Shop

# Read from sheets and entries, by whoever asks first.
MADE_OF_OTHERS = {Projection, BoilFacts, LotUse}


def kept(shop_id: int | None = None) -> str:
    """Every row of every table of our own, but what is reckoned from others: of all shops and the
    users, or of one shop."""
    ours = apps.get_app_config("shop").get_models()
    tables = [one for one in ours if one not in MADE_OF_OTHERS]
    if shop_id is None:
        rows = [list(_rows(table)) for table in (*tables, get_user_model())]
    else:
        rows = [list(_rows(table, **_of(table, shop_id))) for table in tables]
    return sha256(repr(rows).encode()).hexdigest()


def _of(table: type[Model], shop_id: int) -> dict[str, int]:
    return {"pk" if table is Shop else "shop_id": shop_id}


def _rows(table: type[Model], **which: int) -> Iterator[list[Any]]:
    for row in table._default_manager.filter(**which).order_by("pk").values_list():
        # PostgreSQL's bytes come as a view, which shows where it lies and not what it holds.
        yield [bytes(value) if isinstance(value, memoryview) else value for value in row]
