"""One hunt, in a process of its own: `python -m tests.fuzz.hunt NAME FOLDER SECONDS`.

libFuzzer chooses what to go on from by the branches an input reached (through the atheris
package, which has wheels for Linux on x86-64 only). Elsewhere inputs are changed at random.
"""

import os
import random
import sys
import time
from pathlib import Path

from tests.fuzz.watch import Watch

LONGEST = 24_576
# An input that takes longer has hung; one that needs more memory [MiB] has run away.
HANGS_S, MOST_MB = 20, 3000


def main(name: str, folder: str, seconds: int) -> None:
    """Hunts until the time is up, and leaves figures and faults in the folder."""
    try:
        import atheris
    except ImportError:
        blind(name, Path(folder), seconds)
        return
    with atheris.instrument_imports(include=["shop"]):
        ready()
        from tests.fuzz.targets import TARGETS
    target = TARGETS[name]
    watch = Watch(name, target.feed, Path(folder))

    def change(data: bytes, most: int, seed: int) -> bytes:
        chance = random.Random(seed)
        if chance.random() < 0.1:
            return bytes(atheris.Mutate(data, most))
        return target.change(data, chance)[:most]

    own = [f"-max_total_time={seconds}", f"-timeout={HANGS_S}", f"-rss_limit_mb={MOST_MB}"]
    own += [f"-max_len={LONGEST}", "-print_final_stats=1", f"-artifact_prefix={folder}/"]
    atheris.Setup([name, *own, f"{folder}/corpus"], watch.one, custom_mutator=change)
    atheris.Fuzz()


def ready() -> None:
    """Django set up, as in the program."""
    import django

    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    django.setup()


def blind(name: str, folder: Path, seconds: int) -> None:
    """Without coverage: each input is a seed changed one to three times."""
    ready()
    from tests.fuzz.targets import TARGETS

    watch = Watch(name, TARGETS[name].feed, folder)
    until, number = time.monotonic() + seconds, 0
    found = [path.read_bytes() for path in sorted((folder / "corpus").iterdir())]
    while time.monotonic() < until:
        watch.one(one_input(name, found, number))
        number += 1
    watch.tell(time.monotonic())


def one_input(name: str, found: list[bytes], number: int) -> bytes:
    """The input of this number, the same every time."""
    from tests.fuzz.targets import TARGETS

    chance = random.Random(number)
    data = chance.choice(found)
    for _ in range(chance.randint(1, 3)):
        data = TARGETS[name].change(data, chance)
    return data[:LONGEST]


if __name__ == "__main__":
    main(sys.argv[1], sys.argv[2], int(sys.argv[3]))
