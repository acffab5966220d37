"""The server killed again and again while phones write: what it acknowledged is there."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.bench.exchange import push_up
from tests.bench.shop import add_phone, event_lines
from tests.launch.writers import Writer, acknowledged, end, wait_for_more
from tests.phone.conftest import stored
from tests.programs import free_port, manage, running


@pytest.mark.parametrize("times", [3, pytest.param(200, marks=pytest.mark.long)])
def test_killed_under_writing_load_the_server_lost_nothing_it_acknowledged(
    tmp_path: Path, times: int
) -> None:
    data, port = tmp_path / "data", free_port()
    writers: list[Writer] = []
    for _ in range(times):
        with running(data, "demo", port=port) as program:
            if not writers:
                writers = [Writer(port, add_phone(data)) for _ in range(2)]
                for writer in writers:
                    writer.start()
                wait_for_more(writers)
                # Looked over while they write: one moment of the store, not several.
                assert manage(data, "verify", KETTLESIDE_SHOP="demo").stdout.startswith("Whole")
            wait_for_more(writers)
            program.process.kill()
    end(writers)
    there, told = stored(data), acknowledged(writers)
    print(f"{times} kills, {len(told)} acknowledged")
    assert set(told) - there == set()
    assert manage(data, "verify", KETTLESIDE_SHOP="demo").stdout.startswith("Whole")


@pytest.mark.long
def test_a_million_events_through_the_exchange(tmp_path: Path) -> None:
    data, each, phones = tmp_path / "data", 100_000, 10
    with running(data, "demo") as program:
        before = len(stored(data))
        for _ in range(phones):
            phone = add_phone(data)
            push_up(program.port, phone, event_lines(phone["device"], each))
    assert len(stored(data)) == before + each * phones
