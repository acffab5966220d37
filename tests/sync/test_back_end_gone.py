"""PostgreSQL ends every connection, as a restart does: no phone hears of it."""

import asyncio
from pathlib import Path

import psycopg

from tests.bench.wire import Link, Phone, phone_of
from tests.postgres import postgres_server
from tests.programs import beside, running
from tests.sync.test_many_shops import OPEN, entry

END_ALL = """
SELECT count(pg_terminate_backend(pid)) FROM pg_stat_activity
 WHERE pid <> pg_backend_pid() AND backend_type = 'client backend'
"""


def end_connections(url: str) -> int:
    """How many there were."""
    with psycopg.connect(url) as db:
        row = db.execute(END_ALL).fetchone()
        assert row is not None
        return int(row[0])


async def work(phones: list[Phone], url: str) -> list[int]:
    """Each pushes and asks, with all connections ended in between; how many were each time."""
    ended = []
    for _ in range(3):
        for phone in phones:
            await phone.push()
            await phone.poll()
        ended.append(end_connections(url))
    for phone in phones:
        await phone.push()
        await phone.link.close()
    return ended


def test_the_first_request_after_a_back_end_died_is_answered_as_ever(tmp_path: Path) -> None:
    with (
        postgres_server() as url,
        running(tmp_path, "serve", "--processes", "2", DATABASE_URL=url) as program,
    ):
        [told] = beside(tmp_path, OPEN.format(1, 8), DATABASE_URL=url)
        phones = [phone_of(phone, Link(program.port)) for phone in told]
        for phone in phones:
            phone.lines = [entry("shop-0", phone.device, seq) for seq in range(1, 5)]
        ended = asyncio.run(work(phones, url))
    assert all(ended)
    assert [phone.sent for phone in phones] == [4] * 8
