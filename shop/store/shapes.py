"""What the store hands out. Moments are ms since 1970-01-01 UTC."""

from dataclasses import dataclass, field
from typing import Any

Ranges = list[list[int]]


@dataclass(frozen=True, slots=True)
class ShopInfo:
    """A shop and where its log stands.

    `reads` and `units` are the language and units (`metric`, `us`) of whoever sits at the desk it
    was asked for; "" follows the shop.
    """

    id: int
    slug: str
    name: str
    epoch: str
    head: int
    head_hash: str
    settings: dict[str, Any] = field(default_factory=dict)
    reads: str = ""
    units: str = ""


@dataclass(frozen=True, slots=True)
class Phone:
    """A device: a phone, or the server itself (`is_server`)."""

    id: int
    device: str
    name: str
    station: str
    is_server: bool
    added: int
    locked_out_at: int | None
    seen: int | None
    entries: int
    replaces: str
    report: dict[str, Any]
    reported: int | None


@dataclass(frozen=True, slots=True)
class KitFound:
    """How a phone was found when it was last looked over."""

    device: str
    found: str
    by: str
    at: int


@dataclass(frozen=True, slots=True)
class Caller:
    """Who holds a token, how many entries it has here, and its shop, found in one query."""

    device_id: int
    device: str
    entries: int
    shop: ShopInfo


@dataclass(frozen=True, slots=True)
class Joined:
    """A phone that was just added; the token is told this once."""

    device: str
    token: str
    name: str
    shop: ShopInfo


@dataclass(frozen=True, slots=True)
class PersonInfo:
    """Somebody who works here; `pin_set` is when they got their PIN, None for none.

    `units` is metric or us, `language` one of the program's; "" follows the shop.
    """

    key: str
    name: str
    role: str
    active: bool
    pin_set: int | None
    units: str = ""
    language: str = ""


@dataclass(frozen=True, slots=True)
class DeskInfo:
    """A user who may open the shop's office, and which person that is, "" for not said."""

    user: str
    person: str


@dataclass(frozen=True, slots=True)
class BatchInfo:
    """A batch; `sheet` is the hash of its sheet, `position` that of its newest event."""

    id: int
    shop_id: int
    key: str
    lot: str
    letter: str
    pattern: str
    title: str
    sheet: str
    phase: str
    opened_position: int
    position: int


@dataclass(frozen=True, slots=True)
class NumberInfo:
    """One of the shop's numbers, in its fixed unit, and where it comes from."""

    key: str
    value: int
    unit: str
    source: str


@dataclass(frozen=True, slots=True)
class NumberSet:
    """One entry of a number's history."""

    key: str
    value: int
    unit: str
    source: str
    by: str
    at: int


@dataclass(frozen=True, slots=True)
class ChangeInfo:
    """Who changed what, from what to what."""

    at: int
    by: str
    about: str
    what: str
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class AsideInfo:
    """What could not be filed; `text` shows ill-formed characters as U+FFFD."""

    device: str
    seq: int
    reason: str
    say: str
    text: str
    received: int
    carried_by: str


@dataclass(frozen=True, slots=True)
class Chain:
    """A run of event lines of one device, numbered on from `from_seq`."""

    device: str
    from_seq: int
    lines: tuple[str, ...]
    head: str = ""


@dataclass(frozen=True, slots=True)
class Said:
    """A sequence number, a stable code and a sentence for people."""

    seq: int
    reason: str
    say: str


@dataclass(slots=True)
class Answer:
    """What became of one chain; `kept` and `had` are ranges, both ends included.

    `unfiled` are kept, and not used: the sheet has no place for them.
    """

    device: str
    kept: Ranges = field(default_factory=list)
    had: Ranges = field(default_factory=list)
    aside: list[Said] = field(default_factory=list)
    unfiled: list[Said] = field(default_factory=list)
    expect: int = 1


@dataclass(frozen=True, slots=True)
class Receipt:
    """What became of a push, and where the shop's log stands after its commit."""

    epoch: str
    head: int
    answers: list[Answer]


@dataclass(frozen=True, slots=True)
class Pull:
    """Stored event lines after a cursor, in the order of the shop's log."""

    shop: ShopInfo
    through: int
    batches: list[BatchInfo]
    lines: list[str]


@dataclass(frozen=True, slots=True)
class Brought:
    """A shop brought in from another store; `users` are office users who got another name."""

    slug: str
    head: int
    head_hash: str
    phones: int
    users: dict[str, str]


@dataclass(frozen=True, slots=True)
class DrawingInfo:
    """A picture: which version stands, and what it is worked out for (log, rod, bags, hands)."""

    key: str
    title: str
    current: int
    order: dict[str, Any]
    by: str
    at: int


@dataclass(frozen=True, slots=True)
class NewVersion:
    """A version to keep: what was done, a PNG of labels, palette and edits, the source's hash."""

    what: str
    labels: bytes
    choices: dict[str, Any]
    source: str = ""


@dataclass(frozen=True, slots=True)
class DrawnVersion:
    """A version of a picture; `was` is the one it was made from, 0 for the first."""

    number: int
    was: int
    by: str
    at: int
    what: str
    source: str
    labels: bytes = b""
    choices: dict[str, Any] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class ProofInfo:
    """What a customer was shown, whether it still stands, when it was approved and by whom:
    `approved_by` is "" where that name was erased."""

    key: str
    shop_id: int
    shop_name: str
    time_zone: str
    drawing: str
    number: int
    title: str
    rod_um: int
    days: int
    face: str
    by: str
    at: int
    stands: bool
    approved_by: str
    approved_at: int | None


@dataclass(frozen=True, slots=True)
class WayInfo:
    """A version of the shop's own way: what differs from the program's, as canonical JSON."""

    number: int
    was: int
    text: str
    sha256: str
    note: str
    at: int
    by: str
