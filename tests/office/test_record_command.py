"""`manage.py record`, as a process: out of a store, and again from its file without one."""

import json
import re
from pathlib import Path

import pytest

from tests.programs import manage

KEY = "demo-finished"
# What people and the manual count on; more may stand beside.
PROMISED = {"steps", "readings", "deviations", "mass_balance", "yield"}


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("record") / "data"


@pytest.fixture(scope="module")
def text(data: Path) -> str:
    done = manage(data, "record", KEY, "--json", KETTLESIDE_SHOP="demo")
    assert done.returncode == 0, done.stderr[-2000:]
    return done.stdout


def test_it_has_every_key_it_promises(text: str) -> None:
    assert set(json.loads(text)) >= PROMISED


def test_the_same_bytes_come_from_the_file_where_there_is_no_store(
    text: str, tmp_path: Path
) -> None:
    file = tmp_path / "record.json"
    file.write_text(text, "utf-8")
    away = tmp_path / "elsewhere"
    again = manage(away, "record", "--from", str(file), "--json")
    assert (again.returncode, again.stdout) == (0, text)
    assert not list(away.rglob("*.sqlite3"))


def test_a_changed_file_is_told_and_nothing_is_printed(text: str, tmp_path: Path) -> None:
    file = tmp_path / "changed.json"
    file.write_text(text.replace("Visitor at the door", "Nobody at the door"), "utf-8")
    told = manage(tmp_path, "record", "--from", str(file), "--json")
    assert (told.returncode, told.stdout) == (1, "")
    assert re.search(r"Entry \d+ was changed since the file was written", told.stderr)


def test_document_and_table_come_from_the_file_as_well(text: str, tmp_path: Path) -> None:
    file, pdf = tmp_path / "record.json", tmp_path / "record.pdf"
    file.write_text(text, "utf-8")
    done = manage(tmp_path, "record", "--from", str(file), "--csv", "--pdf", str(pdf))
    assert pdf.read_bytes().startswith(b"%PDF-")
    assert done.stdout.startswith("type,what,nth,")


def test_without_a_batch_or_a_file_it_asks_which(tmp_path: Path) -> None:
    told = manage(tmp_path, "record")
    assert told.returncode == 1
    assert "the id of a batch, or --from and its file" in told.stderr
