"""The process that reads, draws and solves: questions in, answers out, until its parent is gone.

    python -m shop.screens.office.picture_child

One pickled question a time on standard input, `(job, arguments)`; one pickled answer on standard
output, `(True, result)` or `(False, sentence)`. The end of its input is the end of its parent.
"""

import os
import pickle
import sys
from typing import Any, BinaryIO

from shop.craft.errors import CraftError
from shop.picture.errors import PictureError
from shop.plan.drawing_work import JOBS
from shop.plan.errors import PlanError

KINDER = 5


def answer(job: str, arguments: tuple[Any, ...]) -> tuple[bool, Any]:
    """What the job gives; a refusal is the room's own sentence."""
    try:
        return True, JOBS[job](*arguments)
    except (PictureError, CraftError, PlanError) as wrong:
        return False, wrong.args[0] if wrong.args else str(wrong)


def serve(questions: BinaryIO, answers: BinaryIO) -> None:
    """Answer until there are no more questions."""
    while True:
        try:
            job, arguments = pickle.load(questions)  # noqa: S301  # the parent's own words
        except EOFError:
            return
        pickle.dump(answer(job, arguments), answers)
        answers.flush()


if __name__ == "__main__":
    if hasattr(os, "nice"):
        # Phones that record a boil go before pictures.
        os.nice(KINDER)
    # Whatever a library prints must not run into the answers.
    out = os.fdopen(os.dup(sys.stdout.fileno()), "wb")
    os.dup2(sys.stderr.fileno(), sys.stdout.fileno())
    serve(sys.stdin.buffer, out)
