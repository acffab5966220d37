"""Two boils side by side: why one yielded less, loss by loss; what else differed.

Shares are whole ppm of what came in, and the rest takes what rounding leaves: the shares of a boil
add up to all of it, so the differences of the losses add up to the difference of the yields.
"""

from collections.abc import Callable
from typing import Any

from shop.plan.whole import half_up
from shop.record.balance import PPM, came_in
from shop.sentences import Sentence

Record = dict[str, Any]
Line = dict[str, Any]
PACKED, REST = "packed", "rest"
REST_SAYS = Sentence("Not accounted for")


def compare(a: Record, b: Record) -> dict[str, Any]:
    """What differs between two records; every difference is b less a.

    `losses` the largest difference first [ppm of what came in, mg], none before both are packed;
    `unknown` are the lines that one of them did not weigh: their sugar is in the rest.
    """
    shares = (shares_of(a), shares_of(b))
    yields = [_yield(record, share) for record, share in zip((a, b), shares, strict=True)]
    return {
        "yield": _pair(*yields),
        "losses": [] if None in yields else _losses(*shares),
        "unknown": [_missing(record) for record in (a, b)],
        "numbers": _numbers(a, b),
        "stages": _stages(a, b),
        "off": [_off(a, b), _off(b, a)],
    }


def shares_of(record: Record) -> dict[str, Line]:
    """Where what came in went: id → label, mg and ppm of it, the rest among them; they sum to all.

    Empty where nothing that came in was weighed.
    """
    balance = record["mass_balance"]
    into = came_in(balance)
    if not into:
        return {}
    out = [line for line in balance["lines"] if line["sign"] < 0 and line["mg"] is not None]
    found = {
        line["id"]: {
            **{"label": line["label"], "mg": line["mg"]},
            "ppm": half_up(line["mg"] * PPM, into),
        }
        for line in out
    }
    rest = {
        "mg": into - sum(line["mg"] for line in found.values()),
        "ppm": PPM - sum(line["ppm"] for line in found.values()),
    }
    return {**found, REST: {"label": REST_SAYS, **rest}}


def _yield(record: Record, shares: dict[str, Line]) -> int | None:
    """Packed of what came in [ppm]; None before the first bag."""
    packed = shares.get(PACKED)
    return packed["ppm"] if packed and record["summary"]["bags"] else None


def _losses(a: dict[str, Line], b: dict[str, Line]) -> list[Line]:
    """Every loss of either, by how much it moved the yield, the largest first."""
    ids = [ident for ident in {**a, **b} if ident != PACKED]
    lines = [_loss(ident, a.get(ident), b.get(ident)) for ident in ids]
    return sorted(lines, key=lambda line: (-abs(line["ppm"]["more"]), line["id"]))


def _loss(ident: str, a: Line | None, b: Line | None) -> Line:
    label = (a or b or {})["label"]
    units = {
        unit: _pair(a[unit] if a else None, b[unit] if b else None, 0) for unit in ("ppm", "mg")
    }
    return {"id": ident, "label": label, **units}


def _pair(a: int | None, b: int | None, missing: int | None = None) -> dict[str, int | None]:
    """Both values and how much more b has; what is missing counts as `missing` in that."""
    before, after = (missing if value is None else value for value in (a, b))
    more = None if before is None or after is None else after - before
    return {"a": a, "b": b, "more": more}


def _missing(record: Record) -> list[str]:
    return list(record["mass_balance"]["missing"])


# Key numbers: what they are called, their unit, and where they stand in a record.
NUMBERS: tuple[tuple[str, str, Callable[[Record], int | None]], ...] = (
    (Sentence("Log"), "mg", lambda r: r["summary"]["log"]),
    (Sentence("Packed"), "mg", lambda r: r["summary"]["packed"]),
    (Sentence("Bags"), "1", lambda r: r["summary"]["bags"]),
    (Sentence("Rods"), "1", lambda r: r["summary"]["rods"]),
    (
        Sentence("Peak over the wanted cook"),
        "mK",
        lambda r: (r["summary"]["peak"] or {}).get("over"),
    ),
    (Sentence("Charge"), "mg", lambda r: _before(r, "charge")),
    (Sentence("Lost before the log"), "mg", lambda r: _before(r, "left")),
)


def _before(record: Record, ident: str) -> int | None:
    lines = record["mass_balance"]["before"]
    return next((line["mg"] for line in lines if line["id"] == ident), None)


def _numbers(a: Record, b: Record) -> list[Line]:
    return [
        {"label": label, "unit": unit, "value": _pair(value(a), value(b))}
        for label, unit, value in NUMBERS
    ]


def _stages(a: Record, b: Record) -> list[Line]:
    """How long each stage took in both [ms]."""
    other = {line["id"]: line["ms"] for line in b["summary"]["minutes"]}
    return [
        {"id": line["id"], "label": line["label"], "ms": _pair(line["ms"], other.get(line["id"]))}
        for line in a["summary"]["minutes"]
    ]


def _off(record: Record, other: Record) -> list[Line]:
    """What went off in one, and whether the like of it went off in the other too."""
    codes = {entry["code"] for entry in other["deviations"] if entry["code"] != "other"}
    return [{**entry, "both": int(entry["code"] in codes)} for entry in record["deviations"]]
