"""In which language and units a page is read: as whoever sits at the desk does, else the shop."""

from collections.abc import Callable
from datetime import date

from django.conf import settings
from django.http import HttpRequest, HttpResponseBase
from django.utils import translation
from django.utils.formats import date_format
from django.utils.translation import gettext

from shop.screens.office import units
from shop.screens.office.sheet_words import looked_up
from shop.sentences import READER
from shop.store.shapes import ShopInfo
from shop.store.shops import all_shops, reads_of

ENGLISH = "en"


def one_language(answer: Callable[..., HttpResponseBase]) -> Callable[..., HttpResponseBase]:
    """Middleware: every request begins in English, whatever a browser asks for or one before read.

    `at_desk` then reads in the language of the desk; nothing of it is left for the next request.
    """

    def handle(request: HttpRequest) -> HttpResponseBase:
        translation.activate(settings.LANGUAGE_CODE)
        units.read_in("")
        # Sentences of the rooms that know no Django are looked up as the pages' own are.
        before = READER.set(looked_up)
        try:
            return answer(request)
        finally:
            READER.reset(before)
            translation.deactivate()

    return handle


def read_in(shop: ShopInfo) -> None:
    """From here on this request is read in the language and units of this desk."""
    of_shop = reads_of(shop)
    _speak(shop.reads or of_shop["language"])
    units.read_in(shop.units or of_shop["units"])


def read_in_common(shops: list[ShopInfo]) -> None:
    """The language all of these are read in; English where they differ."""
    languages = {one.reads or reads_of(one)["language"] for one in shops}
    _speak(languages.pop() if len(languages) == 1 else ENGLISH)


def read_as_all() -> None:
    """For whoever is not signed in yet: what all shops of the program read."""
    read_in_common(all_shops())


def _speak(language: str) -> None:
    known = language != ENGLISH and language in dict(settings.LANGUAGES)
    # British English: its dates are those the pages always had.
    translation.activate(language if known else settings.LANGUAGE_CODE)


def short_day(day: date) -> str:
    """`25 Nov 2026`; the month always has its name."""
    return date_format(day, gettext("j M Y"))


def whole_day(day: date) -> str:
    """`Wednesday 25 November 2026`."""
    return date_format(day, gettext("l j F Y"))


def named_weekday(day: date) -> str:
    """`Wed`."""
    return date_format(day, "D")
