"""What was erased for good is not in the database's file any more, nor in its log beside it.

sqlite.org/pragma.html#pragma_secure_delete says that deleted content is overwritten; it does not
say that a row which only moved leaves nothing behind. So the file itself is searched.
"""

from pathlib import Path

import pytest

from shop.store.incidents import MOST_CHARACTERS
from tests.programs import beside

# A real file with the program's own settings; PostgreSQL's is described in docs/backups.md.
pytestmark = pytest.mark.own_engine

NOTES = f"""
import random
from django.core.management import call_command
from django.db import connection
from shop.store import incidents
from shop.store.clock import now_ms
from shop.store.people import set_person
from shop.store.shops import create_shop

call_command("migrate", verbosity=0)
shop = create_shop(slug="loft", name="Loft").id
path = str(connection.settings_dict["NAME"])

def on_disk(token):
    files = [open(name, "rb").read() for name in (path, path + "-wal")]
    return any(token.encode() in found for found in files)

answer = {{"left": [], "unseen": [], "lost": [], "erased": 0, "emptied": 0}}
chance, there = random.Random(SEED), {{}}
for n in range(STEPS):
    token = f"w{{chance.getrandbits(80):020x}}"
    # Some in plain letters, some in letters of three bytes, so that a note fills several pages.
    fill = chance.choice(["", " ", token, "€"]) * chance.choice([3, 60, 700])
    text = (token + fill + token)[:{MOST_CHARACTERS}]
    key = f"{{chance.getrandbits(128):032x}}"
    incidents.tell(shop_id=shop, kind="injury", happened=now_ms(), text=text, key=key)
    there[key] = token
    answer["unseen"] += [] if on_disk(token) else [n]
    set_person(shop_id=shop, key=f"p{{n % 7}}", name="x" * chance.randint(1, 60), role="lead maker")
    while there and chance.random() < 0.45:
        gone = chance.choice(sorted(there))
        answer["emptied"] += incidents.erase(shop_id=shop, key=gone, day="x", by="maren")
        answer["left"] += [n] if on_disk(there.pop(gone)) else []
        answer["erased"] += 1
kept = {{note.key: note.text for note in incidents.incidents(shop)}}
answer["lost"] = [key for key in there if there[key] not in kept.get(key, "")]
answer["more"] = len(kept) - len(there)
"""


# With 10 and 19 SQLite 3.40 leaves a piece of a note where its row once lay, unless the table is
# filled anew.
@pytest.mark.parametrize(
    ("seed", "steps"), [(10, 110), (19, 110), pytest.param(3, 400, marks=pytest.mark.long)]
)
def test_an_erased_note_is_in_no_file_and_every_other_stays(
    tmp_path: Path, seed: int, steps: int
) -> None:
    code = NOTES.replace("SEED", str(seed)).replace("STEPS", str(steps))
    found = beside(tmp_path, code)
    assert found["unseen"] == [], "the search itself finds nothing"
    assert found["left"] == []
    assert found["lost"] == []
    assert found["more"] == 0
    assert found["erased"] == found["emptied"] >= steps // 3
