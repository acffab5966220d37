"""The hand that does the long work: one child, which may be ended at any moment."""

import signal
import subprocess
import sys
from collections.abc import Iterator

import pytest
from django.conf import settings

from shop.plan.drawing_work import Lettering, Planned
from shop.plan.numbers import shop_numbers
from shop.screens.office.picture_hand import CHILD, MOST_WAITING, CouldNot, Hand, TookTooLong

HOW = Planned(shop_numbers({}), 11_000_000, 14_000)
I_ = Lettering("I", False, "red", "white", 32_000)
# A child that answers each question after so long, with its own process number.
SLOW = """
import pickle, sys, time, os
while True:
    job, arguments = pickle.load(sys.stdin.buffer)
    time.sleep(arguments[0])
    pickle.dump((True, os.getpid()), sys.stdout.buffer); sys.stdout.flush()
"""


@pytest.fixture
def hand() -> Iterator[Hand]:
    one = Hand()
    yield one
    one.close()


@pytest.fixture
def slow() -> Iterator[Hand]:
    one = Hand(longest_s=1, child=[sys.executable, "-c", SLOW])
    yield one
    one.close()


def test_one_question_is_asked_once_and_a_refusal_stays_one(hand: Hand) -> None:
    assert hand.ask("from_text", I_, HOW) is hand.ask("from_text", I_, HOW)
    assert hand.now("from_text", I_, HOW).labels.startswith(b"\x89PNG")
    wrong = Lettering("?", False, "red", "white", 32_000)
    for _ in range(2):
        with pytest.raises(CouldNot, match="can't be laid from strips"):
            hand.now("from_text", wrong, HOW)


def test_the_next_question_finds_another_child_where_one_died(hand: Hand) -> None:
    kept = hand.now("from_text", I_, HOW)
    assert hand.child is not None
    hand.child.send_signal(signal.SIGKILL)
    hand.child.wait()
    assert len(hand.now("looked", kept, HOW).drawn.parts) > 3


def test_work_that_takes_too_long_is_ended_told_once_and_may_be_tried_again(slow: Hand) -> None:
    late = slow.ask("x", 60)
    with pytest.raises(TookTooLong, match="within 1 s"):
        late.result(30)
    assert slow.ask("x", 60) is late
    assert slow.ask("x", 60) is not late
    assert slow.child is None or slow.child.poll() is None
    assert slow.now("x", 0) > 0


def test_who_waits_is_told_so_and_a_queue_has_an_end() -> None:
    """The child is held up for good, so that no clock decides."""
    held = Hand(longest_s=600, child=[sys.executable, "-c", SLOW])
    with pytest.raises(CouldNot, match=r"more than 0\.1 s"):
        held.now("x", 600, within_s=0.1)
    for n in range(MOST_WAITING - 1):
        held.ask("x", 601 + n)
    with pytest.raises(CouldNot, match="wait already"):
        held.ask("x", 700)
    assert held.ask("x", 600) is held.ask("x", 600)
    while not held.questions.empty():
        held.questions.get()
    held.close()


def test_the_child_ends_with_its_parent() -> None:
    """Its parent's end is the end of its input, however the parent ended."""
    child = subprocess.Popen(CHILD, cwd=settings.BASE_DIR, stdin=subprocess.PIPE)
    assert child.stdin is not None
    child.stdin.close()
    assert child.wait(60) == 0
