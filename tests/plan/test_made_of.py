"""What our way is made of: every step is in it once, and two of them tell what differs."""

import re

from hypothesis import given
from hypothesis import strategies as st

from shop.plan.made_of import differences, made_of
from shop.plan.own_way import file_of_way

STEPS = st.dictionaries(
    st.from_regex(r"[a-z]{1,3}\.[a-z]{1,2}", fullmatch=True), st.sampled_from("abc")
)


def test_every_step_of_our_way_is_in_it_once() -> None:
    whole, *steps = made_of().split()
    assert re.fullmatch("[0-9a-f]{64}", whole)
    ids = [step["id"] for station in file_of_way("steps")["station"] for step in station["step"]]
    assert [step.split("=")[0] for step in steps] == sorted(set(ids))
    assert len(ids) == len(set(ids)) > 60


def told(steps: dict[str, str]) -> str:
    return " ".join(["hash", *(f"{step}={digest}" for step, digest in steps.items())])


@given(STEPS, STEPS)
def test_what_differs_leads_from_one_to_the_other_and_back(
    was: dict[str, str], now: dict[str, str]
) -> None:
    there, back = differences(told(was), told(now)), differences(told(now), told(was))
    assert (there["added"], there["removed"]) == (back["removed"], back["added"])
    assert there["changed"] == back["changed"]
    built = {step: digest for step, digest in was.items() if step not in there["removed"]}
    built |= {step: now[step] for step in (*there["added"], *there["changed"])}
    assert built == now
    assert not any(differences(told(now), told(now)).values())
