"""Twenty shops on one PostgreSQL behind two processes: none ever hears a word of another's."""

import asyncio
import json
import random
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from shop.plan.canonical import canonical
from tests.bench.wire import Link, Phone, phone_of
from tests.postgres import postgres_server
from tests.programs import beside, running
from tests.store.scene import START
from tests.sync.many import digest

SHOPS = 20
OPEN = "from tests.sync.many import open_shops\nanswer = open_shops({}, {})"
KEPT = "from tests.sync.many import kept\nanswer = kept()"


@dataclass
class Worker:
    """A phone at its shop, and how far it has heard of each phone there, itself included."""

    shop: str
    phone: Phone
    chance: random.Random
    heard: dict[str, int] = field(default_factory=dict)

    async def work(self, everybody_sent: asyncio.Barrier) -> None:
        """Push, ask, push … as it comes; once all have pushed, ask for what is left."""
        while self.phone.sent < len(self.phone.lines):
            await self.phone.push(self.chance.randint(1, 7))
            self._listen(await self.phone.poll())
        await everybody_sent.wait()
        self._listen(await self.phone.poll())
        await self.phone.link.close()

    def _listen(self, lines: list[str]) -> None:
        for event in map(json.loads, lines):
            if event["kind"] == "batch_opened":
                continue
            device, seq = event["device"], event["seq"]
            assert event["body"]["text"] == words(self.shop, device, seq)
            assert seq == self.heard.get(device, 0) + 1
            self.heard[device] = seq


def words(shop: str, device: str, seq: int) -> str:
    """The one thing by which the entries of two shops differ."""
    return f"{shop}: {device} says {seq}"


def entry(shop: str, device: str, seq: int) -> str:
    moment = START + seq * 1000
    event = {
        **{"device": device, "seq": seq, "v": 1, "kind": "note_written", "batch": "b1"},
        **{"by": "maren", "recorded": moment, "offset": 0, "bound": 5, "happened": moment},
        **{"known": "pressed", "within": 0, "hlc": [moment, 0]},
    }
    return canonical({**event, "body": {"text": words(shop, device, seq)}})


def workers_of(told: list[list[dict[str, Any]]], port: int, each: int) -> list[Worker]:
    chance = random.Random(20)
    made = []
    for phone in (phone for shop in told for phone in shop):
        one = phone_of(phone, Link(port))
        one.lines = [entry(phone["shop"], one.device, seq + 1) for seq in range(each)]
        made.append(Worker(phone["shop"], one, random.Random(chance.random())))
    return made


async def work(workers: list[Worker]) -> None:
    everybody_sent = asyncio.Barrier(len(workers))
    async with asyncio.TaskGroup() as day:
        for worker in workers:
            day.create_task(worker.work(everybody_sent))


@pytest.mark.parametrize(
    ("phones", "each"), [(2, 25), pytest.param(20, 250, marks=pytest.mark.long)]
)
def test_twenty_shops_with_the_same_ids_hear_only_of_themselves(
    tmp_path: Path, phones: int, each: int
) -> None:
    with postgres_server() as url:
        with running(tmp_path, "serve", "--processes", "2", DATABASE_URL=url) as program:
            told = beside(tmp_path, OPEN.format(SHOPS, phones), DATABASE_URL=url)
            workers = workers_of(told, program.port, each)
            asyncio.run(work(workers))
        kept = beside(tmp_path, KEPT, DATABASE_URL=url)
    for worker in workers:
        assert worker.heard == {phone["device"]: each for phone in told[0]}, worker.shop
        assert heading(worker.phone.header) == {worker.shop}
    for n in range(SHOPS):
        of_shop = [w.phone.lines for w in workers if w.shop == f"shop-{n}"]
        lines = [line for some in of_shop for line in some]
        whole = {"first": 1, "last": len(lines) + 1, "count": len(lines) + 1}
        assert kept[f"shop-{n}"] == {**whole, "phones": digest(lines)}


def heading(header: dict[str, Any]) -> set[str]:
    """Every shop that the head of a pull speaks of."""
    people = {person["name"].rpartition(" of ")[2] for person in header["shop"]["people"]}
    boils = {batch["title"] for batch in header["batches"]}
    return people | boils | {header["shop"]["id"]}
