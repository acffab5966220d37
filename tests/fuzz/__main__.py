"""`python -m tests.fuzz NAME… --minutes 10 [--into FOLDER]`: long hunts, one after another.

Each leaves a folder: `figures.json`, the faults with what broke, the slowest input, and the corpus
it grew. What is worth keeping is put into tests/fuzz/seeds by hand, as small as it gets.
"""

import argparse
import json
import re
import subprocess
import sys
from pathlib import Path
from tempfile import mkdtemp
from typing import Any

from tests.fuzz.keeping import seeds

ROOT = Path(__file__).parents[2]
NAMES = ("events", "sheet", "record", "image", "reckon", "manifest", "store-file")
API = ("api", "api-postgres")
COVERED = re.compile(r"cov: (\d+) ft: (\d+)")


def main() -> int:
    """0 where every hunt found nothing."""
    asked = argparse.ArgumentParser(prog="python -m tests.fuzz", description=__doc__)
    asked.add_argument("names", nargs="+", choices=(*NAMES, *API), metavar="NAME")
    asked.add_argument("--minutes", type=float, default=10)
    asked.add_argument("--into", type=Path)
    given = asked.parse_args()
    into = given.into or Path(mkdtemp(prefix="kettleside-fuzz-"))
    found = [hunt(name, into / name, int(given.minutes * 60)) for name in given.names]
    print(f"Kept in {into}")
    return int(any(one["faults"] or one["stopped"] for one in found))


def hunt(name: str, folder: Path, seconds: int) -> dict[str, Any]:
    """One target for so long; its figures, also printed."""
    if name in API:
        from tests.fuzz.hunt import ready

        ready()
        from tests.fuzz.api_hunt import hunt as hunt_api

        found = hunt_api(name, folder, seconds)
        print(json.dumps(found, indent=1), flush=True)
        return found
    put_seeds(name, folder / "corpus")
    with (folder / "log.txt").open("w") as log:
        command = [sys.executable, "-m", "tests.fuzz.hunt", name, str(folder), str(seconds)]
        done = subprocess.run(command, cwd=ROOT, stdout=log, stderr=log, check=False)
    figures: dict[str, Any] = json.loads((folder / "figures.json").read_text())
    reached = COVERED.findall((folder / "log.txt").read_text(errors="replace"))
    figures |= {
        "branches": reached[-1][0] if reached else "not counted",
        "stopped": done.returncode,
    }
    print(json.dumps(figures, indent=1), flush=True)
    return figures


def put_seeds(name: str, corpus: Path) -> None:
    """The kept seeds as the corpus to begin with."""
    corpus.mkdir(parents=True, exist_ok=True)
    for number, data in enumerate(seeds(name)):
        (corpus / f"seed-{number:03}").write_bytes(data)


if __name__ == "__main__":
    sys.exit(main())
