"""Many phones, in a process of their own, so that what they spend is not the server's.

Standard input: a line that says who they are, then a line for each thing to do. Standard output:
`ready`, then a line of figures for each. Any answer that is not what a phone expects ends it all.
"""

import asyncio
import json
import random
import ssl
import sys
import time
from collections.abc import Awaitable, Callable
from typing import Any

from tests.bench.shop import event_lines
from tests.bench.wire import Link, Phone, phone_of

SEED = 1
Took = dict[str, list[float]]


async def live(
    phones: list[Phone], *, seconds: float, every: float, push_every: float
) -> dict[str, Any]:
    """Each asks every `every` s and presses every `push_every` s; at which moment is chance.

    `took` [ms] counts from when the request was due, however late it could be sent.
    """
    chance, took, begin = random.Random(SEED), Took(poll=[], push=[]), time.perf_counter()
    turns = round(push_every / every)
    lives = [
        _one(phone, begin + chance.random() * every, begin + seconds, every, chance, turns, took)
        for phone in phones
    ]
    await asyncio.gather(*lives)
    return {"took": took}


async def _one(
    phone: Phone,
    due: float,
    end: float,
    every: float,
    chance: random.Random,
    turns: int,
    took: Took,
) -> None:
    turn = chance.randrange(turns)
    while due < end:
        await asyncio.sleep(due - time.perf_counter())
        start = due
        # As on a phone: what it made goes first, then it asks.
        if turn % turns == 0:
            start = await _timed(took["push"], start, phone.push)
        await _timed(took["poll"], start, phone.poll)
        turn, due = turn + 1, due + every


async def _timed(into: list[float], start: float, work: Callable[[], Awaitable[object]]) -> float:
    await work()
    end = time.perf_counter()
    into.append((end - start) * 1000)
    return end


async def rush(phones: list[Phone], *, seconds: float) -> dict[str, Any]:
    """Each sends press after press, the next as soon as the last is kept."""
    begin = time.perf_counter()

    async def press(phone: Phone) -> int:
        before = phone.sent
        while time.perf_counter() < begin + seconds:
            await phone.push()
        return phone.sent - before

    done = await asyncio.gather(*map(press, phones))
    return {"pushes": sum(done), "seconds": time.perf_counter() - begin}


async def in_turn(phones: list[Phone], *, kind: str, times: int) -> dict[str, Any]:
    """One request at a time, the phones by turns; `news` asks for the newest event again."""
    for n in range(times):
        phone = phones[n % len(phones)]
        if kind == "push":
            await phone.push()
            continue
        if kind == "news":
            phone.cursor -= 1
        came = len(await phone.poll())
        if not phone.bare and came != (kind == "news"):
            raise RuntimeError(f"{came} lines came at a poll for {kind}")
    return {}


async def settle(phones: list[Phone]) -> dict[str, Any]:
    """Everybody asks once."""
    await asyncio.gather(*(phone.poll() for phone in phones))
    return {}


DO: dict[str, Callable[..., Awaitable[dict[str, Any]]]] = {
    "live": live,
    "rush": rush,
    "in_turn": in_turn,
    "settle": settle,
}


async def main() -> None:
    said = json.loads(sys.stdin.readline())
    trust = ssl.create_default_context(cafile=said["root"]) if said["root"] else None
    phones = []
    for told in said["phones"]:
        phones.append(phone_of(told, Link(said["port"], trust), bare=said["bare"]))
        phones[-1].lines = event_lines(told["device"], said["lines"], told["batch"])
        phones[-1].press(phones[-1].lines[: told.get("sent", 0)])
    await settle(phones)
    print("ready", flush=True)
    # Nothing else is to run while it waits, so the wait may hold the loop up.
    for line in iter(sys.stdin.readline, ""):
        command = json.loads(line)
        found = await DO[command.pop("do")](phones, **command)
        print(json.dumps({**found, "news": sum(p.news for p in phones)}), flush=True)
    for phone in phones:
        await phone.link.close()


if __name__ == "__main__":
    asyncio.run(main())
