"""The pieces of a picture's page that take seconds, as they stand now."""

from typing import Any

from shop.picture.shapes import Drawn
from shop.screens.office.picture_answers import decided_page, seen_page
from shop.screens.office.picture_asks import Opened, Plain, Ready, ready
from shop.screens.office.picture_forms import WhatIfForm
from shop.screens.office.picture_page import worked_page
from shop.store import drawings


def pieces(one: Opened) -> Plain:
    """The three pieces of long work as they stand, one after the other."""
    looked = ready(one.looked())
    if looked.waits or looked.wrong:
        return {
            **worked_context(one, looked),
            "decided": Ready(),
            "seen": Ready(),
            "waits": looked.waits,
        }
    decided, seen = ready(decision(one)), ready(one.seen())
    return {
        **worked_context(one, looked),
        **decided_context(one, decided),
        **seen_context(one, seen),
        "waits": decided.waits or seen.waits,
    }


def worked_context(one: Opened, looked: Ready) -> Plain:
    """What the first piece shows."""
    page = worked_page(looked.what, one.how) if looked.what else None
    form = what_if(one, looked.what.drawn, None) if looked.what else None
    return {
        "info": one.info,
        "version": one.version,
        "worked": looked,
        "page": page,
        "what_if": form,
    }


def what_if(one: Opened, drawn: Drawn, data: Any) -> WhatIfForm:
    """The form that tries out, filled with what holds."""
    numbers = one.how.numbers
    initial = {
        "log": f"{one.how.log_mg / 1e6:g}",
        "rod": f"{one.how.rod_um / 1000:g}",
        **{k: f"{numbers[f'{k}_density'] / 1000:g}" for k in ("white", "light", "clear")},
    }
    used = {part.portion for part in drawn.parts}
    colours = [
        (c.id, c.name) for c in drawn.raster.palette if c.id in used and c.treatment != "white"
    ]
    return WhatIfForm(data, initial=initial, colours=colours)


def decided_context(one: Opened, decided: Ready) -> Plain:
    """What the second piece shows."""
    page = decided_page(decided.what) if decided.what else None
    return {"info": one.info, "decided": decided, "decision": page}


def seen_context(one: Opened, seen: Ready) -> Plain:
    """What the third piece shows."""
    page = seen_page(seen.what, one.how) if seen.what else None
    return {"info": one.info, "seen": seen, "face": page}


def decision(one: Opened) -> Any:
    """The second piece of work, as what the customer said makes it."""
    proofs = drawings.proofs(one.shop.id, one.info.key)
    return one.decided(approved=any(p.approved_at is not None and p.stands for p in proofs))
