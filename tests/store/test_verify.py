"""A store that was tampered with: the first broken link is named."""

from io import StringIO

import pytest
from django.core.management import CommandError, call_command
from django.db import connection

from shop.models import APPEND_ONLY, Event
from shop.models.guards import make_triggers, trigger_names
from shop.store import read
from shop.store.access import access_batch
from shop.store.chain import sha256hex
from shop.store.verify import broken_links
from tests.store.scene import Loft, drop_trigger, set_strokes


@pytest.fixture
def filled(loft: Loft) -> Loft:
    loft.kettle.presses(4)
    loft.kettle.say("{")
    loft.kettle.push()
    loft.table.presses(3)
    loft.kettle.push(loft.table.chain())
    read.batch_state(access_batch(loft.shop.id, "b1"))
    set_strokes(loft.shop.id, 115)
    return loft


def tamper(sql: str, *values: str) -> None:
    """Change rows as somebody with the store could: triggers off, then on again."""
    with connection.cursor() as cursor:
        for model in APPEND_ONLY:
            for name in trigger_names(model, connection.vendor):
                cursor.execute(drop_trigger(name, model._meta.db_table))
        cursor.execute(sql, values)
    make_triggers(connection)


def test_a_whole_store_is_said_to_be_whole(filled: Loft) -> None:
    out = StringIO()
    call_command("verify", stdout=out)
    assert (
        out.getvalue() == "Whole: 1 shops, 8 events, 1 set aside, 1 sheets, 1 batches, 0 files.\n"
    )


@pytest.mark.parametrize(
    ("sql", "where", "say"),
    [
        (
            "UPDATE shop_event SET line = replace(line, '1', '2') WHERE position = 3",
            "position 3",
            "its line does not match its hash",
        ),
        ("UPDATE shop_event SET received = received + 1 WHERE position = 4", "position 4", "link"),
        ("UPDATE shop_event SET carried_by_id = NULL WHERE position = 7", "position 7", "link"),
        ("DELETE FROM shop_event WHERE position = 2", "position 3", "a position is missing"),
        ("DELETE FROM shop_event WHERE position = 8", "head", "the log ends at 7"),
        ("UPDATE shop_event SET seq = 77 WHERE position = 3", "position 3", "another device"),
        ("UPDATE shop_shop SET head = 99", "head", "says 99"),
        ("UPDATE shop_aside SET line = substr(line, 1, 0)", "number 5|head|device", "head is"),
        ("DELETE FROM shop_aside", "number 5", "missing"),
        ("UPDATE shop_sheet SET text = text || ' '", "sheet", "its text has the hash"),
        ("UPDATE shop_batch SET phase = 'closed'", "batch b1", "its events say open"),
        ("UPDATE shop_batch SET position = 3", "batch b1", "says position 3, the log 8"),
        ("UPDATE shop_projection SET state = '{}'", "projection of b1", "not what a fold gives"),
        ("UPDATE shop_shopnumber SET value = 1", "number strokes", "its history says 115"),
        ("UPDATE shop_device SET head_seq = 9 WHERE head_seq = 5", "number 6", "stands at 9"),
        ("UPDATE shop_device SET told_hash = 'x' WHERE head_seq = 3", "device", "itself told"),
    ],
)
def test_the_first_broken_link_is_named(filled: Loft, sql: str, where: str, say: str) -> None:
    tamper(sql)
    first = next(broken_links())
    assert any(part in first.where for part in where.split("|"))
    assert say in first.say
    with pytest.raises(CommandError, match=f"First broken link: .*({where})"):
        call_command("verify")


def test_a_forged_line_with_its_hash_and_link_made_good_breaks_the_next_link(filled: Loft) -> None:
    event = Event.objects.get(position=3)
    line = event.line.replace('"add":1', '"add":9')
    tamper(
        "UPDATE shop_event SET line = %s, sha256 = %s WHERE position = 3",
        line,
        sha256hex(line.encode()),
    )
    assert "position 3" in next(broken_links()).where


def test_a_row_that_points_nowhere_is_named(filled: Loft) -> None:
    """SQLite is asked for them. PostgreSQL lets nobody but its owner make one: the log then lacks
    the event, for an event without its boil is none."""
    looks_away, first = {
        "sqlite": (
            "PRAGMA defer_foreign_keys = ON",
            "points to a row of shop_batch that is not there",
        ),
        "postgresql": ("SET LOCAL session_replication_role = replica", "the log ends at 7"),
    }[connection.vendor]
    with connection.cursor() as cursor:
        cursor.execute(looks_away)
    tamper("UPDATE shop_event SET batch_id = 4711 WHERE position = 8")
    assert first in next(broken_links()).say
    tamper("UPDATE shop_event SET batch_id = (SELECT id FROM shop_batch) WHERE position = 8")
