"""The log turned end for end: which rods read from their other end (a prism seen from there is
mirrored)."""

from typing import Any

from shop.record.check import Sheet
from shop.record.live import Live
from shop.record.order import Event, actor, at, by_time, ref_of
from shop.sentences import Sentence, listed

RODS = "rods"

Turn = dict[str, Any]


def turned(live: Live) -> dict[str, Any]:
    """Whether rods now read from their other end (0/1), and each turn with who has seen it."""
    turns = _turns(live)
    return {"reading_end_turned": len(turns) % 2, "turns": turns}


def _turns(live: Live) -> list[Turn]:
    """Each turn once, by time. Two entries that follow the same turn tell of one: two people
    pressed, neither had seen the other's press."""
    stands: dict[str, str] = {}
    found: dict[str, list[Event]] = {}
    for event in live.of("log_turned"):
        after = event["body"].get("after", "")
        same = found.setdefault(stands.get(after, after), [])
        same.append(event)
        stands[ref_of(event)] = ref_of(same[0])
    groups = [sorted(same, key=by_time) for same in found.values()]
    return [_turn(live, same) for same in sorted(groups, key=lambda same: by_time(same[0]))]


def _turn(live: Live, same: list[Event]) -> Turn:
    first, refs = same[0], [ref_of(e) for e in same]
    seen = [e for e in live.of("seen") if e["body"]["target"] in refs]
    return {
        "refs": refs,
        "at": at(first),
        "by": actor(first),
        "from_rod": _rods_before(live, first) + 1,
        "seen": {"by": actor(seen[0]), "at": at(seen[0])} if seen else None,
    }


def _rods_before(live: Live, event: Event) -> int:
    counted = [e for e in live.of("tally_counted") if e["body"]["what"] == RODS]
    return sum(e["body"]["add"] for e in counted if by_time(e) < by_time(event))


def rod_ends(turns: list[Turn]) -> list[dict[str, Any]]:
    """Stretches of rods, `to` null for the last: `turned` 1 where they read from the other end."""
    starts = [1, *(turn["from_rod"] for turn in turns)]
    ends = [*(start - 1 for start in starts[1:]), None]
    stretches = [
        {"from": start, "to": end, "turned": i % 2}
        for i, (start, end) in enumerate(zip(starts, ends, strict=True))
    ]
    return [s for s in stretches if s["to"] is None or s["to"] >= s["from"]]


def reading_end(sheet: Sheet, turns: list[Turn]) -> Sentence:
    """Which end reads, in words: the log's mark, then the rods that came the other way round."""
    words = Sentence(sheet["picture"]["reading_end"])
    other = listed(_rods(s) for s in rod_ends(turns) if s["turned"])
    if not other:
        return words
    return Sentence("{words}; the other way round: {other}", words=words, other=other)


def _rods(stretch: dict[str, Any]) -> Sentence:
    first, last = stretch["from"], stretch["to"]
    if last is None:
        return Sentence("rods {first} on", first=first)
    if first == last:
        return Sentence("rod {first}", first=first)
    return Sentence("rods {first} to {last}", first=first, last=last)
