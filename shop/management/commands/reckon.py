"""`reckon NAME --option VALUE…`: the bench calculator on the command line."""

import json
from typing import Any

from django.core.management.base import BaseCommand, CommandError, CommandParser

from shop.craft.errors import CraftError
from shop.craft.reckon import CALCULATIONS, Answer, Result, reckon


class Command(BaseCommand):
    help = (
        "Reckon one thing from quantities with their units: boil, charge, sheet-cooling and more."
    )
    requires_system_checks = ()

    def add_arguments(self, parser: CommandParser) -> None:
        names = parser.add_subparsers(dest="name", required=True, metavar="NAME")
        for calculation in CALCULATIONS.values():
            one = names.add_parser(calculation.name, help=calculation.says)
            one.add_argument("--json", action="store_true", help="the answer as JSON")
            for option in calculation.options:
                if option.kind == "flag":
                    one.add_argument(f"--{option.name}", action="store_const", const="yes")
                else:
                    one.add_argument(f"--{option.name}", help=_help(option.says, option.default))

    def handle(self, *, name: str, json: bool, **options: Any) -> None:
        """The results as a table or as JSON; a refusal names the value and the limit."""
        asked = {
            option.name.replace("-", "_"): option.name for option in CALCULATIONS[name].options
        }
        given = {asked[key]: text for key, text in options.items() if key in asked and text}
        try:
            answer = reckon(name, given)
        except CraftError as wrong:
            raise CommandError(str(wrong)) from wrong
        self.stdout.write(_as_json(answer) if json else _in_words(answer))


def _help(says: str, default: str) -> str:
    words = f"{says} ({default} if not given)" if default else says
    return words.replace("%", "%%")


def _as_json(answer: Answer) -> str:
    return json.dumps(answer.as_json(), ensure_ascii=False, indent=1)


def _in_words(answer: Answer) -> str:
    lines = [_line(name, result) for name, result in answer.results.items()]
    lines += [f"  from {source}" for source in answer.sources]
    return "\n".join([*lines, *(f"  note: {note}" for note in answer.notes)])


def _line(name: str, result: Result) -> str:
    said = f"{name.replace('_', ' '):26}{result.in_words()}"
    return said.rstrip()
