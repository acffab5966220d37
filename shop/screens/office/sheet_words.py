"""What a sheet says, in the language the page is read in; the sheet itself keeps its words.

The floor's catalogue has them (`static/js/record/reader.js` does the same on a phone). What a shop
worded itself is read as it was written.
"""

import gettext
import re
from collections.abc import Callable, Mapping
from functools import cache
from typing import Any

from django.conf import settings
from django.utils.translation import get_language, pgettext
from django.utils.translation import gettext as django_gettext

Sheet = Mapping[str, Any]


def told(sheet: Sheet, text: str) -> str:
    """A text of this sheet; one about a portion is known with the portion's name in braces."""
    known = _known(get_language() or "en")
    # An empty text is the name of the catalogue's own head.
    if not text or known(text) != text:
        return known(text) if text else ""
    if (said := looked_up(text)) != text:
        return said
    for name, place in _portions(sheet):
        pattern = text.replace(name, place)
        if pattern != text and (said := known(pattern)) != pattern:
            return re.sub("{name}", known(name), said, flags=re.IGNORECASE)
    return text


def looked_up(pattern: str, context: str = "") -> str:
    """A sentence of the computing rooms: as the desk's catalogue has it, else the floor's."""
    if context:
        return pgettext(context, pattern)
    said = django_gettext(pattern)
    return said if said != pattern else _known(get_language() or "en")(pattern)


def _portions(sheet: Sheet) -> list[tuple[str, str]]:
    names = [portion["name"] for portion in sheet["portions"]]
    return [(n, "{Name}") for n in names] + [(n.lower(), "{name}") for n in names]


@cache
def _known(language: str) -> Callable[[str], str]:
    folder = settings.LOCALE_PATHS[0]
    return gettext.translation("floor", folder, [language], fallback=True).gettext
