"""A shop moves from its SQLite file into PostgreSQL with all it has, or not at all."""

from __future__ import annotations

import http.client
import json
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from django.apps import apps

from shop.store.bring_in import LEFT_BEHIND, MOVED
from tests.bench.shop import event_lines
from tests.launch.moving import (
    DESKS,
    FILL,
    FILL_ANOTHER,
    LOG,
    OTHER_TABLES,
    PEOPLE,
    PHONES,
    PHOTO,
    SCRAP,
    SENT,
    SKILLS,
    STOCK,
    Store,
    Target,
    copied,
)
from tests.postgres import Server, running_postgres
from tests.programs import beside, manage, running


@pytest.fixture(scope="module")
def server() -> Iterator[Server]:
    # Nothing here asks what a power cut leaves.
    with running_postgres("fsync=off") as started:
        yield started


@pytest.fixture(scope="module")
def store(tmp_path_factory: pytest.TempPathFactory) -> Store:
    data = tmp_path_factory.mktemp("store")
    return Store(data, beside(data, FILL))


@pytest.fixture(scope="module")
def moved(server: Server, store: Store, tmp_path_factory: pytest.TempPathFactory) -> Target:
    """The store moved in, once for all the tests that only look."""
    target = Target(tmp_path_factory.mktemp("moved"), server.create("moved"))
    before = sha256(store.database.read_bytes()).hexdigest()
    done = target.manage("bring_in", store.folder)
    assert done.returncode == 0, done.stderr
    assert f"demo: {store.phone['head']} events, 5 phones" in done.stdout
    assert sha256(store.database.read_bytes()).hexdigest() == before
    return target


def test_every_table_is_moved_or_left_behind_by_name() -> None:
    """A new table without a rule fails here."""
    assert {*MOVED, *LEFT_BEHIND} == set(apps.get_models())
    assert all(LEFT_BEHIND.values())
    for model in MOVED:
        pointed = {field.related_model for field in model._meta.get_fields() if field.concrete}
        unmoved = {one for one in pointed if one is not None and one not in MOVED}
        assert unmoved <= set(LEFT_BEHIND), model


def test_the_moved_shop_is_the_same_line_by_line_and_whole_on_both_sides(
    moved: Target, store: Store
) -> None:
    whole = [
        manage(store.data, "verify", KETTLESIDE_SHOP="demo").stdout,
        moved.manage("verify").stdout,
    ]
    assert whole[0].startswith("Whole: 1 shops,")
    assert whole[0] == whole[1]
    for sql in (LOG, PHONES, PEOPLE, DESKS, SKILLS, STOCK, SCRAP, SENT):
        assert moved.rows(sql.format("demo")) == store.rows(sql.format("demo")) != []
    told = "SELECT key, kind, happened, told, text, by, device_id FROM shop_incidentnote"
    assert moved.rows(told) == store.rows(told)
    head = "SELECT epoch, head, head_hash, name FROM shop_shop"
    assert moved.rows(head) == store.rows(head)
    for table in OTHER_TABLES:
        count = f"SELECT count(*) FROM shop_{table}"  # noqa: S608  # our own names only
        assert moved.rows(count) == store.rows(count) != [(0,)], table
    names = "SELECT username, password, is_staff FROM auth_user ORDER BY username"
    assert [(n, p, bool(s)) for n, p, s in store.rows(names)] == moved.rows(names)


def ask(
    port: int, phone: dict[str, Any], method: str, path: str, message: Any = None
) -> tuple[int, bytes]:
    with closing(http.client.HTTPConnection("localhost", port, timeout=20)) as connection:
        given = {
            "Authorization": f"Bearer {phone['token']}",
            "Content-Type": "application/json",
        }
        connection.request(method, f"/sync/{path}", json.dumps(message), given)
        answer = connection.getresponse()
        return answer.status, answer.read()


def test_a_phone_goes_on_with_its_old_token_and_new_rows_find_free_numbers(
    moved: Target, store: Store
) -> None:
    phone = store.phone
    after = f"pull?after={phone['head']}&epoch={phone['epoch']}"
    processes = ("--processes", "2")
    with running(moved.data, "serve", *processes, DATABASE_URL=moved.url) as program:
        assert program.said().splitlines()[2:] == []
        assert ask(program.port, phone, "GET", after) == (204, b"")
        signed = ask(program.port, phone, "POST", "pin", {"person": "tobit", "pin": "7351"})
        assert (signed[0], json.loads(signed[1])["signed"]) == (200, "shop")
        photo = sha256(PHOTO).hexdigest()
        status, copy = ask(program.port, phone, "GET", f"file/{photo}")
        assert (status, copy[:2]) == (200, b"\xff\xd8")
        assert (moved.data / "shop" / "files" / photo[:2] / photo).read_bytes() == PHOTO
        line = event_lines(phone["device"], 3, "demo-handover")[2]
        chain = {"device": phone["device"], "from_seq": 3, "lines": [line]}
        status, said = ask(program.port, phone, "POST", "push", {"chains": [chain]})
        assert (status, json.loads(said)["answers"][0]["kept"]) == (200, [[3, 3]])
        status, lines = ask(program.port, phone, "GET", f"{after}&batches=demo-handover")
        assert (status, lines.decode().splitlines()[1:]) == (200, [line])
    beside(moved.data, NEW_ROWS, DATABASE_URL=moved.url, KETTLESIDE_SHOP="shop")
    assert moved.manage("verify").stdout.startswith("Whole: 1 shops,")


NEW_ROWS = """
from shop.store import access, batches, people, phones
from shop.demo.scenario import demo_sheet
from tests.store.scene import keep_photo, set_strokes
shop = access.only_shop()
joined = phones.join(code=phones.new_code(shop.id), address="new")
sheet = {**demo_sheet("demo-planned"), "batch": "later", "boil": {"letter": "Z", "pattern": "dot"}}
batches.open_batch(shop_id=shop.id, sheet=sheet, lead="greta")
keep_photo(access.access_token(joined.token), b"another")
set_strokes(shop.id, 120)
people.set_person(shop_id=shop.id, key="new", name="New", role="second hand")
phones.look_over(shop_id=shop.id, device=joined.device, found="whole", by="office")
answer = joined.device
"""


def test_a_second_shop_stands_beside_the_first_under_another_name(
    moved: Target, tmp_path: Path
) -> None:
    other = Store(tmp_path, beside(tmp_path, FILL_ANOTHER))
    refused = moved.manage("bring_in", other.folder)
    assert (refused.returncode, refused.stdout) == (1, "")
    assert "a shop 'demo' here already" in refused.stderr
    assert "--slug NEW" in refused.stderr
    done = moved.manage("bring_in", other.folder, "--slug", "loft")
    assert done.returncode == 0, done.stderr
    assert "'office' is taken here: that office user now signs in as 'office-loft'" in done.stdout
    assert moved.rows(LOG.format("loft")) == other.rows(LOG.format("demo"))
    assert moved.rows(PHONES.format("loft")) == other.rows(PHONES.format("demo"))
    follows = "SELECT settings ->> 'follows' FROM shop_shop WHERE slug = 'loft'"
    assert moved.rows(follows) == [("loft",)]
    desks = (
        "SELECT u.username, u.is_staff FROM shop_desk d JOIN auth_user u ON u.id = d.user_id "
        "JOIN shop_shop s ON s.id = d.shop_id WHERE s.slug = 'loft' ORDER BY u.username"
    )
    # Who ran a company of one does not run the company of both.
    assert moved.rows(desks) == [("office-loft", False), ("tobit", False)]
    assert moved.manage("verify").stdout.startswith("Whole: 2 shops,")
    again = moved.manage("bring_in", other.folder, "--slug", "third")
    assert "the store was brought in before" in " ".join(again.stderr.split())


def refused_by(target: Target, folder: Path, said: str) -> None:
    """Exit code 1, a sentence, and nothing that was not there before."""
    before = target.holds()
    done = target.manage("bring_in", folder, "--slug", "never")
    assert (done.returncode, done.stdout) == (1, "")
    assert said in " ".join(done.stderr.split()), done.stderr
    assert "Traceback" not in done.stderr
    assert target.holds() == before


@pytest.fixture(scope="module")
def empty(server: Server, tmp_path_factory: pytest.TempPathFactory) -> Target:
    """A PostgreSQL store with tables and nothing in them."""
    target = Target(tmp_path_factory.mktemp("empty"), server.create("empty"))
    assert target.manage("migrate", "--skip-checks").returncode == 0
    assert target.holds() == ([], [])
    return target


def test_a_broken_store_is_refused_by_its_first_broken_link(
    empty: Target, store: Store, tmp_path: Path
) -> None:
    lost = tmp_path / "lost"
    lost.mkdir()
    broken = copied(store, lost, "DROP TRIGGER shop_event_update")
    refused_by(empty, broken.folder, "First broken link: trigger shop_event_update")
    with closing(sqlite3.connect(broken.database)) as forged:
        forged.execute("UPDATE shop_event SET line = replace(line, '1', '2') WHERE position = 3")
        forged.execute(
            "CREATE TRIGGER shop_event_update BEFORE UPDATE ON shop_event "
            "BEGIN SELECT RAISE(ABORT, 'shop_event is append-only'); END"
        )
        forged.commit()
    refused_by(empty, broken.folder, "First broken link: demo: position 3")


def test_a_row_that_postgresql_refuses_leaves_nothing_not_even_a_photo(
    empty: Target, store: Store, tmp_path: Path
) -> None:
    """SQLite keeps a text of any length, PostgreSQL does not."""
    (tmp_path / "long").mkdir()
    long = "UPDATE shop_person SET name = printf('%200d', 1) WHERE key = 'maren'"
    refused_by(empty, copied(store, tmp_path / "long", long).folder, "PostgreSQL refused a row")


def test_what_can_not_be_brought_in_is_said_in_a_sentence(
    empty: Target, store: Store, tmp_path: Path
) -> None:
    refused_by(empty, store.data, "There is no kettleside.sqlite3 in")
    with closing(sqlite3.connect(store.database)) as idle:
        idle.execute("SELECT count(*) FROM shop_event").fetchone()
        refused_by(empty, store.folder, "Stop the server that runs on it first")
    done = manage(tmp_path / "embedded", "bring_in", str(store.folder))
    assert (done.returncode, done.stdout) == (1, "")
    assert "DATABASE_URL names no PostgreSQL" in done.stderr


def test_a_store_of_an_older_program_is_raised_as_a_copy_and_a_newer_one_refused(
    server: Server, empty: Target, store: Store, tmp_path: Path
) -> None:
    (tmp_path / "old").mkdir()
    old = copied(store, tmp_path / "old")
    manage(old.data, "migrate", "shop", "0003", KETTLESIDE_SHOP="demo")
    assert old.rows("SELECT name FROM sqlite_master WHERE name = 'shop_change'") == []
    before = old.database.read_bytes()
    target = Target(tmp_path / "target", server.create("raised"))
    done = target.manage("bring_in", old.folder)
    assert done.returncode == 0, done.stderr
    assert target.rows(LOG.format("demo")) == store.rows(LOG.format("demo"))
    assert old.database.read_bytes() == before
    (tmp_path / "new").mkdir()
    ahead = "INSERT INTO django_migrations VALUES (999, 'shop', '9999_later', '2031-01-01')"
    refused_by(empty, copied(store, tmp_path / "new", ahead).folder, "newer program (9999_later)")
