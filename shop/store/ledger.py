"""A shop's log while its counter row is locked. Only `append` uses it."""

import secrets
from collections.abc import Iterable
from typing import Any

from shop.models import Aside, Batch, Device, Event, Sheet, Shop
from shop.store import moves, rebuild
from shop.store.chain import device_head, sha256hex, shop_link
from shop.store.errors import NotHere
from shop.store.judge import Known, Line, browser_bytes
from shop.store.moves import Row
from shop.store.shapes import Answer, Chain, Said

AHEAD_MS = 5 * 60_000
# A phone makes some hundred entries a day: a longer hole is a mistake, not a loss.
LOST, MOST_MISSING = "lost", 10_000
LIFE = {"batch_opened", "batch_closed", "batch_given_up", "struck"}


class Ledger:
    """Made inside a transaction: locks the counter row until that ends."""

    def __init__(self, shop_id: int, moment: int, keys: set[str], carrier_id: int) -> None:
        # On SQLite the transaction itself is the lock (BEGIN IMMEDIATE). Elsewhere not the row's
        # key: whoever adds a row that points to the shop would wait for us, and we for them.
        shop = Shop.objects.select_for_update(no_key=True).filter(pk=shop_id).first()
        if shop is None:
            raise NotHere("shop", str(shop_id))
        self.shop = shop
        self.moment = moment
        of_shop = Device.objects.filter(shop_id=shop_id)
        self.devices = {row.key: row for row in of_shop.filter(key__in=keys)}
        own = (row for row in self.devices.values() if row.pk == carrier_id)
        self.carrier = next(own, None) or of_shop.get(pk=carrier_id)
        self.moved: dict[int, Device] = {}
        self.positions: dict[int, int] = {}
        self.opened: dict[int, int] = {}
        self.sheets: dict[int, str] = {}
        self.lives: set[int] = set()

    def take(self, chain: Chain, lines: list[Line]) -> Answer:
        """Keep, recognise or set aside every line of one chain."""
        device = self.devices.get(chain.device) or self._adopted(chain)
        if device is None:
            return self._refuse(chain, lines, f"The device {chain.device} is not known here.")
        answer = Answer(chain.device, expect=device.head_seq + 1)
        if chain.from_seq > answer.expect:
            missing = chain.from_seq - answer.expect
            if self.shop.restored is None or device.is_server or missing > MOST_MISSING:
                return answer
            self._leave_out(device, answer.expect, chain.from_seq)
        past = [line for line in lines if line.seq <= device.head_seq]
        new = lines[len(past) :]
        self._recognise(device, past, answer)
        if new and device.is_server:
            say = f"Only the server itself writes as {device.key}."
            return self._refuse(chain, new, say, answer)
        self._keep(device, new, answer)
        self._note_told(device, chain)
        answer.expect = device.head_seq + 1
        return answer

    def _adopted(self, chain: Chain) -> Device | None:
        """A device added after the backup this shop was put back to, as a phone brings it: what
        it made is filed; it speaks for itself again when the office has added it anew."""
        if self.shop.restored is None:
            return None
        device = Device.objects.create(
            shop=self.shop,
            key=chain.device,
            name="Known before the restore",
            added=self.moment,
            locked_out_at=self.moment,
            token_sha256=sha256hex(secrets.token_bytes(32)),
        )
        self.devices[chain.device] = device
        return device

    def keep_own(self, key: str, line: Line) -> None:
        """Keep one event of the server's own device."""
        self._keep(self.devices[key], [line], Answer(key))

    def tick(self) -> list[int]:
        """The next reading of the server's hybrid logical clock (Kulkarni et al. 2014)."""
        if self.moment > self.shop.hlc_ms:
            return [self.moment, 0]
        return [self.shop.hlc_ms, self.shop.hlc_count + 1]

    def close(self) -> None:
        """Write the counter, once, and what follows from the new events."""
        moves.move_devices(self.moved.values())
        moves.move_shop(self.shop)
        moves.move_batches(self.positions)
        for batch_id, position in self.opened.items():
            first = Batch.objects.filter(pk=batch_id, opened_position=0)
            # A restored server may have planned it anew meanwhile: the sheet it was opened with
            # is the one it was made by.
            # PostgreSQL refuses the character NUL in a query; no hash holds one.
            name = self.sheets[batch_id].replace("\0", "")
            by = Sheet.objects.filter(shop=self.shop, hash=name).first()
            first.update(opened_position=position, **({"sheet": by} if by else {}))
        for batch_id in self.lives:
            rebuild.refold(batch_id)

    def _refuse(
        self, chain: Chain, lines: list[Line], say: str, answer: Answer | None = None
    ) -> Answer:
        """Set all aside without giving them a place in anybody's sequence."""
        answer = answer or Answer(chain.device, expect=chain.from_seq + len(lines))
        for line in lines:
            line.event, line.reason, line.say = None, "device", say
        self._store_asides(chain.device, lines, occupies=False)
        answer.aside += [Said(line.seq, line.reason, line.say) for line in lines]
        return answer

    def _recognise(self, device: Device, past: list[Line], answer: Answer) -> None:
        """Had, set aside before, or a fork: other bytes under a number that is taken."""
        if not past:
            return
        span = (past[0].seq, past[-1].seq)
        events = Event.objects.filter(device=device, seq__range=span)
        kept = dict(events.values_list("seq", "sha256"))
        there = {(a.seq, a.sha256): a for a in self._asides(device.key, span)}
        lost = {seq for seq, a in there if there[seq, a].reason == LOST} - set(kept)
        forks, found = [], []
        for line in past:
            if kept.get(line.seq) == line.sha256:
                _extend(answer.had, line.seq)
            elif line.seq in lost and line.event is not None:
                found.append(self._row(device, line))
                _extend(answer.kept, line.seq)
            elif (before := there.get((line.seq, line.sha256))) is not None:
                answer.aside.append(Said(line.seq, before.reason, before.say))
            else:
                forks.append(_forked(line))
        moves.insert_events(found)
        answer.aside += [Said(line.seq, line.reason, line.say) for line in forks]
        self._store_asides(device.key, forks, occupies=False)

    def _leave_out(self, device: Device, start: int, end: int) -> None:
        """Numbers that the shop forgot with its restore and nobody has brought so far: their places
        are held, so that what came after them need not wait, and filled when they turn up."""
        held = []
        for seq in range(start, end):
            line = Line(seq, "", b"", sha256hex(b""), reason=LOST)
            line.say = f"Entry {seq} was lost with the server; no phone has brought it back so far."
            held.append(line)
        self._keep(device, held, Answer(device.key))

    def _asides(self, key: str, span: tuple[int, int]) -> Iterable[Aside]:
        return Aside.objects.filter(shop=self.shop, device=key, seq__range=span).defer("line")

    def _keep(self, device: Device, new: list[Line], answer: Answer) -> None:
        """Give every new line its place: a sound one in the log, a bad one aside."""
        if not new:
            return
        events, asides = [], []
        head = device.head_hash
        for line in new:
            head = device_head(head, browser_bytes(line))
            if line.event is None:
                asides.append(line)
                answer.aside.append(Said(line.seq, line.reason, line.say))
                continue
            events.append(self._row(device, line))
            _extend(answer.kept, line.seq)
            if line.unfiled:
                answer.unfiled.append(Said(line.seq, line.unfiled, line.unfiled_say))
        moves.insert_events(events)
        self._store_asides(device.key, asides, occupies=True)
        device.head_seq, device.head_hash = new[-1].seq, head
        self.moved[device.pk] = device

    def _row(self, device: Device, line: Line) -> Row:
        """The next row of the log; moves the counter, the chain and the clock in memory."""
        event, batch, shop = line.event, line.batch, self.shop
        if event is None or batch is None:
            raise ValueError(f"line {line.seq} of {device.key} was not judged sound")
        carrier = None if self.carrier.pk == device.pk else self.carrier
        shop.head += 1
        name = carrier.key if carrier else ""
        shop.head_hash = shop_link(shop.head_hash, shop.head, self.moment, name, line.text)
        self._follow(batch, event)
        return (
            *(shop.pk, shop.head, device.pk, line.seq, batch.id),
            *(line.text, line.sha256, self.moment, self._clock(event["hlc"])),
            *(carrier.pk if carrier else None, shop.head_hash),
        )

    def _follow(self, batch: Known, event: dict[str, Any]) -> None:
        self.positions[batch.id] = self.shop.head
        if event["kind"] == "batch_opened":
            self.opened.setdefault(batch.id, self.shop.head)
            self.sheets.setdefault(batch.id, str(event["body"].get("sheet", batch.sheet)))
        if event["kind"] in LIFE:
            self.lives.add(batch.id)

    def _clock(self, hlc: list[int]) -> int:
        """How far the event is ahead [ms], 0 within the limit; moves the server's clock along.

        A clock too far ahead is not followed: one phone set to 2031 would drag everybody there.
        """
        ahead = hlc[0] - self.moment
        if ahead > AHEAD_MS:
            return ahead
        if hlc > [self.shop.hlc_ms, self.shop.hlc_count]:
            self.shop.hlc_ms, self.shop.hlc_count = hlc
        return 0

    def _store_asides(self, key: str, lines: list[Line], *, occupies: bool) -> None:
        if not lines:
            return
        span = (lines[0].seq, lines[-1].seq)
        there = {(a.seq, a.sha256) for a in self._asides(key, span)}
        carrier = None if self.carrier.key == key else self.carrier
        Aside.objects.bulk_create(
            Aside(
                shop=self.shop,
                device=key,
                seq=line.seq,
                line=line.raw,
                sha256=line.sha256,
                reason=line.reason,
                say=line.say,
                received=self.moment,
                carried_by=carrier,
                occupies=occupies,
            )
            for line in lines
            if (line.seq, line.sha256) not in there
        )

    def _note_told(self, device: Device, chain: Chain) -> None:
        """Remember the running head the device itself told; `verify` compares it."""
        last = chain.from_seq + len(chain.lines) - 1
        if chain.head and last == device.head_seq and device.told_seq <= last:
            device.told_seq, device.told_hash = last, chain.head
            self.moved[device.pk] = device


def _forked(line: Line) -> Line:
    line.event, line.reason = None, "fork"
    line.say = (
        f"Number {line.seq} of this phone already stands here with other words. Both are kept; "
        "this one is set aside. Was the phone restored from a copy?"
    )
    return line


def _extend(ranges: list[list[int]], seq: int) -> None:
    if ranges and ranges[-1][1] == seq - 1:
        ranges[-1][1] = seq
    else:
        ranges.append([seq, seq])
