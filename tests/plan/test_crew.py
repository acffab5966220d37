"""Roles: each act is somebody's, the sheet carries them, and people keep the role they have."""

from shop.demo.scenario import PEOPLE, demo_sheet
from shop.plan.crew import acts, of_a_sheet, roles, who_may


def test_every_act_has_words_and_is_somebodys_and_no_role_has_another() -> None:
    assert {act for role in roles() for act in role.may} == set(acts())
    assert all(who_may(act) for act in acts())
    assert all(words == words.strip(".") and words.islower() for words in acts().values())


def test_roles_are_told_apart_by_id_and_by_name() -> None:
    for names in ([role.id for role in roles()], [role.name for role in roles()]):
        assert len(set(names)) == len(names)
    assert [role.name for role in roles()] == [
        *("lead maker", "second hand", "roller hand", "front and packing")
    ]


def test_two_roles_may_have_the_boil_so_that_somebody_can_take_it() -> None:
    assert who_may("have_boil") == ["lead maker", "second hand"]


def test_a_sheet_carries_the_roles_of_its_people() -> None:
    sheet = demo_sheet("demo-planned")
    assert sheet["roles"] == of_a_sheet()
    named = {role["name"] for role in sheet["roles"]}
    assert {person["role"] for person in sheet["people"]} <= named
    assert [p["role"] for p in sheet["people"]] == [person.role for person in PEOPLE]
