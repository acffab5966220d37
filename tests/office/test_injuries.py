"""Injuries and near misses at the desk: read by few, erased for good, and shown nowhere else."""

from datetime import UTC, datetime

import pytest
from django.test import Client

from shop.store import changes, incidents
from shop.store.backup import KEEP_DAYS, KEEP_MONTHS, is_embedded
from shop.store.batches import batches
from shop.store.shapes import ShopInfo
from tests.office.conftest import user_of

PAGE, GONE = "/office/injuries/", 404
# No other word on any page holds it.
WORD = "zyzzyva-blister"
NOON = round(datetime(2026, 11, 25, 12, tzinfo=UTC).timestamp() * 1000)


@pytest.fixture
def owner(demo: ShopInfo) -> Client:
    """Who runs the company's office."""
    client = Client()
    client.force_login(user_of("owner", demo, runs_the_company=True))
    return client


@pytest.fixture
def told(demo: ShopInfo) -> str:
    return incidents.tell(shop_id=demo.id, kind="injury", happened=NOON, text=f"A {WORD}.")


def test_only_who_runs_the_office_or_was_let_in_sees_that_there_is_such_a_page(
    owner: Client, demo: ShopInfo, told: str, outsider: Client
) -> None:
    page = owner.get(PAGE)
    assert WORD in page.content.decode()
    assert page.headers["Cache-Control"] == "no-store"
    other = Client()
    other.force_login(user_of("desk", demo))
    assert other.get(PAGE).status_code == GONE
    assert PAGE not in other.get("/office/").content.decode()
    owner.post(f"{PAGE}readers/", {"user": "desk", "reads": "yes"})
    assert WORD in other.get(PAGE).content.decode()
    assert PAGE in other.get("/office/").content.decode()
    assert other.post(f"{PAGE}readers/", {"user": "desk", "reads": "no"}).status_code == GONE
    owner.post(f"{PAGE}readers/", {"user": "desk", "reads": "no"})
    assert other.get(PAGE).status_code == GONE
    for path in (PAGE, f"{PAGE}erase/", f"{PAGE}readers/"):
        assert outsider.post(path, {"note": told}).status_code == 302
    noted = [(c.about, c.before, c.after) for c in changes.changes(demo.id, most=9)]
    assert ("user desk", "may not", "may") in noted
    assert ("user desk", "may", "may not") in noted


def test_a_note_is_written_once_and_erased_for_good(owner: Client, demo: ShopInfo) -> None:
    form = {"kind": "near miss", "happened": "2026-11-25T11:26", "text": WORD, "key": "a" * 32}
    for _ in range(2):
        owner.post(PAGE, form)
    [note] = incidents.incidents(demo.id)
    assert (note.kind, note.by, note.text) == ("near miss", "owner", WORD)
    assert "25 Nov 2026, 11:26:00" in owner.get(PAGE).content.decode()
    owner.post(f"{PAGE}erase/", {"note": note.key})
    assert incidents.incidents(demo.id) == []
    change = changes.changes(demo.id, most=1)[0]
    assert (change.by, change.what) == ("owner", "note of 25 Nov 2026")
    assert (change.before, change.after) == ("kept", "erased")
    said = owner.get("/office/changes/").content.decode()
    assert "note of 25 Nov 2026" in said
    assert "near miss" not in said
    assert WORD not in said
    assert owner.post(f"{PAGE}erase/", {"note": note.key}).status_code == GONE


@pytest.mark.parametrize(
    ("wrong", "said"),
    [
        ({"kind": "gossip"}, "Select a valid choice"),
        ({"text": ""}, "This field is required"),
        ({"text": "x" * 2001}, "at most 2000 characters"),
        ({"happened": "2999-01-01T00:00"}, "is yet to come"),
    ],
)
def test_what_is_no_note_is_refused(
    owner: Client, demo: ShopInfo, wrong: dict[str, str], said: str
) -> None:
    form = {"kind": "injury", "happened": "2026-11-25T11:26", "text": WORD, "key": "b", **wrong}
    assert said in owner.post(PAGE, form).content.decode()
    assert incidents.incidents(demo.id) == []


def test_the_page_says_how_long_backups_hold_it_and_where_the_law_is(owner: Client) -> None:
    page = owner.get(PAGE).content.decode()
    assert "are your local authority’s: this is neither" in page
    wanted = f"the newest of each of the last {KEEP_DAYS} days and {KEEP_MONTHS} months"
    assert (wanted if is_embedded() else "until vacuum has freed the place") in page


def test_no_other_page_record_or_export_shows_it(
    owner: Client, lead: Client, demo: ShopInfo, told: str
) -> None:
    paths = ["", "live/", "plan/", "phones/", "phones/breakables/", "people/", "people/odo/"]
    paths += ["people/odo/ladder/", "numbers/", "changes/", "site/", "shops/"]
    for batch in batches(demo.id):
        ends = ("", "sheet/", "paper/", "live/", "record.json", "record.csv")
        paths += [f"batch/{batch.key}/{end}" for end in ends]
    for desk in (owner, lead):
        for path in paths:
            answer = desk.get(f"/office/{path}")
            assert answer.status_code == 200, path
            assert WORD not in answer.content.decode(), path


def test_another_shops_notes_are_not_read_here(owner: Client, demo: ShopInfo, told: str) -> None:
    stranger = Client()
    stranger.force_login(user_of("stranger", runs_the_company=True))
    assert stranger.get(PAGE).status_code == 403
