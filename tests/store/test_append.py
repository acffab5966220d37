"""The one writer of events: kept once, never changed, never lost."""

import json
import random
from hashlib import sha256
from typing import Any

import pytest

from shop.models import Device
from shop.record.fold import fold
from shop.store import read, shops
from shop.store.access import access_batch, access_device, access_shop
from shop.store.append import office_event
from shop.store.batches import open_batch
from shop.store.errors import BadEvent, NotHere
from shop.store.shapes import Chain
from shop.store.sheets import sheet_of
from shop.store.verify import broken_links
from tests.store.scene import START, Loft, add_phone, sheet

FIVE_MINUTES = 300_000


def lines_of(loft: Loft, batch: str = "b1") -> list[str]:
    """What phones brought; the opening by the server itself left out."""
    lines = read.batch_lines(access_batch(loft.shop.id, batch))
    return [line for line in lines if '"batch_opened"' not in line]


def test_what_a_phone_brings_is_kept_as_the_very_text_it_made(loft: Loft) -> None:
    odd = loft.kettle.say(json.dumps(json.loads(loft.kettle.press()) | {"seq": 2}, indent=None))
    [answer] = loft.kettle.push()
    assert (answer.kept, answer.had, answer.aside, answer.expect) == ([[1, 2]], [], [], 3)
    assert lines_of(loft) == [loft.kettle.made[0], odd]


def test_the_same_again_is_had_and_changes_nothing(loft: Loft) -> None:
    loft.kettle.presses(3)
    loft.kettle.push()
    before = access_shop("loft")
    [answer] = loft.kettle.push()
    assert (answer.kept, answer.had, answer.expect) == ([], [[1, 3]], 4)
    assert access_shop("loft") == before


def test_after_a_gap_nothing_is_taken_and_the_missing_number_is_asked_for(loft: Loft) -> None:
    loft.kettle.presses(5)
    loft.kettle.push(loft.kettle.chain(1, 2))
    [answer] = loft.kettle.push(loft.kettle.chain(4))
    assert (answer.kept, answer.aside, answer.expect) == ([], [], 3)
    [answer] = loft.kettle.push(loft.kettle.chain(2))
    assert (answer.kept, answer.had) == ([[3, 5]], [[2, 2]])


def test_other_words_under_a_taken_number_are_a_fork_and_what_follows_flows_on(loft: Loft) -> None:
    loft.kettle.presses(3)
    loft.kettle.push()
    loft.kettle.made[1] = loft.kettle.made[1].replace('"add":1', '"add":7')
    loft.kettle.press()
    [answer] = loft.kettle.push()
    assert (answer.had, answer.kept) == ([[1, 1], [3, 3]], [[4, 4]])
    assert [(said.seq, said.reason) for said in answer.aside] == [(2, "fork")]
    assert "Number 2" in answer.aside[0].say
    assert ['"add":7' in aside.text for aside in read.asides(loft.shop.id)] == [True]
    assert list(broken_links()) == []


def test_a_fork_told_again_is_answered_again_and_stored_once(loft: Loft) -> None:
    loft.kettle.press()
    loft.kettle.push()
    loft.kettle.made[0] = loft.kettle.made[0].replace('"add":1', '"add":7')
    told = [loft.kettle.push()[0].aside for _ in range(3)]
    assert told[0] == told[1] == told[2]
    assert len(read.asides(loft.shop.id)) == 1


@pytest.mark.parametrize(
    ("poison", "reason", "words"),
    [
        ("{", "json", "not one whole JSON object"),
        ('{"a":' + "[" * 4000, "json", "not one whole JSON object"),
        ("[]", "envelope", "not list"),
        ("", "json", "not one whole JSON object"),
        ("x" * 9000, "long", "9000 characters; the limit is 8192"),
    ],
)
def test_one_poison_line_is_set_aside_and_the_rest_flows(
    loft: Loft, poison: str, reason: str, words: str
) -> None:
    loft.kettle.press()
    loft.kettle.say(poison)
    loft.kettle.press()
    [answer] = loft.kettle.push()
    assert (answer.kept, answer.expect) == ([[1, 1], [3, 3]], 4)
    assert [(said.seq, said.reason) for said in answer.aside] == [(2, reason)]
    assert words in answer.aside[0].say
    assert [aside.text for aside in read.asides(loft.shop.id)] == [poison]
    assert loft.kettle.push()[0].aside == answer.aside
    assert list(broken_links()) == []


@pytest.mark.parametrize(
    ("change", "reason", "words"),
    [
        ({"seq": -3}, "envelope", "`seq` is -3; it must be 1 or more"),
        ({"seq": 9}, "seq", "`seq` is 9 at place 1"),
        ({"device": "somebodyelse"}, "device", "somebodyelse"),
        ({"batch": "b9"}, "batch", 'Batch "b9" is not one of this shop'),
        ({"batch": "b\0 9"}, "batch", "is not one of this shop"),
        ({"batch": ["b1"]}, "envelope", "`batch` is"),
        ({"recorded": None}, "envelope", "`recorded` is null"),
        ({"recorded": 2**52}, "envelope", "must be a whole number"),
        ({"hlc": [1]}, "envelope", "`hlc` is [1]"),
        ({"nth": 0}, "envelope", "`nth` is 0; it must be 1 or more"),
        ({"body": []}, "envelope", "`body` is []"),
    ],
)
def test_a_malformed_event_is_named_with_its_value_and_takes_its_number(
    loft: Loft, change: dict[str, Any], reason: str, words: str
) -> None:
    loft.kettle.press(**change)
    loft.kettle.press()
    [answer] = loft.kettle.push()
    assert (answer.kept, answer.aside[0].reason) == ([[2, 2]], reason)
    assert words in answer.aside[0].say


@pytest.mark.parametrize("number", ["1.5", "1e3", "NaN", "Infinity", "-0.0"])
def test_a_number_that_is_not_whole_is_set_aside(loft: Loft, number: str) -> None:
    loft.kettle.say(
        loft.kettle.press().replace('"add":1', f'"add":{number}').replace('"seq":1', '"seq":2')
    )
    [answer] = loft.kettle.push()
    assert (answer.kept, answer.aside[0].reason) == ([[1, 1]], "number")
    assert number in answer.aside[0].say


@pytest.mark.parametrize("surrogate", ["\ud83c", "\\ud83c", "\udf6c\ud83c"])
def test_ill_formed_unicode_is_set_aside_byte_for_byte(loft: Loft, surrogate: str) -> None:
    """A lone surrogate is not Unicode text (Unicode 15, D75), raw or escaped (RFC 8259, 8.2)."""
    line = loft.kettle.press("note_written", {"text": "HERE"}).replace("HERE", surrogate)
    loft.kettle.made[0] = line
    loft.kettle.press()
    [answer] = loft.kettle.push(Chain(loft.kettle.device, 1, tuple(loft.kettle.made)))
    assert (answer.kept, answer.aside[0].reason) == ([[2, 2]], "text")
    assert list(broken_links()) == []


def test_the_head_of_a_device_is_what_a_browser_reckons_even_over_ill_formed_text(
    loft: Loft,
) -> None:
    """TextEncoder writes a lone surrogate as EF BF BD (WHATWG Encoding, UTF-8 encode)."""
    line = loft.kettle.say('{"text":"\ud83c"}')
    loft.kettle.push(Chain(loft.kettle.device, 1, (line,)))
    expected = sha256(b'{"text":"\xef\xbf\xbd"}').hexdigest()
    assert Device.objects.get(key=loft.kettle.device).head_hash == expected


def test_a_line_with_a_break_in_it_would_be_two_lines_of_a_pull(loft: Loft) -> None:
    loft.kettle.made[:] = [loft.kettle.press().replace('{"batch"', '{\n"batch"')]
    [answer] = loft.kettle.push()
    assert (answer.kept, answer.aside[0].reason) == ([], "line")


def test_an_unknown_kind_and_a_newer_version_are_kept(loft: Loft) -> None:
    loft.kettle.press("told_the_moon", {"x": 1})
    loft.kettle.press(v=2)
    [answer] = loft.kettle.push()
    assert (answer.kept, answer.aside, answer.unfiled) == ([[1, 2]], [], [])
    state = read.batch_state(access_batch(loft.shop.id, "b1"))
    assert state["unread"] == [f"{loft.kettle.device}:1", f"{loft.kettle.device}:2"]


@pytest.mark.parametrize(
    ("kind", "more", "body", "code", "words"),
    [
        ("step_done", {"step": "stir"}, {}, "step", "Step stir is not on the sheet of b1"),
        ("reading_taken", {}, {"n": 1490, "unit": "degC"}, "high", "200000 m°C"),
        ("reading_taken", {}, {"n": 1490, "unit": "degX"}, "unit", "units are degC, degF"),
        ("reading_taken", {}, {"n": 304, "unit": "degC"}, "high", "304/1 degC is over"),
        ("reading_taken", {}, {"n": -3, "unit": "kg", "what": "poured"}, "low", "-3/1 kg is under"),
        ("reading_taken", {}, {"n": 3, "what": "poured"}, "body", "The body of reading_taken"),
    ],
)
def test_what_the_sheet_has_no_place_for_is_kept_and_said(
    loft: Loft, kind: str, more: dict[str, Any], body: dict[str, Any], code: str, words: str
) -> None:
    plain = {"what": "peak", "d": 1, "instrument": "t1", "how": "inside"}
    loft.kettle.press(kind, {**plain, **body} if kind == "reading_taken" else body, **more)
    [answer] = loft.kettle.push()
    assert (answer.kept, answer.aside) == ([[1, 1]], [])
    assert [(said.seq, said.reason) for said in answer.unfiled] == [(1, code)]
    assert words in answer.unfiled[0].say
    state = read.batch_state(access_batch(loft.shop.id, "b1"))
    assert state["unfiled"] == [{"ref": f"{loft.kettle.device}:1", "reason": code}]


def test_a_phone_carries_anothers_events_and_that_is_remembered(loft: Loft) -> None:
    loft.table.presses(2)
    [answer] = loft.kettle.push(loft.table.chain())
    assert answer.kept == [[1, 2]]
    batch = access_batch(loft.shop.id, "b1")
    carried = read.batch_carried(batch)
    assert carried == {f"{loft.table.device}:{seq}": loft.kettle.device for seq in (1, 2)}
    [answer] = loft.table.push()
    assert answer.had == [[1, 2]]


def test_the_chain_of_a_device_nobody_added_is_set_aside_whole(loft: Loft) -> None:
    stranger = Chain("stranger1", 1, ("{}", "half"))
    [answer] = loft.kettle.push(stranger)
    assert (answer.kept, answer.expect) == ([], 3)
    assert [said.reason for said in answer.aside] == ["device", "device"]
    assert "stranger1 is not known" in answer.aside[0].say
    loft.kettle.push(stranger)
    assert len(read.asides(loft.shop.id)) == 2


def test_a_phone_may_hand_back_the_servers_acts_and_never_make_one(loft: Loft) -> None:
    [opened] = read.batch_lines(access_batch(loft.shop.id, "b1"))
    server = json.loads(opened)["device"]
    invented = opened.replace('"seq":1', '"seq":2')
    [answer] = loft.kettle.push(Chain(server, 1, (opened, invented)))
    assert (answer.had, answer.kept, answer.expect) == ([[1, 1]], [], 2)
    assert [(said.seq, said.reason) for said in answer.aside] == [(2, "device")]


def test_after_a_restore_the_old_servers_acts_come_back_from_the_phones(loft: Loft) -> None:
    [opened] = read.batch_lines(access_batch(loft.shop.id, "b1"))
    before = access_shop("loft")
    after = shops.renew_epoch(shop_id=loft.shop.id)
    assert after.epoch != before.epoch
    lost = json.loads(opened) | {"seq": 2, "kind": "note_written", "body": {"text": "lost"}}
    [answer] = loft.kettle.push(Chain(lost["device"], 1, (opened, json.dumps(lost))))
    assert (answer.had, answer.kept) == ([[1, 1]], [[2, 2]])
    own = office_event(shop_id=loft.shop.id, batch="b1", kind="note_written", body={"text": "on"})
    assert (own["device"] != lost["device"], own["seq"]) == (True, 1)


def test_an_event_far_ahead_of_its_receipt_is_kept_flagged_and_moves_no_clock(loft: Loft) -> None:
    loft.kettle.press(hlc=[START + FIVE_MINUTES, 0])
    loft.kettle.press(hlc=[START + FIVE_MINUTES + 1, 0])
    [answer] = loft.kettle.push(received=START)
    assert answer.kept == [[1, 2]]
    ahead = read.batch_ahead(access_batch(loft.shop.id, "b1"))
    assert ahead == {f"{loft.kettle.device}:2": FIVE_MINUTES + 1}


def test_an_act_of_the_office_comes_after_all_the_server_has_seen(loft: Loft) -> None:
    first = office_event(shop_id=loft.shop.id, batch="b1", kind="note_written", body={"text": "a"})
    loft.kettle.press(hlc=[first["hlc"][0] + 90_000, 4])
    loft.kettle.push()
    then = office_event(shop_id=loft.shop.id, batch="b1", kind="note_written", body={"text": "b"})
    assert then["hlc"] == [first["hlc"][0] + 90_000, 5]
    assert (first["seq"], then["seq"]) == (2, 3)


@pytest.mark.parametrize(
    ("kind", "body", "words"),
    [
        ("note_written", {}, "The body of note_written"),
        ("note_written", {"text": 1.5}, "1.5"),
        ("note_written", {"text": "\ud83c"}, "Ill-formed Unicode"),
        ("step_done", {}, "Step"),
        ("note_written", {"text": "x" * 9000}, "the limit is 8192"),
    ],
)
def test_the_office_can_write_nothing_a_phone_could_not(
    loft: Loft, kind: str, body: dict[str, Any], words: str
) -> None:
    before = access_shop("loft")
    with pytest.raises(BadEvent, match=words):
        office_event(shop_id=loft.shop.id, batch="b1", kind=kind, body=body)
    with pytest.raises(NotHere, match="no batch 'b9'"):
        office_event(shop_id=loft.shop.id, batch="b9", kind="batch_closed", body={})
    assert access_shop("loft") == before


def test_any_order_any_copies_and_any_carrier_give_the_same_log_and_state(loft: Loft) -> None:
    """Three phones, 60 events each, brought in random pieces by random phones, many twice."""
    chance = random.Random(20261125)
    crew = [loft.kettle, loft.table, add_phone(loft.shop)]
    for phone in crew:
        for _ in range(60):
            phone.press(*chance.choice(PRESSES), step=chance.choice(["light", "off", "tub"]))
    for _ in range(400):
        start = chance.randrange(1, 61)
        piece = chance.choice(crew).chain(start, start + chance.randrange(1, 20))
        chance.choice(crew).push(piece)
    for phone in crew:
        chance.choice(crew).push(phone.chain())
    made = [line for phone in crew for line in phone.made]
    assert sorted(lines_of(loft)) == sorted(made)
    batch = access_batch(loft.shop.id, "b1")
    [opened] = [e for e in read.batch_events(batch) if e["kind"] == "batch_opened"]
    shuffled = [opened, *(json.loads(line) for line in made)]
    chance.shuffle(shuffled)
    assert read.batch_state(batch) == fold(sheet_of(loft.shop.id, batch.sheet), shuffled)
    assert list(broken_links()) == []
    assert {access_device(loft.shop.id, phone.device).entries for phone in crew} == {60}


PRESSES: list[tuple[str, dict[str, Any]]] = [
    ("step_done", {}),
    ("tally_counted", {"what": "rods", "add": 1}),
    ("note_written", {"text": "ﬀ 🍬"}),
    ("told_the_moon", {"x": 1}),
]


def test_a_closed_batch_is_closed_at_once_and_reopens_when_the_closing_is_struck(
    loft: Loft,
) -> None:
    loft.kettle.press("batch_closed", {})
    loft.kettle.push()
    assert access_batch(loft.shop.id, "b1").phase == "closed"
    loft.kettle.press("struck", {"target": f"{loft.kettle.device}:1", "reason": "too early"})
    loft.kettle.push()
    assert access_batch(loft.shop.id, "b1").phase == "open"


def test_two_boils_in_one_push_each_get_their_own(loft: Loft) -> None:
    open_batch(shop_id=loft.shop.id, sheet=sheet("b2", "B"), lead="tobit")
    loft.kettle.press()
    loft.kettle.press(batch="b2")
    loft.kettle.push()
    assert lines_of(loft) == [loft.kettle.made[0]]
    assert lines_of(loft, "b2") == [loft.kettle.made[1]]


def test_a_restored_shop_holds_the_place_of_what_nobody_brought_and_fills_it_later(
    loft: Loft,
) -> None:
    """An old server's entry 2 went to a phone that comes last; its entry 3 must not wait for it."""
    [opened] = read.batch_lines(access_batch(loft.shop.id, "b1"))
    second, third = (
        json.dumps(
            json.loads(opened) | {"seq": n, "kind": "note_written", "body": {"text": str(n)}}
        )
        for n in (2, 3)
    )
    server = json.loads(opened)["device"]
    [answer] = loft.kettle.push(Chain(server, 3, (third,)))
    assert (answer.kept, answer.expect) == ([], 2)
    shops.renew_epoch(shop_id=loft.shop.id)
    [answer] = loft.kettle.push(Chain(server, 3, (third,)))
    assert (answer.kept, answer.expect) == ([[3, 3]], 4)
    assert [(a.seq, a.reason) for a in read.asides(loft.shop.id)] == [(2, "lost")]
    [answer] = loft.table.push(Chain(server, 2, (second, third)))
    assert (answer.kept, answer.had) == ([[2, 2]], [[3, 3]])
    [answer] = loft.table.push(Chain(server, 2, (second, third)))
    assert answer.had == [[2, 3]]
    notes = read.batch_state(access_batch(loft.shop.id, "b1"))["notes"]
    assert sorted(note["text"] for note in notes) == ["2", "3"]
    assert list(broken_links()) == []


def test_no_places_are_held_for_the_server_itself_nor_for_a_hole_without_end(loft: Loft) -> None:
    shops.renew_epoch(shop_id=loft.shop.id)
    own = Device.objects.get(is_server=True).key
    for device in (own, loft.table.device):
        [answer] = loft.kettle.push(Chain(device, 2**50, ("{}",)))
        assert (answer.kept, answer.aside, answer.expect) == ([], [], 1)
    assert read.asides(loft.shop.id) == []
