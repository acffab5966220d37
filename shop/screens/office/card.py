"""The A5 card of a boil as PDF, for a bench where no screen can be had."""

from typing import Any

from django.http import HttpRequest, HttpResponse

from shop.record.blocks import block_mass
from shop.record.turns import reading_end
from shop.screens.office.access import at_desk, the_batch, the_zone
from shop.screens.office.card_pdf import CardPage, card_pdf
from shop.screens.office.sheet_page import SheetPage, sheet_page
from shop.screens.office.units import say
from shop.screens.office.wording import phase_word
from shop.store import read
from shop.store.shapes import ShopInfo


@at_desk
def card(request: HttpRequest, shop: ShopInfo, key: str) -> HttpResponse:
    """Two A5 sides to print, with the real drawings."""
    batch = the_batch(shop, key)
    sheet, state = read.batch_sheet(batch), read.batch_state(batch)
    page = sheet_page(sheet, phase=phase_word(state["phase"]), zone=the_zone(shop), state=state)
    answer = HttpResponse(card_pdf(card_page(page, sheet, state)), content_type="application/pdf")
    answer["Content-Disposition"] = f'inline; filename="card-{batch.key}.pdf"'
    return answer


def card_page(page: SheetPage, sheet: dict[str, Any], state: dict[str, Any]) -> CardPage:
    """The words of the card; masses and marks are those after the readings so far."""
    groups = dict(page.groups)
    tap, number = page.shop["nearest_tap"], page.shop["emergency_number"]
    return CardPage(
        title=page.title,
        lot=page.lot,
        letter=page.letter,
        pattern=sheet["boil"]["pattern"],
        order=page.order,
        crew=f"{page.lead} leads; {page.crew}",
        masses=groups["To weigh"],
        portions=page.portions,
        marks=groups["The mark today"],
        clock=groups["The clock"],
        blocks=[
            (block["name"], say(block_mass(sheet, state, block["id"]), "mg"))
            for block in sheet["blocks"]
        ],
        reading_end=reading_end(sheet, state["turns"]),
        cautions=[f"{words}. {why}" for words, why in page.hazards],
        burn=[
            "Burn: cool running water 20 minutes, stuck sugar stays on.",
            f"Call {number}: {page.shop['site_address']}. Tap: {tap}.",
        ],
        picture=sheet["picture"],
    )
