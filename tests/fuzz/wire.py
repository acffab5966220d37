"""Messages of the wire, sound and broken, by the shapes of docs/contracts.md; and what was
acknowledged to whom."""

from __future__ import annotations

import gzip
import json
import random
from collections.abc import Callable
from hashlib import sha256
from typing import Any
from urllib.parse import quote

from shop.plan.canonical import canonical
from shop.record.kinds import ALL_SHAPES
from tests.fuzz.api import Answered, Asked, as_json
from tests.fuzz.trees import FAR, TEXTS, mutated
from tests.store.scene import sheet

START = 1_795_000_000_000
Chance = random.Random
Message = dict[str, Any]
DEEP = (b"[" * 900 + b"]" * 900, b'{"device":' * 900 + b"1" + b"}" * 900)
BYTES = (*DEEP, b"\0", b"{", b"[" * 9000, b"\xff\xfe{}", b"nul", b"{}", b"[]", b'"x"')
ODD_WORDS = ("", "\0", "x" * 300, "é", "\ud800", "%00", "..", "../../etc", "b1", "'--", "a,b", "-1")
ODD_NUMBERS = ("", "-1", "0", "1", "9" * 16, "9" * 17, "1e3", "٣", " 1", "0x1", "1.0")


class Wire:
    """Phones of one shop that say anything at all, and the lines they were told are kept."""

    def __init__(self, scene: dict[str, Any]) -> None:
        self.scene = scene
        self.phones: list[dict[str, str]] = self.scene["phones"]
        self.next = {phone["device"]: 1 for phone in self.phones}
        self.kept: dict[tuple[str, int], str] = {}
        self.aside: set[tuple[str, int, str]] = set()

    def question(self, chance: Chance) -> Asked:
        """Any one question to any address."""
        make = chance.choice(ADDRESSES)
        method, path, message = make(self, chance)
        headers = self._headers(chance)
        if message is None:
            return Asked(method, path, headers)
        return self._packed(method, path, headers, as_body(message, chance), chance)

    def _headers(self, chance: Chance) -> dict[str, str]:
        token = chance.choice(self.phones)["token"]
        if chance.random() < 0.04:
            token = chance.choice(("", "x", "é" * 9, token[:-1], token * 200, "\t", "a b"))
        headers = {"Authorization": f"Bearer {token}".encode().decode("latin-1")}
        if chance.random() < 0.3:
            headers["Accept-Encoding"] = chance.choice(
                ("gzip", "gzip;q=0", "br", "*", ",,", "gzip, gzip")
            )
        if chance.random() < 0.02:
            headers["Host"] = chance.choice(
                ("localhost", "", "[::1", "a:b:c", "x" * 300, "..", "é")
            )
            headers["Host"] = headers["Host"].encode().decode("latin-1")
        if chance.random() < 0.02:
            del headers["Authorization"]
        return headers

    def _packed(
        self, method: str, path: str, headers: dict[str, str], body: bytes, chance: Chance
    ) -> Asked:
        act = chance.random()
        if act < 0.2:
            body, headers["Content-Encoding"] = gzip.compress(body, 1), "gzip"
        if act < 0.04:
            body = chance.choice((body[:-3], body + b"x", body * 2, gzip.compress(body), b""))
        elif act > 0.985:
            headers["Content-Encoding"] = chance.choice(
                ("br", "deflate", "gzip, gzip", "", "GZIP ")
            )
        elif act > 0.98:
            body, headers["Content-Encoding"] = gzip.compress(bytes(12 * 2**20), 9), "gzip"
        elif act > 0.978:
            body = b" " * (11 * 2**20)
        return Asked(method, path, headers, body)

    def chains(self, chance: Chance) -> list[Message]:
        """Mostly the next entries of one phone; sometimes old ones again, others', or with gaps."""
        device = chance.choice(self.phones)["device"]
        start = self.next[device]
        act = chance.random()
        if act < 0.1:
            start = max(1, start - chance.randrange(6))
        elif act < 0.15:
            start += chance.randrange(1, 4)
        elif act < 0.2:
            device, start = self.scene["foreign"]["device"], chance.randrange(1, 6)
        lines = [self.line(chance, device, start + i) for i in range(chance.randrange(6))]
        lines = [self.kept.get((device, start + i), line) for i, line in enumerate(lines)]
        return [{"device": device, "from_seq": start, "head": "", "lines": lines}]

    def line(self, chance: Chance, device: str, seq: int) -> str:
        """An entry of any kind; a third of them are broken in some way."""
        kind = chance.choice([*ALL_SHAPES, "unheard_of"])
        now = START + seq * 1000 + chance.randrange(500)
        event = {
            **{"device": device, "seq": seq, "v": 1, "kind": kind, "known": "pressed"},
            **{"batch": chance.choice([*self.scene["batches"], "b1"]), "by": "maren"},
            **{"recorded": now, "happened": now, "offset": 0, "bound": 5, "within": 0},
            **{"hlc": [now, 0], "station": "kettle", "step": chance.choice(STEPS)},
            "body": {n: value_of(f, chance) for n, f in ALL_SHAPES.get(kind, {}).items()},
        }
        text = canonical(event)
        return mutated(text, chance) if chance.random() < 0.35 else text

    def heard(self, asked: Asked, answered: Answered) -> None:
        """What an answer to a push acknowledges."""
        if answered.status != 200 or not asked.path.startswith("/sync/push"):
            return
        body = asked.body
        if asked.headers.get("Content-Encoding", "").strip().lower() == "gzip":
            body = gzip.decompress(body)
        chains = json.loads(body).get("chains") or []
        answers = as_json(answered)["answers"]
        for chain, said in zip(chains, answers, strict=False):
            self._acknowledged(chain, said)

    def _acknowledged(self, chain: Message, said: Message) -> None:
        device, start = chain["device"], chain["from_seq"]
        assert said["device"] == device
        for low, high in [*said["kept"], *said["had"]]:
            for seq in range(low, high + 1):
                line = chain["lines"][seq - start]
                assert self.kept.setdefault((device, seq), line) == line, (device, seq)
        for one in said["aside"]:
            assert one["say"], one
            line = chain["lines"][one["seq"] - start]
            text = line if isinstance(line, str) else json.dumps([line])
            self.aside.add((device, one["seq"], text.encode("utf-8", "surrogatepass").hex()))
        if device in self.next and said["expect"] > self.next[device]:
            self.next[device] = said["expect"]

    def check(self, found: dict[str, Any]) -> dict[str, int]:
        """Nothing that was acknowledged is lost, no link is broken, no other shop was touched;
        `found` is what the store holds now."""
        assert found["broken"] == []
        assert found["kept"] == self.scene["kept"]
        there = {(device, seq): line for device, seq, line in found["lines"]}
        lost = [ref for ref, line in self.kept.items() if there.get(ref) != line]
        assert lost == [], lost[:5]
        asides = {(device, seq, line) for device, seq, line in found["asides"]}
        assert self.aside - asides == set(), list(self.aside - asides)[:3]
        return {"acknowledged": len(self.kept), "set_aside": len(self.aside)}


STEPS = ("cook.boil", "cook.lid", "table.skin", "hook.pull", "block.hive", "nowhere", "")
WORDS = ("maren", "tobit", "x", "rods", "peak", "degC", "check:peak_off", "drop", "burn", *TEXTS)


def value_of(form: str, chance: Chance) -> Any:
    """A value of the form a body's field has, seldom an odd one."""
    match form.rstrip("?"):
        case "int":
            return chance.choice((0, 1, 10, 100, 1490, -1, *(far - 1 for far in FAR[:2])))
        case "text":
            return chance.choice(WORDS) if chance.random() < 0.9 else "maren"
        case "texts":
            return [chance.choice(WORDS) for _ in range(chance.randrange(3))]
        case _:
            return [{"id": "x", "name": chance.choice(WORDS), "role": "lead"}]


def as_body(message: Message, chance: Chance) -> bytes:
    """The message in JSON; four in ten changed, some in a hundred too deep or no JSON at all."""
    text, act = json.dumps(message), chance.random()
    if act < 0.4:
        return mutated(text, chance).encode("utf-8", "surrogatepass")
    if act < 0.44:
        key = json.dumps(chance.choice([*message]))
        others = json.dumps(
            {name: value for name, value in message.items() if json.dumps(name) != key}
        )
        end = b"}" if others == "{}" else b"," + others[1:].encode()
        return b"{" + key.encode() + b":" + chance.choice(DEEP) + end
    return chance.choice(BYTES) if act < 0.47 else text.encode()


def odd_part(chance: Chance) -> str:
    """Something for a place in an address."""
    word = chance.choice((*ODD_WORDS, "demo-planned", "demo-handover"))
    return quote(word.encode("utf-8", "surrogatepass"), safe="")


Made = tuple[str, str, Message | None]


def _join(wire: Wire, chance: Chance) -> Made:
    code = f"{chance.randrange(10**6):06d}"
    return "POST", "/sync/join", {"code": code, "app": 1, "device": chance.choice(ODD_WORDS)}


def _push(wire: Wire, chance: Chance) -> Made:
    chains = [one for _ in range(chance.choice((1, 1, 1, 2))) for one in wire.chains(chance)]
    message = {"app": 1, "epoch": wire.scene["epoch"], "chains": chains}
    if len({chain["device"] for chain in chains}) < len(chains):
        message["chains"] = chains[:1]
    return "POST", "/sync/push", message


def _pull(wire: Wire, chance: Chance) -> Made:
    after = chance.choice((*ODD_NUMBERS, str(chance.randrange(400))))
    epoch = chance.choice((wire.scene["epoch"], "", "x", "\0"))
    named = chance.choice(("", "demo-planned", ",,,", "b1", "a," * 500, "\0", "demo-planned,b1"))
    query = "&".join(
        f"{key}={quote(value)}"
        for key, value in (("after", after), ("epoch", epoch), ("batches", named))
        if chance.random() < 0.8
    )
    return chance.choice(("GET", "GET", "GET", "HEAD", "PUT")), f"/sync/pull?{query}", None


def _phone(wire: Wire, chance: Chance) -> Made:
    told = {"app": 1, "held": 3, "files": 0, "battery": 50, "charging": 1, "installed": 1}
    texts = {"build": "x", "station": "kettle", "batch": "demo-planned", "by": "maren"}
    if chance.random() < 0.3:
        texts[chance.choice([*texts])] = chance.choice(TEXTS)
    return "POST", "/sync/phone", {**told, **texts}


def _pin(wire: Wire, chance: Chance) -> Made:
    return "POST", "/sync/pin", {"person": "odo", "pin": chance.choice(("7351", "1234", "٧٣٥١"))}


def _company(wire: Wire, chance: Chance) -> Made:
    return chance.choice(("GET", "POST")), "/sync/company", None


def _incident(wire: Wire, chance: Chance) -> Made:
    key = f"{chance.getrandbits(128):032x}"
    told = {"id": key, "kind": "near miss", "happened": START, "text": "Slipped on syrup"}
    if chance.random() < 0.3:
        told["text"] = chance.choice(TEXTS)
    return "POST", "/sync/incident", told


def _move(wire: Wire, chance: Chance) -> Made:
    return "POST", "/sync/move", {"made": chance.randrange(9)}


def _sheet(wire: Wire, chance: Chance) -> Made:
    name = wire.scene["sheet"] if chance.random() < 0.5 else odd_part(chance)
    if chance.random() < 0.3:
        return "GET", f"/sync/sheet/{name}", None
    key = f"brought-{chance.randrange(40)}"
    text = mutated(canonical(sheet(key, "H")), chance)
    return "POST", f"/sync/sheet/{_hash(text)}", {"text": text}


def _hash(text: str) -> str:
    """The name of the sheet in a text, where it can have one."""
    try:
        return sha256(canonical(json.loads(text)).encode()).hexdigest()
    except (ValueError, TypeError, RecursionError):
        return "0" * 64


def _file(wire: Wire, chance: Chance) -> Made:
    name = wire.scene["photo"] if chance.random() < 0.5 else f"{chance.getrandbits(256):064x}"
    name = odd_part(chance) if chance.random() < 0.2 else name
    start, size = chance.choice(ODD_NUMBERS), chance.choice((*ODD_NUMBERS, "20", "20971521"))
    query = (
        f"from={quote(start)}&size={quote(size)}&type={quote(chance.choice(('image/jpeg', 'x')))}"
    )
    if chance.random() < 0.5:
        return "GET", f"/sync/file/{name}?{query}", None
    return "POST", f"/sync/file/{name}?{query}", {"bytes": "some"}


def _batch(wire: Wire, chance: Chance) -> Made:
    return "GET", f"/sync/batch/{odd_part(chance)}", None


def _nowhere(wire: Wire, chance: Chance) -> Made:
    method = chance.choice(
        ("GET", "POST", "PUT", "DELETE", "OPTIONS", "PATCH", "HEAD", "TRACE", "X")
    )
    return method, f"/sync/{odd_part(chance)}/{odd_part(chance)}", None


ADDRESSES: tuple[Callable[[Wire, Chance], Made], ...] = (
    *(_push,) * 12,
    *(_join, _pull, _pull, _phone, _pin, _company, _incident, _move),
    *(_sheet, _file, _file, _batch, _nowhere),
)
