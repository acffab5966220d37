"""Names that customers typed under proofs move to where they can be erased, and back."""

import re
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import psycopg
import pytest

from tests.postgres import running_postgres
from tests.programs import ROOT, beside, manage

# As the program of before wrote them: the name in the approval and in 'who changed what'.
FILL = """
from django.core.management import call_command
from django.db import connection
from shop.models import ApprovalName, Change, Proof
from shop.store import changes, customers, drawings, orders
from tests.store.scene import a_version, open_loft

call_command("migrate", verbosity=0)
shop = open_loft("demo").shop.id
answer = {}
for n, title in enumerate(("Bee", "Star", "Oak")):
    drawn = drawings.new_drawing(shop_id=shop, title=title, order={}, first=a_version())
    shown = {"number": 1, "rod_um": 14_000, "face": "<path/>", "days": 14}
    answer[title] = drawings.new_proof(shop_id=shop, key=drawn.key, **shown).key
    who = {"customer": "", "who": (f"Of {title}", "by post"), "title": title, "said": {}}
    orders.new_order(shop_id=shop, number=f"W-{n}", drawing=drawn.key, **who)
drawings.approve(proof=answer["Oak"], name="typed-by-oak")
call_command("migrate", "shop", "0009", verbosity=0)
with connection.cursor() as cursor:
    for title in ("Bee", "Star"):
        own = Proof.objects.get(key=answer[title]).pk
        typed, told = f"typed-by-{title.lower()}", f"version 1 by typed-by-{title.lower()}"
        cursor.execute(
            "INSERT INTO shop_proofapproval (shop_id, proof_id, name, at) VALUES (%s, %s, %s, 7)",
            [shop, own, typed],
        )
        about = f"picture {title}"
        after = {"approved": told}
        changes.note(shop_id=shop, by="", about=about, before={}, after=after)
    # Of the same words, and no name of a customer.
    after = {"approved": "version 2 by hand"}
    changes.note(shop_id=shop, by="greta", about="picture Bee", before={}, after=after)
"""
# What the tables of before hold.
BEFORE = """
from django.db import connection
with connection.cursor() as cursor:
    cursor.execute(
        "SELECT p.title, a.name FROM shop_proofapproval a JOIN shop_proof p ON p.id = a.proof_id"
    )
    answer = dict(cursor.fetchall())
"""
AFTER = """
from django.core.checks import Tags, run_checks
from shop.models import Change, Proof, ProofApproval
from shop.store.access import access_proof
answer = {
    "typed": {p.title: access_proof(p.key).approved_by for p in Proof.objects.all()},
    "moments": {a.proof.title: a.at for a in ProofApproval.objects.all()},
    "told": sorted(Change.objects.filter(what="approved").values_list("about", "by", "after")),
    "unguarded": [str(one) for one in run_checks(tags=[Tags.database], databases=["default"])],
}
"""
ERASE = """
from shop.store import customers
from shop.store.order_reading import access_order
from shop.models import Order
answer = []
for order in Order.objects.exclude(title="Star").order_by("pk"):
    answer.append(customers.erase(shop_id=order.shop_id, key=order.customer.key, by="pim"))
"""
REFUSED = """
from django.db import DatabaseError, connection, transaction
answer = []
for sql in ("UPDATE {0} SET at = 0", "DELETE FROM {0}"):
    for table in ("shop_proofapproval", "shop_change"):
        try:
            with transaction.atomic(), connection.cursor() as cursor:
                cursor.execute(sql.format(table))
        except DatabaseError as refused:
            answer.append("append-only" in str(refused))
"""
TYPED = {"Bee": "typed-by-bee", "Star": "typed-by-star", "Oak": "typed-by-oak"}


class Place:
    """A store on one engine, and what its files hold."""

    def __init__(self, data: Path, url: str, files: Path) -> None:
        self.data, self.url, self.files = data, url, files

    def ask(self, code: str) -> Any:
        return beside(self.data, code, DATABASE_URL=self.url)

    def migrate(self, *to: str) -> None:
        done = manage(self.data, "migrate", *to, DATABASE_URL=self.url, KETTLESIDE_SHOP="demo")
        assert done.returncode == 0, done.stderr

    def sweep(self) -> None:
        """On PostgreSQL what docs/backups.md says for names that were erased."""
        if self.url:
            words = (ROOT / "docs/backups.md").read_text()
            with psycopg.connect(self.url, autocommit=True) as store:
                for table in re.findall(r"VACUUM FULL (shop_\w+)", words):
                    store.execute(f"VACUUM FULL {table}")

    def holds(self, name: str) -> bool:
        if self.url:
            with psycopg.connect(self.url, autocommit=True) as store:
                store.execute("CHECKPOINT")
        found = [path for path in self.files.rglob("*") if path.is_file()]
        return any(name.encode() in path.read_bytes() for path in found)


@contextmanager
def place(engine: str, data: Path) -> Iterator[Place]:
    if engine == "sqlite":
        yield Place(data, "", data / "demo")
        return
    with running_postgres("fsync=off", "autovacuum=off") as server:
        yield Place(data, server.url, server.folder / "data" / "base")


@pytest.mark.parametrize("engine", ["sqlite", "postgresql"])
def test_names_are_carried_over_and_back_and_can_then_be_erased(
    tmp_path: Path, engine: str
) -> None:
    with place(engine, tmp_path) as store:
        store.ask(FILL)
        assert store.ask(BEFORE) == TYPED
        store.migrate()
        found = store.ask(AFTER)
        assert found["typed"] == TYPED
        assert (found["moments"]["Bee"], found["moments"]["Star"]) == (7, 7)
        assert found["told"] == [
            *(["picture Bee", "", "version 1"], ["picture Bee", "greta", "version 2 by hand"]),
            *(["picture Oak", "", "version 1"], ["picture Star", "", "version 1"]),
        ]
        assert found["unguarded"] == []
        assert store.ask(REFUSED) == [True] * 4
        assert all(store.holds(name) for name in TYPED.values()), "the search finds nothing"
        assert store.ask(ERASE) == [True, True]
        store.sweep()
        assert [title for title, name in TYPED.items() if store.holds(name)] == ["Star"]
        left = store.ask(AFTER)
        assert left["typed"] == {"Bee": "", "Star": "typed-by-star", "Oak": ""}
        assert left["moments"] == found["moments"]
        # Back, and once more: who was erased stays so.
        store.migrate("shop", "0009")
        assert store.ask(BEFORE) == {"Bee": "", "Star": "typed-by-star", "Oak": ""}
        store.migrate()
        assert store.ask(AFTER) == left
