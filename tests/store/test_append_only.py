"""Rows that are never changed or deleted: Python refuses it, and so does the database."""

from pathlib import Path
from typing import Any

import pytest
from django.core.checks import Tags, run_checks
from django.db import DatabaseError, connection, transaction

from shop.models import (
    APPEND_ONLY,
    Aside,
    Change,
    Delivery,
    DrawingVersion,
    Event,
    KeptFile,
    KitCheck,
    LabelPrint,
    LotMove,
    NumberChange,
    OrderEntry,
    Person,
    Proof,
    ProofApproval,
    Recall,
    RecallTold,
    Scrap,
    ScrapMove,
    Sheet,
    SkillNote,
    WayVersion,
)
from shop.models.errors import AppendOnly
from shop.models.guards import make_triggers, missing_triggers, trigger_names
from shop.store import drawings, phones
from shop.store.verify import broken_links
from tests.store.office_scene import fill_office
from tests.store.scene import Loft, a_version, drop_trigger, keep_photo, set_strokes

TABLES = [model._meta.db_table for model in APPEND_ONLY]
CHANGES = (
    "UPDATE shop_event SET line = 'x'",
    "DELETE FROM shop_event",
    "UPDATE shop_sheet SET text = 'x'",
    "DELETE FROM shop_sheet WHERE 1 = 1",
    "UPDATE shop_aside SET reason = 'x'",
    "DELETE FROM shop_aside",
    "UPDATE shop_numberchange SET value = 0",
    "DELETE FROM shop_numberchange",
    "UPDATE shop_keptfile SET size = 0",
    "DELETE FROM shop_keptfile",
    "UPDATE shop_kitcheck SET found = 'x'",
    "DELETE FROM shop_kitcheck",
    "UPDATE shop_change SET before = ''",
    "DELETE FROM shop_change",
    "UPDATE shop_skillnote SET rung = 'solo'",
    "DELETE FROM shop_skillnote",
    "UPDATE shop_drawingversion SET what = 'x'",
    "DELETE FROM shop_drawingversion",
    "UPDATE shop_proof SET face = 'x'",
    "DELETE FROM shop_proof",
    "UPDATE shop_proofapproval SET at = 0",
    "DELETE FROM shop_proofapproval",
    "UPDATE shop_orderentry SET what = 'x'",
    "DELETE FROM shop_orderentry",
    "UPDATE shop_delivery SET packs = 0",
    "DELETE FROM shop_delivery",
    "UPDATE shop_lotmove SET mg = 0",
    "DELETE FROM shop_lotmove",
    "UPDATE shop_scrap SET mg = 0",
    "DELETE FROM shop_scrap",
    "UPDATE shop_scrapmove SET mg = 0",
    "DELETE FROM shop_scrapmove",
    "UPDATE shop_recall SET why = 'x'",
    "DELETE FROM shop_recall",
    "UPDATE shop_recalltold SET how = 'x'",
    "DELETE FROM shop_recalltold",
    "UPDATE shop_labelprint SET text = 'x'",
    "DELETE FROM shop_labelprint",
    "UPDATE shop_wayversion SET text = 'x'",
    "DELETE FROM shop_wayversion",
)
SHIFTED = (
    "position + 99, seq + 99, line, sha256, received, ahead, chain, batch_id, carried_by_id, "
    "device_id, shop_id FROM shop_event"
)
SAME_NUMBER = SHIFTED.replace("seq + 99", "seq")
REPLACE = ("REPLACE INTO {0} SELECT * FROM {0}",)
MERGE = (
    "INSERT INTO {0} SELECT * FROM {0} ON CONFLICT (id) DO UPDATE SET shop_id = 1",
    "MERGE INTO {0} t USING {0} s ON t.id = s.id WHEN MATCHED THEN DELETE",
    "TRUNCATE {0} CASCADE",
)
# How a row that stands may be replaced, in the words of each engine.
EVERY_TABLE, EVENTS_ALONE = {
    "sqlite": (
        REPLACE,
        (
            f"INSERT OR REPLACE INTO shop_event SELECT id, {SHIFTED}",
            f"INSERT OR REPLACE INTO shop_event SELECT id + 99, {SAME_NUMBER}",
        ),
    ),
    "postgresql": (MERGE, ()),
}[connection.vendor]
REPLACEMENTS = [way.format(table) for way in EVERY_TABLE for table in TABLES]


@pytest.fixture
def filled(loft: Loft, monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Loft:
    """A loft with a row in every append-only table."""
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    keep_photo(loft.kettle.caller, b"photo")
    loft.kettle.press()
    loft.kettle.say("{")
    loft.kettle.push()
    set_strokes(loft.shop.id, 115)
    phones.look_over(shop_id=loft.shop.id, device=loft.kettle.device, found="whole", by="maren")
    who = Person.objects.create(shop_id=loft.shop.id, key="tobit", name="Tobit", role="second hand")
    note = SkillNote(shop_id=loft.shop.id, key="k", person=who, skill="pull", rung="watch")
    note.happened = note.at = 1
    note.save()
    drawn = drawings.new_drawing(shop_id=loft.shop.id, title="Bee", order={}, first=a_version())
    proof = drawings.new_proof(
        shop_id=loft.shop.id, key=drawn.key, number=1, rod_um=14_000, face="<path/>", days=14
    )
    drawings.approve(proof=proof.key, name="Ada")
    fill_office(loft.shop)
    return loft


def bites(sql: str) -> str:
    """What the database answers to this statement, which it must refuse."""
    # PostgreSQL refuses to empty a table of which it has not yet looked at a foreign key.
    connection.check_constraints()
    with (
        pytest.raises(DatabaseError, match="append-only") as refused,
        transaction.atomic(),
        connection.cursor() as cursor,
    ):
        cursor.execute(sql)
    return str(refused.value)


@pytest.mark.parametrize("sql", CHANGES)
def test_raw_sql_can_change_or_delete_no_row(filled: Loft, sql: str) -> None:
    assert any(table in bites(sql) for table in TABLES if table in sql)


@pytest.mark.parametrize("sql", [*REPLACEMENTS, *EVENTS_ALONE])
def test_a_replacing_insert_can_not_slip_past_the_triggers(filled: Loft, sql: str) -> None:
    """REPLACE deletes without firing delete triggers (sqlite.org/lang_conflict.html); MERGE and
    ON CONFLICT fire them row by row, TRUNCATE fires one of its own (postgresql.org/docs)."""
    assert any(table in bites(sql) for table in TABLES if table in sql)


def test_every_append_only_table_was_tried(db: None) -> None:
    for statements in (CHANGES[::2], CHANGES[1::2], REPLACEMENTS):
        assert all(any(table in sql for sql in statements) for table in TABLES)


@pytest.mark.parametrize("model", APPEND_ONLY)
def test_python_refuses_to_save_again_update_or_delete(filled: Loft, model: Any) -> None:
    row = model.objects.first()
    for act in (
        row.save,
        row.delete,
        model.objects.all().delete,
        lambda: model.objects.update(shop=row.shop),
        lambda: model.objects.bulk_update([row], ["shop"]),
        lambda: model.objects.bulk_create([row], update_conflicts=True),
        lambda: model.objects.update_or_create(pk=row.pk, defaults={"shop": row.shop}),
    ):
        with pytest.raises(AppendOnly, match="is append-only"):
            act()


def test_a_dropped_trigger_is_named_by_the_check_and_by_verify(db: None) -> None:
    name, table = trigger_names(Event, connection.vendor)[1], Event._meta.db_table
    assert run_checks(tags=[Tags.database], databases=["default"]) == []
    with connection.cursor() as cursor:
        cursor.execute(drop_trigger(name, table))
    [error] = run_checks(tags=[Tags.database], databases=["default"])
    assert (error.id, name in error.msg) == ("kettleside.E001", True)
    assert error.hint is not None
    assert "migrate --skip-checks" in error.hint
    assert [broken.where for broken in broken_links()] == [f"trigger {name}"]
    make_triggers(connection)
    assert missing_triggers(connection) == []


def test_every_append_only_table_is_guarded(db: None) -> None:
    with connection.cursor() as cursor:
        # PostgreSQL keeps its foreign keys by triggers too; those are its own.
        own = {
            "sqlite": "SELECT count(*) FROM sqlite_master WHERE type = 'trigger'",
            "postgresql": "SELECT count(*) FROM pg_trigger WHERE NOT tgisinternal",
        }[connection.vendor]
        cursor.execute(own)
        assert cursor.fetchone() == (3 * len(APPEND_ONLY),)
    told = {NumberChange, Sheet, Event, Aside, KeptFile, KitCheck, Change, SkillNote}
    told |= {DrawingVersion, Proof, ProofApproval, OrderEntry, Delivery, LotMove, Scrap, ScrapMove}
    assert told | {Recall, RecallTold, LabelPrint, WayVersion} == set(APPEND_ONLY)
    assert len(APPEND_ONLY) == 20
