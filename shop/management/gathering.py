"""Every text that is read in another language: the floor's, our way's, the desk's."""

import ast
import re
from collections.abc import Iterator
from dataclasses import dataclass
from html.parser import HTMLParser
from pathlib import Path
from typing import Any, TypeAlias

from django.template.base import Lexer, TokenType

from shop.craft.reckon import CALCULATIONS, reckon
from shop.demo.scenario import demo_sheet
from shop.labels.places import PLACES, place
from shop.plan.check_way import HEADINGS
from shop.plan.crew import roles
from shop.plan.from_drawing import casing_sugar, shop_sugars
from shop.plan.numbers import defaults
from shop.plan.orders.numbers import counter_defaults
from shop.plan.orders.said import CHOICES, LISTS
from shop.plan.orders.stages import STAGES
from shop.plan.own_way import file_of_way
from shop.plan.skills import ladder
from shop.record.kinds import KINDS
from shop.record.report import NOT_SIGNED, SIGNED
from shop.screens.office.calculators import EXAMPLES, label_of, named
from shop.screens.office.record_balance import REST as REST_OF_LOG
from shop.screens.office.record_balance import TOO_MUCH
from shop.sentences import Sentence

ROOT = Path(__file__).resolve().parents[2]
JS = ("screens", "sync", "record", "store")
MARKED = re.compile(r"/\*t\*/'((?:[^'\\]|\\.)*)'")
# Entries hold these as they are; only what is shown of them is translated.
KEPT = (
    *("pressed", "kept", "carried", "at the shop", "burn", "call", "power", "other"),
    *("false alarm", "carried on", "taken back", "struck on the phone", "settled", "done"),
    *("The end with the dot in the casing", "The end with the dot of brown in the casing"),
)
LETTERS = re.compile(r"[^\W\d_]{2}")
CALLS = {"gettext", "gettext_lazy", "_", "gettext_noop", "ngettext", "ngettext_lazy", "Sentence"}
BLOCK = re.compile(r"^translate\s+(?:\"([^\"]*)\"|'([^']*)')(?:\s+context\s+\"([^\"]*)\")?")
INSIDE = re.compile(r"\b_\((?:\"([^\"]*)\"|'([^']*)')()\)")
PLURAL = 2


@dataclass(frozen=True, slots=True)
class Meant:
    """A text that means one thing here and another elsewhere."""

    text: str
    context: str


# A text, or its singular and plural.
Text: TypeAlias = str | tuple[str, str] | Meant


def floor_texts() -> list[str]:
    """What the phones say, and the way that comes with the program; each text once, sorted."""
    found = {*_of_modules(), *_of_templates(), *_of_way(), *_of_sheet(), *KEPT}
    return sorted(text for text in found if LETTERS.search(text))


def office_texts() -> list[Text]:
    """What the desk's pages and their code say, as gettext knows it; each text once, sorted."""
    pages = (ROOT / "templates" / "office").glob("*.html")
    found = {text for path in (ROOT / "shop").rglob("*.py") for text in of_python(path)}
    found |= {text for path in pages for text in of_page(path)}
    found |= {*_of_orders(), *(role.name for role in roles())}
    found |= {_meant(t, t.context if isinstance(t, Sentence) else "") for t in _of_tables()}
    found |= {str(text) for text in _of_records()}
    found |= {role.name.capitalize() for role in roles()}
    return sorted(found, key=english)


def english(text: Text) -> tuple[str, str]:
    """What is looked up, of a plural its singular; and its context."""
    if isinstance(text, Meant):
        return text.text, text.context
    return (text if isinstance(text, str) else text[0]), ""


def _meant(text: str, context: str) -> Text:
    return Meant(str(text), context) if context else str(text)


def _of_modules() -> Iterator[str]:
    for folder in JS:
        for path in sorted((ROOT / "static" / "js" / folder).glob("*.js")):
            text = path.read_text("utf-8")
            yield from MARKED.findall(text)
            for match in re.finditer(r"(?<![\w.$])t`", text):
                yield _tagged(text, match.end())


def _tagged(text: str, at: int) -> str:
    """What a tagged template is looked up by: `Take off at {0}`."""
    found, given = "", 0
    while text[at] != "`":
        if text.startswith("${", at):
            found, given, at = f"{found}{{{given}}}", given + 1, _past(text, at + 2)
        else:
            found, at = found + text[at], at + 1
    return found


def _past(text: str, at: int) -> int:
    """After the brace that closes an expression, whatever templates stand in it."""
    depth = 1
    while depth:
        depth += {"{": 1, "}": -1}.get(text[at], 0)
        at += 1
    return at


class _Said(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.said: list[str] = []

    def handle_data(self, data: str) -> None:
        self.said.append(data)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.said += [value for name, value in attrs if name == "aria-label" and value]


def _of_templates() -> list[str]:
    reader = _Said()
    reader.feed((ROOT / "templates" / "floor" / "screens.html").read_text("utf-8"))
    return [text for text in reader.said if text.strip() == text]


def _of_way() -> Iterator[str]:
    for station in file_of_way("steps")["station"]:
        yield station["name"]
        for step in station["step"]:
            yield from (step[k] for k in ("say", "call", "cue", "caution", "tally") if k in step)
            yield step["heading"].replace("-", " ")
            yield re.sub(r"^\d+ ", "", step.get("band", ""))
            yield step.get("countdown", {}).get("label", "")
    words = file_of_way("words")
    yield from (mark["words"] for mark in words["mark"])
    yield from (hazard[k] for hazard in words["hazard"] for k in ("words", "why"))
    yield from (*words["burn"]["lines"], words["burn"]["source"], *words["pass_reasons"])
    yield from words["walk"]
    yield from (record["label"] for record in file_of_way("records").values())
    yield from (skill.name for skill in ladder())
    yield from (role.name for role in roles())


def _of_sheet() -> Iterator[str]:
    """What is put together for a sheet; the name of a portion as `{Name}` or `{name}`."""
    sheet: dict[str, Any] = demo_sheet("demo-planned")
    names = [one["name"] for one in sheet["portions"] if one["treatment"] != "white"]
    shown = {step[k] for step in sheet["steps"].values() for k in ("number", "due")}
    shown |= {line["figure"] for step in sheet["steps"].values() for line in step["lines"]}
    shown |= {row["figure"] for row in sheet["expected"]}
    said = [figure["says"] for figure in sheet["graph"] if figure["name"] in shown]
    said += [check[k] for check in sheet["checks"] for k in ("say", "then")]
    records = sheet["records"].values()
    said += [record[k] for record in records for k in ("instrument_name", "how", "label")]
    said += [line["label"] for step in sheet["steps"].values() for line in step["lines"]]
    for text in said:
        yield _unnamed(text, names)


def _unnamed(text: str, names: list[str]) -> str:
    for name in names:
        text = text.replace(name, "{Name}").replace(name.lower(), "{name}")
    return text


def _of_orders() -> Iterator[str]:
    """Stages, and the answers an order's form offers; their room knows no Django."""
    yield from STAGES.values()
    yield from (words.capitalize() for words in STAGES.values())
    for known in (*CHOICES.values(), *(some for some in LISTS.values() if some)):
        yield from known.values()


def _of_records() -> Iterator[str]:
    """What a record is made of, as its sheet and its entries name it."""
    sheet = demo_sheet("demo-planned")
    for one in sheet["balance"]:
        yield from (one["label"], one["label"].lower())
    yield from (*SIGNED.values(), NOT_SIGNED, *HEADINGS, REST_OF_LOG.lower(), REST_OF_LOG, TOO_MUCH)
    yield from (kind.replace("_", " ") for kind in KINDS)


def _of_tables() -> Iterator[str]:
    """Names of the shop's numbers, rules of labels, what the bench asks and answers."""
    for number in (*defaults().values(), *counter_defaults().values()):
        yield number.name
    yield from (sugar.name for sugar in (*shop_sugars(), casing_sugar()))
    for there in map(place, PLACES):
        yield from (there.name, there.called, there.authority)
        yield from (text for rule in there.rules for text in (rule.says, rule.sure))
    for name, one in CALCULATIONS.items():
        yield from (one.short, one.says)
        for option in one.options:
            yield from (label_of(option), *([option.says] if option.says else []))
        yield from (named(result) for result in reckon(name, EXAMPLES[name]).results)


def of_python(path: Path) -> Iterator[Text]:
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Call) and (name := getattr(node.func, "id", "")) in CALLS:
            given = [one.value for one in node.args[:2] if isinstance(one, ast.Constant)]
            said = [text for text in given if isinstance(text, str)]
            if name.startswith("ngettext") and len(said) == PLURAL:
                yield said[0], said[1]
            elif said and not name.startswith("ngettext"):
                yield _meant(said[0], _context(node))


def _context(call: ast.Call) -> str:
    """`Sentence("…", context="…")`."""
    given = [one.value for one in call.keywords if one.arg == "context"]
    return next((str(one.value) for one in given if isinstance(one, ast.Constant)), "")


def of_page(path: Path) -> Iterator[Text]:
    """As Django looks them up: `%` doubled, a value as `%(name)s`, a plural as a pair."""
    parts: list[str] | None = None
    for token in Lexer(path.read_text("utf-8")).tokenize():
        words = token.contents
        if token.token_type == TokenType.BLOCK and words.startswith("blocktranslate"):
            parts = [""]
        elif token.token_type == TokenType.BLOCK and words == "plural" and parts:
            parts.append("")
        elif token.token_type == TokenType.BLOCK and words == "endblocktranslate" and parts:
            yield (parts[0], parts[1]) if len(parts) == PLURAL else parts[0]
            parts = None
        elif parts is not None:
            value = token.token_type == TokenType.VAR
            parts[-1] += f"%({words.strip()})s" if value else words.replace("%", "%%")
        elif token.token_type != TokenType.TEXT:
            found = BLOCK.findall(words) + INSIDE.findall(words)
            yield from (_meant((a or b).replace("%", "%%"), context) for a, b, context in found)
