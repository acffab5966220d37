"""Every page of the office in a shop with ten thousand boils and two million entries, on SQLite.

The store is built once, in some four minutes, and kept in the folder for temporary files: another
program that fills it, or another fold, builds another.
"""

import shutil
import sys
import tempfile
from hashlib import sha256
from pathlib import Path

from shop.record.fold import VERSION
from tests.bench.rows import Row
from tests.programs import ROOT, beside

BOILS = 10_000
# Written last, so that a store is either whole or built anew.
WHOLE = "whole.txt"
ASK = "from tests.bench.office_pages import {0}\nanswer = {0}({1})"
FILLERS = ("tests/bench/office_fill.py", "tests/bench/office_rest.py")


def measure_office(folder: Path) -> list[Row]:
    """The slowest page's 95th percentile by a client in the same process, and the floor's."""
    # A copy: what there is to ask is set up anew for the addresses of today.
    data = Path(shutil.copytree(_built(), folder / "office"))
    found = beside(data, ASK.format("measure", ""))
    pages: dict[str, float] = found["pages"]
    for name in sorted(pages, key=lambda name: -pages[name]):
        print(f"bench: {pages[name]:8.1f} ms  {name}", file=sys.stderr, flush=True)
    return [Row("office_pages_p95", max(pages.values()), "ms", found["floor"]["p95"], budget=100)]


def _built() -> Path:
    """The data folder, with the store in it whole."""
    made_by = "".join((ROOT / name).read_text() for name in FILLERS)
    tag = sha256(f"{BOILS} {VERSION} {made_by}".encode()).hexdigest()[:12]
    data = Path(tempfile.gettempdir()) / f"kettleside-office-{tag}"
    if not (data / WHOLE).exists():
        shutil.rmtree(data, ignore_errors=True)
        print("bench: building the office's shop, about four minutes", file=sys.stderr, flush=True)
        entries = beside(data, ASK.format("build", BOILS))
        (data / WHOLE).write_text(f"{entries} entries\n")
    return data
