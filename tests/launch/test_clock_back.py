"""The computer's clock is set back by a day: entries go on, it is told, and a backup is taken."""

from __future__ import annotations

import subprocess
import urllib.request
from pathlib import Path

from prometheus_client.parser import text_string_to_metric_families

from shop.store.backup import backups
from tests.launch.pressing import a_phone
from tests.launch.test_two_servers import lines
from tests.programs import free_port, manage, running, wait_until

HOUR = 3600


def yesterday() -> tuple[str, ...]:
    """What `faketime -f -1d` puts into the environment; the command itself would stay in between
    and keep our signals from the server."""
    shown = subprocess.run(
        ["faketime", "-f", "-1d", "env"], capture_output=True, text=True, check=True
    )
    told = [line for line in shown.stdout.splitlines() if line.startswith(("LD_PRE", "FAKETIME="))]
    return ("env", *told)


def figure(port: int, name: str) -> float:
    with urllib.request.urlopen(f"http://localhost:{port}/metrics") as answer:
        text = answer.read().decode()
    every = (s for family in text_string_to_metric_families(text) for s in family.samples)
    return next(sample.value for sample in every if sample.name == f"kettleside_{name}")


def test_set_back_by_a_day_nothing_is_lost_and_it_is_told(tmp_path: Path) -> None:
    phone, into = a_phone(tmp_path, free_port()), tmp_path / "shop" / "backups"
    with running(tmp_path, "serve", port=phone.port):
        assert [phone.push() for _ in range(3)] == [(200, "")] * 3
        assert figure(phone.port, "clock_behind_seconds") == 0
        wait_until(lambda: len(backups(into)) == 1, 60)
    with running(tmp_path, "serve", port=phone.port, inside=yesterday()):
        assert [phone.push() for _ in range(3)] == [(200, "")] * 3
        # 24 hours, less what the restart took.
        assert 23 * HOUR < figure(phone.port, "clock_behind_seconds") < 25 * HOUR
        # The backup of 'tomorrow' counts for nothing.
        wait_until(lambda: len(backups(into)) == 2, 60)
        assert phone.acknowledged() <= lines(tmp_path)
    with running(tmp_path, "serve", port=phone.port):
        assert [phone.push() for _ in range(3)] == [(200, "")] * 3
        # What bears yesterday's time is still among the last, and is no reason to warn now.
        assert figure(phone.port, "clock_behind_seconds") == 0
    assert phone.kept == 450
    assert phone.acknowledged() <= lines(tmp_path)
    assert manage(tmp_path, "verify").stdout.startswith("Whole")
