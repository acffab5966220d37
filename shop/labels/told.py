"""What the desk is told of a label that can't be printed, or that needs a second look."""

from dataclasses import dataclass

from shop.sentences import Sentence


@dataclass(frozen=True, slots=True)
class Problem:
    """Why a label does not stand, and what to do next."""

    words: str
    next: str


@dataclass(frozen=True, slots=True)
class Finding:
    """What one side of the rules found: problems hold a label back, notices do not."""

    problems: tuple[Problem, ...] = ()
    notices: tuple[str, ...] = ()


def joined(findings: list[Finding]) -> Finding:
    """All of them, each sentence once, in order."""
    problems = dict.fromkeys(p for f in findings for p in f.problems)
    notices = dict.fromkeys(n for f in findings for n in f.notices)
    return Finding(tuple(problems), tuple(notices))


def at_store(name: str) -> str:
    """Where the facts of a material are written down."""
    return Sentence("Store room, {name}: write it down from the pack or the papers.", name=name)
