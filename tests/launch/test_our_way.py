"""A program that starts with another way than the shop last had says so, once."""

from pathlib import Path

from tests.programs import beside

# As the store was left by a program that had one step less, one more and one otherwise.
BEFORE = """
from shop.management.opening import open_store
from shop.models import Shop
from shop.store import access, shops
from shop.store.changes import changes
def said():
    found = changes(access.access_shop("demo").id, most=999)
    return [[c.by, c.what, c.before, c.after] for c in found if c.about == "our way"]
open_store()
answer = [said()]
row = Shop.objects.get(slug="demo")
whole, first, second, *rest = row.settings["way"].split()
old = " ".join(["0" * 64, first.split("=")[0] + "=ffffff", *rest, "cook.gone=abcdef"])
row.settings = {**row.settings, "way": old}
row.save()
open_store()
answer += [said(), whole, first, second]
open_store()
answer += [said()]
"""
NEW_SHOP = """
from shop.management.opening import open_store
from shop.models import Shop
from shop.store.changes import changes
open_store()
row = Shop.objects.get(slug="demo")
del row.settings["way"]
row.save()
open_store()
row.refresh_from_db()
answer = [len(row.settings["way"]), sum(c.about == "our way" for c in changes(row.pk, most=999))]
"""


def test_another_way_is_told_once_with_the_steps_that_differ(tmp_path: Path) -> None:
    fresh, told, whole, first, second, again = beside(tmp_path, BEFORE)
    assert fresh == []
    assert sorted(told) == sorted(
        [
            ["", "made of", "0" * 12, whole[:12]],
            ["", "steps added", "", second.split("=")[0]],
            ["", "steps removed", "", "cook.gone"],
            ["", "steps changed", "", first.split("=")[0]],
        ]
    )
    assert again == told


def test_a_shop_of_before_this_was_kept_is_told_nothing(tmp_path: Path) -> None:
    length, told = beside(tmp_path, NEW_SHOP)
    assert (length > 1000, told) == (True, 0)
