"""Isolation proved from the program's own models and functions: a new one without a place here
fails.

Every kind of object of one shop is reached by one function, which does not find another shop's;
every row points only to rows of its own shop; every public function of the store is told whose
shop it works for.
"""

import ast
import importlib
import inspect
import pkgutil
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps
from django.contrib.auth.models import User
from django.db import models

import shop.store
from shop.models import (
    Batch,
    Customer,
    Device,
    Drawing,
    DrawingVersion,
    KeptFile,
    Material,
    MaterialLot,
    Order,
    Person,
    Recall,
    Scrap,
    Sheet,
    Shop,
    WayVersion,
)
from shop.store.errors import NotHere
from tests.store.scene import Loft

MODELS: list[type[models.Model]] = [
    one for one in apps.get_app_config("shop").get_models() if one is not Shop
]
# Function that reaches one object of a shop → its table, and the column people name it by.
REACHED: dict[str, tuple[type[models.Model], str]] = {
    "access.access_batch": (Batch, "key"),
    "access.access_device": (Device, "key"),
    "access.access_person": (Person, "key"),
    "access.access_drawing": (Drawing, "key"),
    "customers.access_customer": (Customer, "key"),
    "order_reading.access_order": (Order, "number"),
    "stock.access_material": (Material, "key"),
    "stock.access_lot": (MaterialLot, "key"),
    "scrap.access_tin": (Scrap, "key"),
    "ways.access_version": (WayVersion, "number"),
    "recall.recalled": (Recall, "key"),
    "sheets.sheet_text": (Sheet, "hash"),
    "files.read_file": (KeptFile, "sha256"),
    "drawings.version": (DrawingVersion, "number"),
}
# Those that are told no shop, for each its reason and its own test.
FROM_OUTSIDE = {
    "labels.access_printed": "by a boil that was reached by its shop (tests/office)",
    "access.access_shop": "by the shop's own name, for commands and signed-in desks",
    "access.access_desk": "by the user, who sees only desks of theirs (tests/office)",
    "access.access_token": "by the token's hash, which is of one phone (tests/sync)",
    "access.access_proof": "by a random id that is told only in a signed link (tests/office)",
}
# Tables read only as a list of a whole shop, never by a name from outside.
OF_THE_SHOP = {
    *("Aside", "Change", "IncidentNote", "JoinCode", "NumberChange", "ShopNumber", "Desk"),
}


def store_modules() -> Iterator[Any]:
    for found in pkgutil.iter_modules(shop.store.__path__):
        yield importlib.import_module(f"shop.store.{found.name}")


def functions() -> dict[str, Callable[..., Any]]:
    """Every public function of the store, by module and name, once."""
    return {
        f"{module.__name__.rpartition('.')[2]}.{name}": one
        for module in store_modules()
        for name, one in inspect.getmembers(module, inspect.isfunction)
        if one.__module__ == module.__name__ and not name.startswith("_")
    }


def own_keys(model: type[models.Model]) -> list[models.ForeignKey[Any, Any]]:
    """Its pointers to other tables of a shop."""
    return [
        field
        for field in model._meta.concrete_fields
        if isinstance(field, models.ForeignKey) and field.related_model in MODELS
    ]


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_table_has_its_shop_from_the_first_row(model: type[models.Model]) -> None:
    field = model._meta.get_field("shop")
    assert isinstance(field, models.ForeignKey)
    assert (field.related_model, field.null) == (Shop, False)


@pytest.mark.parametrize("model", MODELS, ids=lambda model: model.__name__)
def test_every_table_is_reached_one_way(model: type[models.Model]) -> None:
    """By its own function, through a row that is, or only as a list of the whole shop."""
    ways = [name for name, (table, _) in REACHED.items() if table is model]
    through = [field.name for field in own_keys(model) if not field.null]
    assert len(ways) <= 1
    assert ways or through or model.__name__ in OF_THE_SHOP, (
        f"{model.__name__} is new: give it an access function and a line in REACHED."
    )


def test_every_access_function_is_asked_here() -> None:
    found = {name for name in functions() if name.split(".")[1].startswith("access_")}
    assert found <= set(REACHED) | set(FROM_OUTSIDE)
    assert set(REACHED) | set(FROM_OUTSIDE) <= set(functions())


# Rows made from the tables' own columns, so that a new table has one without a line here.
PLAIN: dict[type, Any] = {
    models.BooleanField: False,
    models.JSONField: {},
    models.BinaryField: b"x",
    models.CharField: "1",
    models.TextField: "1",
    models.IntegerField: 1,
}


class Rows:
    """One row of each table for one shop; what a row points to is made before it."""

    def __init__(self, shop_row: Shop) -> None:
        self.shop, self.made = shop_row, dict[type[models.Model], models.Model]()

    def of(self, model: type[models.Model]) -> models.Model:
        if model not in self.made:
            values = {
                field.name: self._value(field)
                for field in model._meta.concrete_fields
                if not (field.primary_key or field.null or field.has_default())
            }
            self.made[model] = model._default_manager.create(**values)
        return self.made[model]

    def _value(self, field: Any) -> Any:
        if isinstance(field, models.ForeignKey):
            target = field.related_model
            if target is Shop:
                return self.shop
            return (
                User.objects.create(username=f"of-{self.shop.pk}")
                if target is User
                else self.of(target)
            )
        if field.name in ("hash", "sha256", "token_sha256"):
            return f"{self.shop.pk:064x}"
        kinds = [kind for kind in PLAIN if isinstance(field, kind)]
        if kinds:
            return PLAIN[kinds[0]]
        raise NotImplementedError(f"{field}: say in PLAIN what a plain value of it is")


@pytest.fixture
def ours(loft: Loft) -> Rows:
    return Rows(Shop.objects.create(slug="ours", name="Ours", epoch="a"))


@pytest.fixture
def theirs(loft: Loft) -> Rows:
    return Rows(Shop.objects.create(slug="theirs", name="Theirs", epoch="b"))


def call(name: str, rows: Rows, key: Any, of: Rows) -> Any:
    """The access function as `rows`' shop calls it, with a key of the other."""
    function = functions()[name]
    if name == "drawings.version":
        return function(rows.shop.pk, of.of(Drawing).key, key)  # type: ignore[attr-defined]
    return function(rows.shop.pk, key)


@pytest.mark.parametrize("name", REACHED)
def test_one_shop_finds_its_own_and_the_other_does_not(
    name: str, ours: Rows, theirs: Rows, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    model, column = REACHED[name]
    key = getattr(ours.of(model), column)
    call(name, ours, key, ours)
    with pytest.raises(NotHere):
        call(name, theirs, key, ours)


# Told by one of these whose shop it works for; or it is given a row or an info of that shop.
TELLS = {"shop_id", "shop", "caller", "batch"}
# These ask the tables without: the reason why no shop can be crossed.
ASKS_ALL: dict[str, str] = {
    "access.access_proof": FROM_OUTSIDE["access.access_proof"],
    "access.access_token": FROM_OUTSIDE["access.access_token"],
    "drawings.approve": "by the same random id as the proof, from the signed link",
    "figures.figures": "counts of all shops, for whoever runs the computer; no names",
    "order_entries.entries_of": "by the number of a row that was reached by its shop",
    "phones.living_under": "of the whole computer, for the command that leaves an old name",
    "rebuild.refold": "by the number of a batch's row that was reached by its shop",
    "rebuild.state_of": "by the number of a batch's row that was reached by its shop",
    "rebuild.states_of": "by the numbers of batches' rows that were reached by their shop",
    "seen.spread": "by the number of the device whose token was shown",
    "shops.note_password": "of the user who is signed in, in each shop they have a desk in",
    "verify.broken_links": "of the whole store, for the command",
}


def asks_tables(function: Callable[..., Any]) -> bool:
    """Whether its own words ask a table of a shop."""
    names = {model.__name__ for model in MODELS}
    tree = ast.parse(inspect.getsource(function))
    return any(
        isinstance(node, ast.Attribute)
        and node.attr in ("objects", "_default_manager")
        and isinstance(node.value, ast.Name)
        and node.value.id in names
        for node in ast.walk(tree)
    )


def told_whose(function: Callable[..., Any]) -> bool:
    parameters = inspect.signature(function).parameters
    carried = [str(one.annotation) for one in parameters.values()]
    kinds = (*(model.__name__ for model in MODELS), "Info", "Caller", "Ledger")
    return bool(TELLS & set(parameters)) or any(one.rstrip("'>").endswith(kinds) for one in carried)


def test_every_function_that_asks_a_table_is_told_whose_shop_it_works_for() -> None:
    without = {
        name for name, one in functions().items() if asks_tables(one) and not told_whose(one)
    }
    assert without == set(ASKS_ALL)
