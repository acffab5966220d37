"""`bench --peer`: the same 10,000 events through a general-purpose sync engine of the npm registry.

The peer is a document database with its own replication over HTTP, a server and two clients on
disk, as it comes. It does more than we do (any document, conflicts of any kind) and nothing of
what we do besides (chains, checks against a sheet): the ratio says what that generality costs.
"""

import json
import os
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from tests.bench.counting import counting
from tests.bench.exchange import EVENTS
from tests.bench.rows import Row
from tests.bench.shop import event_lines
from tests.programs import free_port, wait_until

ENGINE = Path(__file__).parent / "peer_engine"
PACKAGES = ["express@4.22.3", "pouchdb@9.0.0", "express-pouchdb@4.2.0"]
# Times faster, and times fewer bytes each way together.
FASTER = 3.0


def measure_peer(ours: list[Row]) -> list[Row]:
    """Ratios of the peer's figures to ours of the same run."""
    mine = {row.name: row.value for row in ours}
    with tempfile.TemporaryDirectory() as folder:
        up, down, sent = _measure(Path(folder))
    my_up, my_down = mine["exchange_10k_up_seconds"], mine["exchange_10k_down_seconds"]
    my_bytes = (mine["bytes_per_event_up"] + mine["bytes_per_event_down"]) * EVENTS
    return [
        Row("peer_up_ratio", round(up / my_up, 1), "x", least=FASTER),
        Row("peer_down_ratio", round(down / my_down, 1), "x", least=FASTER),
        Row("peer_bytes_ratio", round(sent / my_bytes, 1), "x", least=1.0),
    ]


def _measure(folder: Path) -> tuple[float, float, int]:
    """Seconds up and down, bytes both ways."""
    events = folder / "events.jsonl"
    events.write_text("\n".join(event_lines("peer0001", EVENTS)))
    environment = {**os.environ, "PEER_MODULES": str(_installed())}
    (folder / "server").mkdir()
    with _server(folder / "server", environment) as port, counting(port) as count:
        url = f"http://127.0.0.1:{count.port}/events"
        client = subprocess.Popen(
            ["node", str(ENGINE / "client.cjs"), url, str(events), str(folder)],
            env=environment,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        with client:
            assert client.stdout is not None
            up = json.loads(client.stdout.readline())["up"]
            down = json.loads(client.communicate("\n")[0])["down"]
        return up, down, count.bytes_up + count.bytes_down


def _installed() -> Path:
    """Its packages, in this user's cache; installed at the first run."""
    modules = Path.home() / ".cache" / "kettleside-peer"
    if not (modules / "node_modules" / "express-pouchdb").exists():
        modules.mkdir(parents=True, exist_ok=True)
        install = ["npm", "install", "--silent", "--no-audit", "--no-fund", *PACKAGES]
        subprocess.run(install, cwd=modules, check=True)
    return modules


@contextmanager
def _server(folder: Path, environment: dict[str, str]) -> Iterator[int]:
    port = free_port()
    said = folder / "said.txt"
    with said.open("w") as out:
        process = subprocess.Popen(
            ["node", str(ENGINE / "server.cjs"), str(port), str(folder)],
            env=environment,
            stdout=out,
        )
    try:
        wait_until(lambda: "ready" in said.read_text(), 30)
        yield port
    finally:
        process.terminate()
        process.wait(20)
