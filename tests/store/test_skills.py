"""The training ladder: signed notes, how far somebody is, and when a skill is watched again."""

import itertools
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shop.models import SkillNote
from shop.plan.skills import RUNGS, ladder
from shop.store import numbers, skills
from shop.store.clock import now_ms
from shop.store.errors import MayNotSign, NotHere, OutOfRange
from shop.store.people import set_active, set_person
from shop.store.sign import Signer, sign, strike
from shop.store.skills import DAY_MS, SkillNoted, SkillStanding, standing_of
from tests.store.scene import Loft

MAREN, NOBODY = Signer("office", "maren"), Signer("office", "")
CREW = (("maren", "lead maker"), ("odo", "second hand"), ("tobit", "second hand"))
TWICE_AND_SIXTY = {"solo_times": 2, "rewatch_days": 60}


def solo(shop_id: int, person: str) -> tuple[str, ...] | None:
    """What the next sheet says this person does alone; None where no ladder is kept."""
    found = skills.all_solo(shop_id)
    return None if found is None else found.get(person, ())


@pytest.fixture
def crew(loft: Loft) -> int:
    """A lead maker and two hands; the shop's row."""
    for key, role in CREW:
        set_person(shop_id=loft.shop.id, key=key, name=key.title(), role=role)
    return loft.shop.id


def note(shop_id: int, rung: str, *, days_ago: int = 0, **more: Any) -> str:
    """Maren signs that Odo pulled, so many days ago."""
    happened = now_ms() - days_ago * DAY_MS
    given = {"person": "odo", "skill": "pull", "signer": MAREN, **more}
    return sign(shop_id=shop_id, rung=rung, happened=happened, **given)


def pulling(shop_id: int) -> SkillStanding:
    return next(s for s in skills.standings(shop_id, "odo") if s.skill == "pull")


def test_watched_assisted_alone_twice_and_then_it_counts_as_alone(crew: int) -> None:
    for n, rung in enumerate(("watch", "assist", "assist", "solo")):
        note(crew, rung, days_ago=9 - n)
    assert (pulling(crew).watch, pulling(crew).assist, pulling(crew).solo) == (1, 2, 1)
    assert not pulling(crew).alone
    note(crew, "solo", days_ago=1)
    found = pulling(crew)
    assert found.alone
    assert found.signed_by == "Maren"
    assert found.last is not None
    assert (now_ms() - found.last) // DAY_MS == 1
    assert [s.skill for s in skills.standings(crew, "odo")] == [s.id for s in ladder()]


def test_how_often_alone_is_the_shops_own_number(crew: int) -> None:
    note(crew, "solo")
    numbers.change_number(
        shop_id=crew, key="solo_times", value=1, unit="1", source="ours", low=1, high=10
    )
    assert pulling(crew).alone


def test_a_wrong_note_is_struck_and_both_stay(crew: int) -> None:
    wrong, right = note(crew, "solo"), note(crew, "solo")
    assert pulling(crew).alone
    strike(shop_id=crew, person="odo", key=wrong, signer=MAREN, note="That was Tobit")
    strike(shop_id=crew, person="odo", key=wrong, signer=MAREN)
    assert not pulling(crew).alone
    listed = skills.noted(crew, "odo")
    assert [(n.rung, n.struck, n.note) for n in listed] == [
        ("struck", False, "That was Tobit"),
        ("solo", False, ""),
        ("solo", True, ""),
    ]
    assert SkillNote.objects.count() == 3
    with pytest.raises(NotHere, match="signed note"):
        strike(shop_id=crew, person="odo", key=listed[0].key, signer=MAREN)
    with pytest.raises(NotHere, match="signed note"):
        strike(shop_id=crew, person="tobit", key=right, signer=MAREN)


def test_a_form_sent_twice_is_one_note(crew: int) -> None:
    assert note(crew, "watch", key="ab") == note(crew, "watch", key="ab") == "ab"
    assert pulling(crew).watch == 1


@pytest.mark.parametrize(
    ("wrong", "error", "said"),
    [
        ({"signer": NOBODY}, MayNotSign, "signed by a lead maker, and at this desk sits nobody"),
        ({"signer": Signer("o", "tobit")}, MayNotSign, "at this desk sits Tobit, second hand"),
        ({"skill": "juggling"}, NotHere, "no skill 'juggling'"),
        ({"person": "ina"}, NotHere, "no person 'ina'"),
        ({"days_ago": -2}, OutOfRange, "The moment it was done"),
    ],
)
def test_what_can_not_be_signed_is_refused_and_nothing_is_kept(
    crew: int, wrong: dict[str, Any], error: type[Exception], said: str
) -> None:
    with pytest.raises(error, match=said):
        note(crew, "solo", **wrong)
    with pytest.raises(NotHere, match="no rung 'master'"):
        note(crew, "master")
    assert not SkillNote.objects.exists()


def test_who_has_left_the_phones_signs_no_more(crew: int) -> None:
    set_active(shop_id=crew, key="maren", active=False)
    with pytest.raises(MayNotSign):
        note(crew, "watch")


def test_a_shop_without_a_note_keeps_no_ladder(crew: int, outsider: Loft) -> None:
    assert solo(crew, "odo") is None
    note(crew, "watch")
    assert solo(crew, "odo") == solo(crew, "tobit") == ()
    note(crew, "solo")
    note(crew, "solo")
    assert solo(crew, "odo") == ("pull",)
    assert solo(outsider.shop.id, "odo") is None
    assert skills.noted(outsider.shop.id, "odo") == []


def test_after_sixty_days_away_it_is_watched_again_and_until_then_not_done_alone(
    crew: int,
) -> None:
    """60 days: common practice, no source."""
    note(crew, "solo", days_ago=90)
    note(crew, "solo", days_ago=61)
    assert pulling(crew).rewatch
    assert solo(crew, "odo") == ()
    note(crew, "watch")
    assert not pulling(crew).rewatch
    assert solo(crew, "odo") == ("pull",)


NOW = 1_800_000_000_000
notes = st.lists(st.tuples(st.sampled_from(RUNGS), st.integers(0, 400), st.booleans()), max_size=12)


@given(notes)
def test_every_order_of_the_same_notes_is_the_same_standing(
    told: list[tuple[str, int, bool]],
) -> None:
    """Counts are conserved, struck ones count nowhere, and the newest that stands decides."""
    made = [
        SkillNoted(str(n), "pull", rung, NOW - days * DAY_MS, NOW, "", "Maren", "", struck)
        for n, (rung, days, struck) in enumerate(told)
    ]
    standing = [one for one in told if not one[2]]
    for order in itertools.islice(itertools.permutations(made), 6):
        found = standing_of("pull", order, TWICE_AND_SIXTY, NOW)
        assert found.watch + found.assist + found.solo == len(standing)
        assert found.alone is (sum(rung == "solo" for rung, _, _ in standing) >= 2)
        newest = min((days for _, days, _ in standing), default=None)
        assert found.last == (None if newest is None else NOW - newest * DAY_MS)
        assert found.rewatch is (found.alone and newest is not None and newest > 60)
        assert standing_of("spin", order, TWICE_AND_SIXTY, NOW).last is None


@given(notes, st.integers(0, 400))
def test_one_more_note_never_takes_a_skill_away(
    told: list[tuple[str, int, bool]], days: int
) -> None:
    made = [
        SkillNoted(str(n), "pull", rung, NOW - ago * DAY_MS, NOW, "", "", "", struck)
        for n, (rung, ago, struck) in enumerate(told)
    ]
    more = SkillNoted("more", "pull", "watch", NOW - days * DAY_MS, NOW, "", "", "", struck=False)
    before, after = (
        standing_of("pull", found, TWICE_AND_SIXTY, NOW) for found in (made, [*made, more])
    )
    assert after.alone is before.alone
    assert after.rewatch <= before.rewatch


def test_what_the_floor_recorded_is_offered_until_it_is_signed(crew: int, loft: Loft) -> None:
    body = {"skill": "pull", "who": "maren"}
    for _ in range(2):
        loft.table.press("stands_beside", body, by="odo", station="hook")
    loft.table.press("stands_beside", {"skill": "spin", "who": "maren"}, by="tobit")
    loft.table.press("stands_beside", body, by="tobit")
    loft.table.press("struck", {"target": f"{loft.table.device}:4", "reason": ""}, by="tobit")
    loft.table.push()
    [offer] = skills.seen(crew, "odo", most=12)
    assert (offer.skill, offer.who, offer.letter, offer.batch) == ("pull", "maren", "A", "b1")
    assert [o.skill for o in skills.seen(crew, "tobit", most=12)] == ["spin"]
    key = note(crew, "assist", boil="b1")
    assert skills.seen(crew, "odo", most=12) == []
    strike(shop_id=crew, person="odo", key=key, signer=MAREN)
    assert skills.seen(crew, "odo", most=12) == []
