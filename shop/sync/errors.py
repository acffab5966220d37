"""Errors of this room, and what the wire says for those of the store.

WireError          status, code and sentence of an answer
├── BadMessage     400: the message has not the shape it must have
├── TooBig         413: the body is over the limit
└── NoToken        401: no bearer token came with the request
"""

from shop.launch.faults import NO_ROOM, NOT_WRITABLE, Fault
from shop.store import errors as store


class WireError(Exception):
    """Root of this room's errors: it can be answered as it stands."""

    def __init__(self, status: int, code: str, say: str) -> None:
        super().__init__(say)
        self.status = status
        self.code = code
        self.say = say


class BadMessage(WireError):
    """The message as a whole can't be read; nothing of it was used."""

    def __init__(self, code: str, say: str) -> None:
        super().__init__(400, code, say)


class TooBig(WireError):
    """The body, unpacked, is over the limit; nothing of it was used."""

    def __init__(self, limit: int, seen: int | None) -> None:
        said = f"{seen} bytes" if seen is not None else f"more than {limit} bytes unpacked"
        super().__init__(
            413,
            "too-big",
            f"The message has {said}; the limit is {limit}. Send fewer events at once.",
        )
        self.limit = limit


class NoToken(WireError):
    """There is no bearer token in the request."""

    def __init__(self) -> None:
        super().__init__(
            401, "no-token", "No `Authorization: Bearer` came with this. Add the phone."
        )


STATUS: dict[type[store.StoreError], tuple[int, str]] = {
    store.BadToken: (401, "wrong-token"),
    store.LockedOut: (403, "locked-out"),
    store.WrongCode: (403, "wrong-code"),
    store.TooManyTries: (429, "too-many-tries"),
    store.NoPin: (403, "wrong-pin"),
    store.WrongPin: (403, "wrong-pin"),
    store.MustWait: (429, "too-many-tries"),
    store.NotHere: (404, "not-here"),
    store.StillHolds: (409, "still-holds"),
    store.CannotBeShown: (415, "cannot-be-shown"),
}


def as_wire(error: store.StoreError) -> WireError:
    """What the wire says for an error of the store."""
    status, code = STATUS.get(type(error), (400, "refused"))
    return WireError(status, code, str(error))


def of_fault(fault: Fault) -> WireError:
    """What the wire says where the server itself could not: nothing was kept, try again."""
    return WireError(507 if fault in (NO_ROOM, NOT_WRITABLE) else 500, fault.code, fault.say)
