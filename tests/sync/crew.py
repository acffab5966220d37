"""Phones as `static/js/store/shelf.js` and `static/js/sync/exchange.js` make them, in Python, with
a network between them and the real server that loses, doubles, delays and reorders."""

import json
from dataclasses import dataclass, field
from typing import Any

from django.test import Client

from shop.plan.canonical import canonical
from shop.store import phones

AT_ONCE = 5
Ref = tuple[str, int]


@dataclass
class Network:
    """Requests to the real server; `fault` says what becomes of the next one."""

    client: Client
    fault: str = ""
    late: list[tuple[str, str, dict[str, Any] | None, str]] = field(default_factory=list)

    def ask(
        self, token: str, method: str, path: str, message: dict[str, Any] | None = None
    ) -> list[str] | None:
        """The answer's lines; None where none came. A 401 is an empty list."""
        fault, self.fault = self.fault, ""
        if fault == "drop request":
            return None
        if fault == "late":
            self.late.append((method, path, message, token))
            return None
        if fault == "twice":
            self._send(token, method, path, message)
        answer = self._send(token, method, path, message)
        return None if fault == "drop answer" else answer

    def deliver(self, which: int) -> None:
        """A request that was held up arrives, long after its phone gave it up."""
        method, path, message, token = self.late.pop(which % len(self.late))
        self._send(token, method, path, message)

    def _send(
        self, token: str, method: str, path: str, message: dict[str, Any] | None
    ) -> list[str]:
        given = {"authorization": f"Bearer {token}"}
        if method == "GET":
            answer = self.client.get(f"/sync/{path}", headers=given)
        else:
            body = json.dumps(message)
            answer = self.client.post(f"/sync/{path}", body, "application/json", headers=given)
        assert answer.status_code in (200, 204, 401), (path, answer.status_code, answer.content)
        return [] if answer.status_code == 401 else answer.content.decode().splitlines() or [""]


@dataclass
class Phone:
    """One phone: what is on its disk, and what it knows of the shop."""

    network: Network
    shop_id: int
    clock: int = 0
    device: str = ""
    token: str = ""
    epoch: str = ""
    cursor: int = 0
    offer: bool = False
    own: dict[int, str] = field(default_factory=dict)
    acked: set[int] = field(default_factory=set)
    others: dict[Ref, str] = field(default_factory=dict)
    batches: dict[str, str] = field(default_factory=dict)
    sheets: dict[str, str] = field(default_factory=dict)
    last: list[int] = field(default_factory=lambda: [0, 0])

    def join(self) -> None:
        """Added with a new code, under the number it has, if it has one."""
        code = phones.new_code(self.shop_id)
        added = phones.join(code=code, address=code, device=self.device)
        if added.device != self.device:
            self.own, self.acked = {}, set()
        self.device, self.token, self.epoch = added.device, added.token, added.shop.epoch
        # As after any first word from a server: it may be a restored one.
        self.acked, self.cursor, self.offer = set(), 0, bool(self.others or self.own)

    def write(self, now: int, batch: str, kind: str, body: dict[str, Any], **place: Any) -> str:
        """A press: on disk at once."""
        moment = now + self.clock
        ahead = moment > self.last[0]
        self.last = [moment, 0] if ahead else [self.last[0], self.last[1] + 1]
        seq = max(self.own, default=0) + 1
        event = {
            **{"device": self.device, "seq": seq, "v": 1, "kind": kind, "batch": batch},
            **{"by": "maren", "body": body, "recorded": moment, "happened": moment},
            **{"offset": -self.clock, "bound": 5, "known": "pressed", "within": 0},
            **{"hlc": self.last, **place},
        }
        self.own[seq] = canonical(event)
        return self.own[seq]

    def exchange(self) -> bool:
        """Push, then pull; whether every answer came."""
        return self.push() and (not self.offer or self.offer_others()) and self.pull()

    def push(self) -> bool:
        if self.offer and not self.offer_sheets():
            return False
        while unsent := sorted(set(self.own) - self.acked):
            start = unsent[0]
            run = [seq for i, seq in enumerate(unsent) if seq == start + i][:AT_ONCE]
            chain = {"device": self.device, "from_seq": start, "lines": [self.own[s] for s in run]}
            answer = self._post("push", {"epoch": self.epoch, "chains": [chain]})
            if answer is None:
                return False
            if self._renew(answer["epoch"]):
                return self.push()
            [mine] = answer["answers"]
            for low, high in [*mine["kept"], *mine["had"]]:
                self.acked |= set(range(low, high + 1))
            self.acked |= {said["seq"] for said in mine["aside"]}
            assert start in self.acked, (mine, start)
        return True

    def offer_sheets(self) -> bool:
        asked = [self._post(f"sheet/{name}", {"text": t}) for name, t in self.sheets.items()]
        return None not in asked

    def offer_others(self) -> bool:
        """Runs of each device's own numbers, as far as this phone saw them."""
        for device in sorted({device for device, _ in self.others}):
            seqs = sorted(seq for d, seq in self.others if d == device)
            while seqs:
                run = [seq for i, seq in enumerate(seqs) if seq == seqs[0] + i][:AT_ONCE]
                lines = [self.others[device, seq] for seq in run]
                chain = {"device": device, "from_seq": run[0], "lines": lines}
                if self._post("push", {"chains": [chain]}) is None:
                    return False
                seqs = seqs[len(run) :]
        self.offer = False
        return True

    def pull(self) -> bool:
        wanted = sorted(key for key, phase in self.batches.items() if phase == "open")
        path = f"pull?after={self.cursor}&epoch={self.epoch}&batches={','.join(wanted)}"
        answer = self.network.ask(self.token, "GET", path)
        if not answer:
            return False
        if answer == [""]:
            return True
        header = json.loads(answer[0])
        assert header["count"] == len(answer) - 1
        for name in set(header["sheets"]) - set(self.sheets):
            sheet = self.network.ask(self.token, "GET", f"sheet/{name}")
            if not sheet:
                return False
            self.sheets[name] = sheet[0]
        self._renew(header["epoch"])
        open_here = [b["id"] for b in header["batches"] if b["phase"] == "open"]
        if self.cursor and not all(self.fetch(key) for key in open_here if key not in wanted):
            return False
        self._take(header, answer[1:])
        self.cursor = header["through"]
        return True

    def fetch(self, key: str) -> bool:
        """One boil whole: it was closed and goes on, or somebody looks at it."""
        answer = self.network.ask(self.token, "GET", f"batch/{key}")
        if not answer:
            return False
        self._take(json.loads(answer[0]), answer[1:])
        return True

    def _take(self, header: dict[str, Any], lines: list[str]) -> None:
        self.batches |= {batch["id"]: batch["phase"] for batch in header["batches"]}
        for line in lines:
            event = json.loads(line)
            if event["device"] != self.device:
                self.others[event["device"], event["seq"]] = line

    def relay(self, other: "Phone") -> None:
        """Carries another's unsent entries, as a phone that stood beside it could."""
        unsent = sorted(set(other.own) - other.acked)
        lines = [other.own[seq] for seq in unsent]
        if lines and unsent[-1] - unsent[0] == len(lines) - 1:
            chain = {"device": other.device, "from_seq": unsent[0], "lines": lines}
            self._post("push", {"epoch": self.epoch, "chains": [chain]})

    def lines(self) -> set[str]:
        """All it holds."""
        return set(self.own.values()) | set(self.others.values())

    def _post(self, path: str, message: dict[str, Any]) -> dict[str, Any] | None:
        answer = self.network.ask(self.token, "POST", path, message)
        return json.loads(answer[0]) if answer else None

    def _renew(self, epoch: str) -> bool:
        if epoch == self.epoch:
            return False
        self.epoch, self.acked, self.cursor, self.offer = epoch, set(), 0, True
        return True
