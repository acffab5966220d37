"""Which events count: read, filed and not struck through."""

from typing import Any

from shop.record.check import Sheet, is_unread, misfit
from shop.record.kinds import body_fits
from shop.record.order import Event, at, place, ref_of


class Live:
    """The events that count, in order, also by kind; and those that do not, with why."""

    def __init__(self, sheet: Sheet, ordered: list[Event]) -> None:
        self.unread = [ref_of(e) for e in ordered if is_unread(e)]
        readable = [e for e in ordered if not is_unread(e)]
        reasons = {ref_of(e): misfit(sheet, e) for e in readable}
        self.unfiled = [{"ref": ref, "reason": why} for ref, why in reasons.items() if why]
        filed = [e for e in readable if not reasons[ref_of(e)]]
        struck = struck_refs(filed)
        self.by_kind: dict[str, list[Event]] = {}
        for event in filed:
            if ref_of(event) not in struck:
                self.by_kind.setdefault(event["kind"], []).append(event)

    def of(self, *kinds: str) -> list[Event]:
        """The live events of these kinds, in order."""
        if len(kinds) == 1:
            return self.by_kind.get(kinds[0], [])
        return sorted((e for k in kinds for e in self.by_kind.get(k, [])), key=place)


def struck_refs(events: list[Event]) -> dict[str, str]:
    """Ref of each entry struck through → ref of its strike; a later strike may be struck."""
    where = {ref_of(e): place(e) for e in events}
    struck: dict[str, str] = {}
    for strike in reversed([e for e in events if e["kind"] == "struck"]):
        target = strike["body"]["target"]
        if ref_of(strike) not in struck and target in where and where[target] < place(strike):
            struck[target] = ref_of(strike)
    return struck


def history(ordered: list[Event]) -> list[dict[str, Any]]:
    """Every entry in order, with the ref of what struck or replaced it (`""` = nothing)."""
    sound = [e for e in ordered if not is_unread(e) and body_fits(e["kind"], e["body"])]
    struck = struck_refs(sound)
    standing = [e for e in sound if ref_of(e) not in struck]
    undone = {e["body"]["target"]: ref_of(e) for e in standing if e["kind"] == "step_undone"}
    instead = {e["body"]["instead_of"]: ref_of(e) for e in standing if e["body"].get("instead_of")}
    return [
        {
            "ref": (ref := ref_of(e)),
            "kind": e["kind"],
            "at": at(e),
            "struck_by": struck.get(ref, undone.get(ref, "")),
            "replaced_by": instead.get(ref, ""),
            "event": e,
        }
        for e in ordered
    ]
