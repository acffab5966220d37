"""Catalogues of another language: what people translate (.po), and what the program reads.

The floor reads a module of its tree, so that the worker keeps it with the rest of the app; the
desk reads what gettext reads. Both are made here and committed, for no shop has these tools.
"""

import io
import json
from collections.abc import Callable, Iterable, Sequence
from datetime import UTC, datetime
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po, write_po

from shop.management.gathering import ROOT, Text, english, floor_texts, office_texts

LANGUAGES = {"de": {"point": ","}}
ALWAYS = datetime(2026, 1, 1, tzinfo=UTC)
FLOOR, OFFICE = "floor", "django"
TEXTS: dict[str, Callable[[], Sequence[Text]]] = {FLOOR: floor_texts, OFFICE: office_texts}


def po_path(language: str, domain: str) -> Path:
    """Where translators work."""
    return ROOT / "shop" / "locale" / language / "LC_MESSAGES" / f"{domain}.po"


def read(language: str, domain: str) -> Catalog:
    """The catalogue as it is kept; an empty one where there is none."""
    path = po_path(language, domain)
    if not path.is_file():
        return Catalog(locale=language, domain=domain)
    with path.open("rb") as kept:
        return read_po(kept, locale=language, domain=domain)


def gathered(language: str, domain: str, texts: Iterable[Text]) -> Catalog:
    """The catalogue with exactly these texts, each as it was translated before."""
    before = read(language, domain)
    # A date of its own would make every catalogue another one each time.
    made = Catalog(locale=language, domain=domain, charset="utf-8", creation_date=ALWAYS)
    for text in texts:
        one, context = english(text)
        looked_up = text if isinstance(text, tuple) else one
        known = before.get(looked_up, context or None)
        none = ("", "") if isinstance(text, tuple) else ""
        flags = {"python-format"} if "%(" in one else set()
        said = known.string if known else none
        made.add(looked_up, said, flags=flags, context=context or None)
    return made


def po_text(made: Catalog) -> bytes:
    """As translators read it: no dates and no line numbers, which would change with every run."""
    out = io.BytesIO()
    write_po(out, made, width=0, no_location=True, omit_header=True, sort_output=True)
    header = f'msgid ""\nmsgstr ""\n"Language: {made.locale}\\n"\n'
    header += '"Content-Type: text/plain; charset=utf-8\\n"\n'
    return f'{header}"Plural-Forms: nplurals=2; plural=(n != 1);\\n"\n\n'.encode() + out.getvalue()


def mo_bytes(made: Catalog) -> bytes:
    """As gettext reads it."""
    out = io.BytesIO()
    write_mo(out, made)
    return out.getvalue()


def module_text(made: Catalog) -> str:
    """As the floor reads it: text → its translation, and `""` for the language's own signs."""
    known = {str(one.id): str(one.string) for one in made if one.id and one.string}
    words = {"": LANGUAGES[str(made.locale)], **dict(sorted(known.items()))}
    lines = json.dumps(words, ensure_ascii=False, indent=0)
    head = "// Made by `manage.py words` from shop/locale; translate there.\n\n"
    return f"{head}export default {lines};\n"


def files(language: str) -> dict[Path, bytes]:
    """Every file of a language as it should stand, from the texts and what is translated now."""
    found: dict[Path, bytes] = {}
    for domain, texts in TEXTS.items():
        if not (said := texts()):
            continue
        made = gathered(language, domain, said)
        path = po_path(language, domain)
        found[path] = po_text(made)
        # The desk shows sheets too, so it reads both.
        found[path.with_suffix(".mo")] = mo_bytes(made)
        if domain == FLOOR:
            found[ROOT / "static" / "js" / "words" / f"{language}.js"] = module_text(made).encode()
    return found


def share(language: str, domain: str) -> tuple[int, int]:
    """How many of the domain's texts are translated, and how many there are."""
    made = list(gathered(language, domain, TEXTS[domain]()))[1:]
    return sum(1 for one in made if is_said(one)), len(made)


def is_said(one: Message) -> bool:
    """Whether all of it is translated, each form of a plural too."""
    forms = one.string if isinstance(one.string, list | tuple) else [one.string]
    return all(forms)
