"""Long work on pictures, done beside the server: one child process, one question at a time.

The server answers every phone from one thread, so nothing that takes seconds may run in it. A
page asks, is told 'not yet', and asks again; what was answered is kept for a while.
"""

import hashlib
import pickle
import subprocess
import sys
import threading
from collections import OrderedDict
from concurrent.futures import Future
from concurrent.futures import TimeoutError as TooSlow
from itertools import count
from queue import PriorityQueue
from typing import IO, Any, cast

from django.conf import settings

MOST_KEPT, MOST_WAITING = 64, 12
# Longer than any picture took, also on a busy machine; then the child is ended and begun anew.
LONGEST_S = 60
# What somebody waits for goes before what a page asks about again; behind one that is being worked
# on, and no longer: whoever waits here keeps all phones waiting.
NOW, LATER = 0, 1
BUSY_S = 15
CHILD = [sys.executable, "-m", "shop.screens.office.picture_child"]


class CouldNot(Exception):
    """The work was refused or took too long; its words are for people."""


class TookTooLong(CouldNot):
    """The child was ended, or ended by itself, before it answered."""

    def __init__(self, limit_s: float) -> None:
        super().__init__(
            f"This picture could not be worked out within {limit_s:g} s. "
            "Make it simpler: fewer colours, fewer and larger areas."
        )
        self.limit_s = limit_s


class Hand:
    """Asks the child, keeps its answers."""

    def __init__(self, longest_s: float = LONGEST_S, child: list[str] = CHILD) -> None:
        self.longest_s, self.command = longest_s, child
        self.child: subprocess.Popen[bytes] | None = None
        self.questions: PriorityQueue[tuple[int, int, bytes, Future[Any]]] = PriorityQueue()
        self.asked = count()
        self.thread: threading.Thread | None = None
        self.lock = threading.Lock()
        self.kept: OrderedDict[str, Future[Any]] = OrderedDict()

    def ask(self, job: str, *arguments: Any, turn: int = LATER) -> "Future[Any]":
        """The answer as it comes; the same question is asked once."""
        question = pickle.dumps((job, arguments))
        key = hashlib.sha256(question).hexdigest()
        with self.lock:
            if key in self.kept:
                return self._known(key)
            if self._waiting() >= MOST_WAITING:
                raise CouldNot(f"{MOST_WAITING} pictures wait already. Ask again in a minute.")
            future: Future[Any] = Future()
            self.kept[key] = future
            self._forget()
            self.questions.put((turn, next(self.asked), question, future))
            self._begin()
            return future

    def now(self, job: str, *arguments: Any, within_s: float = 30) -> Any:
        """The answer, waited for; not for long while another is worked on. Raises CouldNot."""
        wanted = self.ask(job, *arguments, turn=NOW)
        others = self._waiting() - (not wanted.done())
        within_s = min(within_s, BUSY_S) if others else within_s
        try:
            return wanted.result(within_s)
        except TooSlow as late:
            raise CouldNot(f"This takes more than {within_s:g} s. Ask again in a minute.") from late

    def _waiting(self) -> int:
        return sum(not future.done() for future in list(self.kept.values()))

    def _begin(self) -> None:
        """One thread hands the questions on; it never keeps the server from ending."""
        if self.thread is None:
            self.thread = threading.Thread(target=self._serve, name="pictures", daemon=True)
            self.thread.start()

    def _serve(self) -> None:
        while True:
            _, _, question, future = self.questions.get()
            try:
                future.set_result(self._asked(question))
            except Exception as wrong:
                future.set_exception(wrong)

    def _known(self, key: str) -> "Future[Any]":
        """What was asked before; that it took too long is told once, then it is tried anew."""
        found = self.kept[key]
        self.kept.move_to_end(key)
        if found.done() and isinstance(found.exception(), TookTooLong):
            del self.kept[key]
        return found

    def _forget(self) -> None:
        """The oldest answers go; what is still worked on stays."""
        for key in [key for key, future in self.kept.items() if future.done()]:
            if len(self.kept) <= MOST_KEPT:
                return
            del self.kept[key]

    def _asked(self, question: bytes) -> Any:
        """One question to the child; whatever ends it, the next question gets another."""
        child = self._child()
        late = threading.Timer(self.longest_s, child.kill)
        late.start()
        try:
            ask, answers = cast(IO[bytes], child.stdin), cast(IO[bytes], child.stdout)
            ask.write(question)
            ask.flush()
            good, said = pickle.load(answers)  # noqa: S301  # our own child's
        except (OSError, EOFError, pickle.UnpicklingError) as lost:
            self.close()
            raise TookTooLong(self.longest_s) from lost
        finally:
            late.cancel()
        if not good:
            raise CouldNot(said)
        return said

    def _child(self) -> "subprocess.Popen[bytes]":
        if self.child is not None and self.child.poll() is not None:
            self.close()
        if self.child is None:
            pipe = subprocess.PIPE
            self.child = subprocess.Popen(  # noqa: S603  # our own program, no shell
                self.command, cwd=settings.BASE_DIR, stdin=pipe, stdout=pipe
            )
        return self.child

    def close(self) -> None:
        """End the child, if there is one."""
        child, self.child = self.child, None
        if child is not None:
            child.kill()
            child.communicate()


HAND = Hand()
