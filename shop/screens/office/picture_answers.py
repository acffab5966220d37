"""The verdict, the build and the face of a picture in people's words."""

from dataclasses import dataclass
from typing import Any

from django.utils.html import escape
from django.utils.safestring import SafeString

from shop.plan.drawing_work import Decided, Planned, Seen
from shop.screens.office.drawing import our_svg
from shop.sentences import Sentence

Plain = dict[str, Any]
WORDS = {"yes": Sentence("Yes"), "no": Sentence("No"), "instead": Sentence("Instead")}
PROOFS = {"proven best": Sentence("Proven best."), "only good": Sentence("Only good.")}


@dataclass(frozen=True, slots=True)
class DecidedPage:
    """Verdict and build in words, and the schedule's picture."""

    word: str
    says: str
    questions: list[Plain]
    to_ask: list[str]
    offers: list[Plain]
    figures: Plain
    build: str
    proof: str
    breaks: list[str]
    saves: list[str]
    blocks: list[str]
    gantt: SafeString


def decided_page(found: Decided) -> DecidedPage:
    """The page of a decision."""
    build, said = found.build, found.verdict
    return DecidedPage(
        word=WORDS[said["verdict"]],
        says=said["says"],
        questions=said["questions"],
        to_ask=said["to_ask"],
        offers=said["counter_offers"],
        figures=said["figures"],
        build=build["says"],
        proof=PROOFS[build["proof"]],
        breaks=[b["why"] for b in build["breaks"]],
        saves=[
            Sentence("{says}: closed in {minutes:g} min", says=w["says"], minutes=w["minutes"])
            for w in build["saves"]
        ],
        blocks=[_block(block, build["order"]) for block in build["blocks"]],
        gantt=our_svg(found.gantt),
    )


def _block(block: Plain, order: list[Plain]) -> str:
    """`1 to 4, by 9 min`: the numbers of its parts in the schedule."""
    numbers = [work["n"] for work in order if work["part"] in block["parts"]]
    span: str = str(numbers[0])
    if len(numbers) > 1:
        span = Sentence("{low} to {high}", low=min(numbers), high=max(numbers))
    return Sentence(
        "{name}: {span}, by {minutes} min",
        name=block["name"].capitalize(),
        span=span,
        minutes=-(-block["end_s"] // 60),
    )


@dataclass(frozen=True, slots=True)
class SeenPage:
    """The face, planned and as sweets usually come, with the score."""

    faces: dict[str, SafeString]
    samples: list[SafeString]
    score: str
    low: str
    high: str
    reads: bool
    limit: str
    metric: str
    lost: int
    rod: str


FACES = {
    "drawing": "The face as it was asked for",
    "planned": "The face as it is planned",
    "mirror": "The other face, mirrored",
    "usual": "The face of a usual sweet",
    "usual_mirror": "The other face of a usual sweet, mirrored",
}


def named_svg(svg: str, words: str) -> SafeString:
    """A face of the drawing room, shapes and colours only, with words for who can't see it."""
    return our_svg(svg.replace('role="img"', f'role="img" aria-label="{escape(words)}"', 1))


def seen_page(found: Seen, how: Planned) -> SeenPage:
    """The page of a face."""
    scatter = found.score.get("scatter", {"low": 0.0, "high": 0.0})
    return SeenPage(
        faces={name: named_svg(svg, FACES[name]) for name, svg in found.faces.items()},
        samples=[named_svg(svg, f"Sweet {n}") for n, svg in enumerate(found.samples, 1)],
        score=f"{found.score['score']:.2f}",
        low=f"{scatter['low']:.2f}",
        high=f"{scatter['high']:.2f}",
        reads=found.score["reads"],
        limit=f"{how.numbers['legible'] / 1e6:.2f}",
        metric=found.score["metric"],
        lost=len(found.score["lost"]),
        rod=f"{how.rod_um / 1000:g}",
    )
