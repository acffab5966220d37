"""Any schedule of presses, lost and doubled requests, crashes, wipes, wrong clocks, restores and
newer apps ends, after quiet, with the same boil on every phone and nothing lost that can be had."""

import json
import os
from copy import deepcopy
from typing import Any, ClassVar

import pytest
from django.db import connection
from hypothesis import HealthCheck, Phase, seed, settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from shop.models import Event
from shop.record.fold import fold
from shop.store import batches, read, shops
from shop.store.access import access_batch
from shop.store.append import office_event
from shop.store.sheets import sheet_of
from shop.store.verify import broken_links
from tests.store.scene import sheet
from tests.sync import moments
from tests.sync.crew import Network, Phone
from tests.sync.morning import Morning, a_morning

YEAR_MS = 365 * 24 * 3_600_000
FAULTS = ["", "", "drop request", "drop answer", "twice", "late"]
PRESSES: list[tuple[str, dict[str, Any], dict[str, Any]]] = [
    ("step_done", {}, {"step": "light"}),
    ("step_done", {}, {"step": "off"}),
    ("step_undone", {"reason": "too early"}, {"step": "off"}),
    ("tally_counted", {"what": "rods", "add": 1}, {}),
    ("note_written", {"text": "sag"}, {}),
    (
        "reading_taken",
        {"what": "peak", "n": 1523, "d": 10, "unit": "degC", "instrument": "t1", "how": "inside"},
        {},
    ),
    # From an app that is newer than this server.
    ("hummed", {"tune": 3}, {"v": 2}),
]
which = st.integers(0, 2)


class Floor(RuleBasedStateMachine):
    """Three phones, the office, a server that is sometimes put back to an older backup."""

    morning: ClassVar[Morning]

    @initialize()
    def begin(self) -> None:
        moments.put_back(self.morning.moment)
        self.shop = self.morning.shop
        self.network = Network(self.morning.client)
        self.phones = [deepcopy(phone) for phone in self.morning.phones]
        for phone in self.phones:
            phone.network = self.network
        self.now, self.planned = 1_795_000_000_000, 2
        self.must: set[str] = set()
        self.backup: moments.Moment | None = None

    @rule(i=which, press=st.sampled_from(PRESSES), batch=st.sampled_from(["b1", "b2"]))
    def press(self, i: int, press: Any, batch: str) -> None:
        kind, body, place = press
        self.now += 1000
        self.phones[i].write(self.now, batch, kind, body, **place)

    @rule(i=which, fault=st.sampled_from(FAULTS))
    def exchange(self, i: int, fault: str) -> None:
        self.network.fault = fault
        self.phones[i].exchange()
        self._note_acked()

    @rule(i=which, j=which)
    def relay(self, i: int, j: int) -> None:
        if i != j:
            self.phones[i].relay(self.phones[j])

    @precondition(lambda self: self.network.late)
    @rule(n=st.integers(0, 9))
    def an_old_request_arrives(self, n: int) -> None:
        self.network.deliver(n)

    @rule(i=which, years=st.sampled_from([-5, -1, 0, 0, 1, 5]), ms=st.integers(-90_000, 90_000))
    def set_a_clock(self, i: int, years: int, ms: int) -> None:
        self.phones[i].clock = years * YEAR_MS + ms

    @rule(batch=st.sampled_from(["b1", "b2"]))
    def the_office_writes(self, batch: str) -> None:
        body = {"text": f"from the office {self.now}"}
        office_event(shop_id=self.shop.id, batch=batch, kind="note_written", body=body)

    @rule(batch=st.sampled_from(["b1", "b2"]))
    def the_office_closes_a_boil_or_goes_on_with_it(self, batch: str) -> None:
        info = access_batch(self.shop.id, batch)
        if info.phase == "open":
            office_event(shop_id=self.shop.id, batch=batch, kind="batch_closed", body={})
            return
        closed = [e for e in read.batch_events(info) if e["kind"] == "batch_closed"]
        for event in closed:
            target = f"{event['device']}:{event['seq']}"
            body = {"target": target, "reason": "it goes on"}
            office_event(shop_id=self.shop.id, batch=batch, kind="struck", body=body)

    @precondition(lambda self: self.planned < 5)
    @rule()
    def the_office_opens_another_boil(self) -> None:
        self.planned += 1
        letter = "ABCDEFGH"[self.planned]
        made = sheet(f"b{self.planned}", letter)
        batches.open_batch(shop_id=self.shop.id, sheet=made, lead="maren")

    @rule(i=which)
    def a_phone_is_wiped(self, i: int) -> None:
        """Its canary tells: it starts again as another device."""
        self.phones[i] = Phone(self.network, self.shop.id)
        self.phones[i].join()
        self._only_what_can_be_had()

    @rule(i=which)
    def a_phone_starts_again(self, i: int) -> None:
        """A crash: what was on the disk is all there is."""
        phone = self.phones[i]
        phone.last = json.loads(phone.own[max(phone.own)])["hlc"] if phone.own else [0, 0]

    @rule()
    def a_backup_is_taken(self) -> None:
        self._drop_backup()
        self.backup = moments.taken()

    @precondition(lambda self: self.backup is not None)
    @rule()
    def the_server_is_restored(self) -> None:
        assert self.backup is not None
        moments.put_back(self.backup)
        shops.renew_epoch(shop_id=self.shop.id)
        self._only_what_can_be_had()

    @invariant()
    def positions_have_no_gap(self) -> None:
        if hasattr(self, "shop"):
            held = list(Event.objects.order_by("position").values_list("position", flat=True))
            assert held == list(range(1, len(held) + 1))

    def teardown(self) -> None:
        """Quiet: no faults any more, and everybody exchanges until nothing is new."""
        if not hasattr(self, "phones"):
            return
        self._drop_backup()
        while self.network.late:
            self.network.deliver(0)
        for _ in range(3):
            for phone in self.phones:
                if not phone.exchange():
                    phone.join()
                    assert phone.exchange()
        self._check_nothing_lost()
        self._check_all_alike()

    def _check_nothing_lost(self) -> None:
        """Nothing acknowledged is lost, nothing is there twice, chains and projections hold."""
        stored = list(Event.objects.values_list("line", flat=True))
        assert len(stored) == len(set(stored))
        assert self.must <= set(stored)
        for phone in self.phones:
            assert set(phone.own.values()) <= set(stored)
        aside = [(a.reason, a.say, a.text) for a in read.asides(self.shop.id)]
        # Places held for what only the old server and no phone had seen.
        assert [found for found in aside if found[0] != "lost"] == []
        broken = [found for found in broken_links() if found.where != "setting synchronous"]
        assert broken == []

    def _check_all_alike(self) -> None:
        for info in batches.batches(self.shop.id, "open"):
            batch = access_batch(self.shop.id, info.key)
            state = read.batch_state(batch)
            for phone in self.phones:
                events = [json.loads(line) for line in phone.lines()]
                here = [event for event in events if event["batch"] == batch.key]
                assert fold(sheet_of(self.shop.id, batch.sheet), here) == state

    def _note_acked(self) -> None:
        for phone in self.phones:
            self.must |= {phone.own[seq] for seq in phone.acked if seq in phone.own}

    def _only_what_can_be_had(self) -> None:
        """What was acknowledged before, is gone from the server and is on no phone that is left."""
        there = set(Event.objects.values_list("line", flat=True))
        held = set().union(*(phone.lines() for phone in self.phones))
        self.must &= there | held

    def _drop_backup(self) -> None:
        if self.backup is not None:
            moments.let_go(self.backup)


def hunt(examples: int, number: int, *, shrink: bool = False) -> None:
    """So many schedules, from a seed."""
    print(f"seed {number}")
    # Nothing here asks what a power cut leaves, and waiting for the disk is half the time.
    moments.need_no_disk()
    Floor.morning = a_morning()
    how = settings(
        max_examples=examples,
        stateful_step_count=30,
        deadline=None,
        suppress_health_check=list(HealthCheck),
        print_blob=True,
        phases=[Phase.generate, Phase.shrink] if shrink else [Phase.generate],
    )
    try:
        run_state_machine_as_test(seed(number)(Floor), settings=how)
    finally:
        moments.let_go(Floor.morning.moment)


def a_seed() -> int:
    """Another one every time, unless one is asked for."""
    return int(os.environ.get("SCHEDULES_SEED", int.from_bytes(os.urandom(4), "big")))


# PostgreSQL is asked for fewer: a schedule takes twice as long on it.
SOME, MANY = {"sqlite": (200, 2000), "postgresql": (25, 250)}[connection.vendor]


@pytest.mark.usefixtures("empty_store")
def test_some_schedules() -> None:
    hunt(SOME, a_seed())


@pytest.mark.long
@pytest.mark.usefixtures("empty_store")
def test_many_schedules() -> None:
    hunt(MANY, a_seed(), shrink=True)
