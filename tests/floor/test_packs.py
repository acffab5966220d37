"""The two packs: all of the app, each module once; the first wants nothing of the second."""

import json
import re
from pathlib import Path

from django.conf import settings

from shop.screens.floor import app

JS = Path(settings.STATIC_DIR) / "js"
IMPORT = re.compile(r"^(?:import|export) .*from '([^']+)';$", re.M)


def modules(pack: bytes) -> set[Path]:
    """Files of the app that are in a pack, by the addresses it gives."""
    addresses = [address for address in json.loads(pack) if address.endswith(".js")]
    return {JS / address.partition("/js/")[2] for address in addresses}


def wanted(module: Path) -> set[Path]:
    """What a module can't do without from its first line on."""
    return {(module.parent / name).resolve() for name in IMPORT.findall(module.read_text("utf-8"))}


def test_every_module_of_the_floor_is_in_one_of_the_packs() -> None:
    first, rest = modules(app.pack("")), modules(app.rest(""))
    desk = {path for name in ("office", "preview") for path in (JS / name).rglob("*.js")}
    assert first | rest == set(JS.rglob("*.js")) - desk
    assert not first & rest
    assert {"carry.js", "beside.js"} <= {path.name for path in rest}


def test_the_first_pack_starts_a_station_and_adds_a_phone_by_itself() -> None:
    first = modules(app.pack(""))
    assert {JS / "boot.js", JS / "screens/station.js", JS / "screens/add.js"} <= first
    assert JS / "screens/burn.js" in first
    assert {path for module in first for path in wanted(module)} <= first
