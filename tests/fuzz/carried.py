"""Files of entries as a phone would take them from another, whole, changed and broken: read in the
browser by the app's own module, held against what the shop's own decoder says."""

import json
import random
from hashlib import sha256
from typing import Any

from playwright.sync_api import Page

from shop.plan.canonical import canonical
from shop.record.check import decode
from tests.fuzz.targets import as_bytes
from tests.fuzz.trees import mutated
from tests.record.histories import history

SHOP, OWN = "loft", "own0000"
READ = f"""async (text) => {{
  const {{ readFile }} = await import('/js/store/carrying.js');
  const shelf = {{ phone: {{ shop: {{ id: '{SHOP}', name: 'Loft' }}, device: '{OWN}' }}, record: {{ seq: 3 }} }};
  const found = [];
  for (const hex of JSON.parse(text)) {{
    const file = new Blob([Uint8Array.from(hex.match(/../g) ?? [], (two) => parseInt(two, 16))]);
    try {{ found.push(['', (await readFile(shelf, file)).entries.map(({{ line }}) => line)]); }}
    catch (fault) {{ found.push([fault.constructor.name, [fault.message]]); }}
  }}
  return JSON.stringify(found);
}}"""  # noqa: E501  # JavaScript has longer lines


def a_file(chance: random.Random) -> bytes:
    """A file of one or two phones; half of them changed somewhere, most with sums put right."""
    events = history(chance.randrange(500), 12)
    chains = {
        device: [canonical(e) for e in events if e["device"] == device]
        for device in ("kettle0", "table00")[: chance.randint(1, 2)]
    }
    chains = {device: lines for device, lines in chains.items() if lines}
    act = chance.random()
    if act < 0.4 and chains:
        lines = chance.choice([*chains.values()])
        at = chance.randrange(len(lines))
        lines[at] = mutated(lines[at], chance)
    head = json.dumps(_header(chains))
    if 0.3 < act < 0.6:
        head = mutated(head, chance)
    body = [line for lines in chains.values() for line in lines]
    whole = "\n".join([head, *body, ""]).encode("utf-8", "surrogatepass")
    return as_bytes(whole, chance) if act > 0.85 else whole


def _header(chains: dict[str, list[str]]) -> dict[str, Any]:
    told = [
        {
            **{"device": device, "from_seq": 1, "count": len(lines), "head": ""},
            "sha256": sha256("\n".join(lines).encode("utf-8", "replace")).hexdigest(),
        }
        for device, lines in chains.items()
    ]
    plain = {"kettleside": "entries", "v": 1, "shop": SHOP, "epoch": "e", "device": "kettle0"}
    return {**plain, "name": "Kettle", "chains": told}


def wrong(page: Page, files: list[bytes]) -> tuple[list[str], int]:
    """What did not end in entries or a refusal in words, and how many were taken."""
    answers = json.loads(page.evaluate(READ, json.dumps([data.hex() for data in files])))
    found, taken = [], 0
    for data, (fault, said) in zip(files, answers, strict=True):
        if fault not in ("", "NotTaken") or (fault and not said[0]):
            found.append(f"{fault}: {said} {data[:200]!r}")
        if not fault:
            taken += 1
            found += _not_as_told(data, said)
    return found, taken


def _not_as_told(data: bytes, lines: list[str]) -> list[str]:
    """Of what was taken, what is no entry, or not what the file's head says of it."""
    left, found = list(lines), []
    for chain in json.loads(data.decode().split("\n", 1)[0])["chains"]:
        some, left = left[: chain["count"]], left[chain["count"] :]
        if sha256("\n".join(some).encode()).hexdigest() != chain["sha256"]:
            found.append(f"another sum: {some}")
        for seq, line in enumerate(some, chain["from_seq"]):
            event = decode(line)
            if canonical(event) != line or (event["device"], event["seq"]) != (
                chain["device"],
                seq,
            ):
                found.append(line)
    return found + left
