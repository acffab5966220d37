"""Our way at the desk: edited in plain forms, put in force in versions, taken back."""

import json

import pytest
from django.contrib.auth.models import User
from django.test import Client

from shop.plan import own_way
from shop.plan.own_way import own_of, own_text, program_flat, way_of
from shop.store import access, batches, ways
from shop.store.changes import changes
from shop.store.errors import WayMoved, WayWrong
from shop.store.read import batch_sheet
from shop.store.shapes import ShopInfo
from shop.store.shops import say_who
from tests.office.conftest import user_of
from tests.office.test_desk import order

PULL = "steps/hook.pull/call"


def fields(flat: own_way.Flat, step: str, **more: object) -> dict[str, object]:
    """What the form of a step sends when nothing is changed but `more`."""
    now = own_way.step_of(flat, step)
    plain = {key: now[key] for key in ("say", "call", "cue", "band", "caution", "number", "skill")}
    flags = {key: "on" for key in ("stop", "needs_value", "second_person") if now[key]}
    lists = {f"line_{n}": one for n, one in enumerate(now["lines"])}
    lists |= {f"record_{n}": one for n, one in enumerate(now["record"])}
    return {**plain, **flags, **lists, "after": now["after"], **more}


def keep(lead: Client, step: str, **more: object) -> None:
    answer = lead.post(f"/office/way/step/{step}/", fields(program_flat(), step, **more))
    assert answer.status_code == 302, answer.content.decode()


def force(lead: Client, why: str = "It is shorter") -> str:
    return lead.post("/office/way/force/", {"why": why}, follow=True).content.decode()


def plan(lead: Client, number: str = "W-0300") -> str:
    lead.post("/office/plan/", {**order(), "number": number})
    (batch,) = [one for one in access_batches(lead) if number in one]
    return batch


def access_batches(lead: Client) -> list[str]:
    return [one.key for one in batches.batches(access.only_shop().id)]


@pytest.mark.parametrize("step", ["cook.light", "colour.{id}", "block.{id}", "roller.gauge"])
def test_a_form_kept_as_it_came_changes_nothing(lead: Client, demo: ShopInfo, step: str) -> None:
    keep(lead, step)
    assert ways.draft(demo.id)[0]["set"] == {}


def test_a_step_is_reworded_put_in_force_and_stands_on_the_next_sheet_alone(
    lead: Client, demo: ShopInfo
) -> None:
    before = plan(lead, "W-0300")
    keep(lead, "hook.pull", call="Pull it")
    assert "Pull it" not in str(batch_sheet(access.access_batch(demo.id, plan(lead, "W-0301"))))
    said = force(lead)
    assert "Version 1 holds from the next sheet on" in said
    sheet = batch_sheet(access.access_batch(demo.id, plan(lead, "W-0302")))
    assert (sheet["steps"]["hook.pull"]["call"], sheet["way"]) == ("Pull it", 1)
    assert batch_sheet(access.access_batch(demo.id, before))["steps"]["hook.pull"]["call"] == "Pull"
    told = [one for one in changes(demo.id, most=9) if one.about == "our way"]
    assert {(one.what, one.before, one.after, one.by) for one in told} == {
        ("version", "0", "1", "office"),
        ("why", "", "It is shorter", "office"),
    }


def test_what_was_taken_back_is_the_older_text_to_the_byte(lead: Client, demo: ShopInfo) -> None:
    keep(lead, "hook.pull", call="Pull it")
    force(lead)
    first = ways.newest(demo.id)
    keep(lead, "hook.pull", call="Pull more")
    force(lead)
    lead.post("/office/way/back/1/")
    now = ways.newest(demo.id)
    assert (now.number, now.was, now.text, now.sha256) == (3, 2, first.text, first.sha256)
    assert ways.way_for(demo.id).steps == way_of(program_flat() | {PULL: "Pull it"}).steps
    lead.post("/office/way/back/0/")
    assert ways.newest(demo.id).text == own_text(own_of(program_flat()))
    assert [one.number for one in ways.versions(demo.id)] == [4, 3, 2, 1]


def test_two_versions_are_told_apart_in_words(lead: Client) -> None:
    keep(lead, "hook.pull", call="Pull it")
    lead.post("/office/way/act/", {"act": "drop", "step": "hook.density"})
    lead.post("/office/way/act/", {"act": "add", "station": "hook"})
    lead.post("/office/way/act/", {"act": "up", "step": "setup.phone"})
    force(lead)
    page = lead.get("/office/way/0/1/").content.decode()
    for words in ("Pull it", "Weigh a trial rod of the white", "A step of our own", "Set-up"):
        assert words in page
    # One line each, and the heads of the columns.
    assert page.count("<tr><th") == 5
    assert "Nothing is otherwise." in lead.get("/office/way/1/1/").content.decode()


def test_a_step_goes_down_out_and_back_in(lead: Client, demo: ShopInfo) -> None:
    def hook() -> list[str]:
        found: list[str] = own_way.applied(ways.draft(demo.id)[0])["order/hook"]
        return found

    whole = hook()
    lead.post("/office/way/act/", {"act": "down", "step": "hook.pull"})
    assert hook() == [whole[0], whole[2], whole[1], whole[3]]
    lead.post("/office/way/act/", {"act": "up", "step": "hook.pull"})
    lead.post("/office/way/act/", {"act": "drop", "step": "hook.pull"})
    assert hook() == [whole[0], *whole[2:]]
    lead.post("/office/way/act/", {"act": "restore", "step": "hook.pull"})
    assert hook() == whole
    assert ways.draft(demo.id)[0]["set"] == {}


def test_what_the_program_says_for_safety_keeps_it_from_being_put_in_force(
    lead: Client, demo: ShopInfo
) -> None:
    lead.post("/office/way/act/", {"act": "drop", "step": "setup.tub"})
    said = force(lead)
    assert "can’t be dropped: nothing is lit without it" in said
    assert ways.newest(demo.id).number == 0
    with pytest.raises(WayWrong, match="nothing is lit without it"):
        ways.put_in_force(shop_id=demo.id, note_="", by="")


def test_without_a_reason_nothing_is_put_in_force(lead: Client, demo: ShopInfo) -> None:
    keep(lead, "hook.pull", call="Pull it")
    assert "Say why" in force(lead, why=" ")
    assert ways.newest(demo.id).number == 0


def test_a_draft_begun_before_another_version_is_not_put_over_it(
    lead: Client, demo: ShopInfo
) -> None:
    keep(lead, "hook.pull", call="Pull it")
    ways.take_back(shop_id=demo.id, number=0, note_="", by="")
    with pytest.raises(WayMoved, match="Version 1 came while"):
        ways.put_in_force(shop_id=demo.id, note_="", by="")
    lead.post("/office/way/force/", {"forget": "1"})
    assert not ways.is_draft(demo.id)


def test_only_whose_role_may_changes_our_way(
    lead: Client, demo: ShopInfo, outsider: Client
) -> None:
    user = User.objects.get(username="office")
    say_who(shop_id=demo.id, user=user.username, person="tobit")
    answer = lead.post(
        "/office/way/step/hook.pull/", fields(program_flat(), "hook.pull"), follow=True
    )
    assert "who may change our way: lead maker" in answer.content.decode()
    say_who(shop_id=demo.id, user=user.username, person="maren")
    keep(lead, "hook.pull", call="Pull it")
    assert outsider.get("/office/way/").status_code == 302


def test_two_shops_have_ways_of_their_own(lead: Client, demo: ShopInfo) -> None:
    from shop.store.shops import create_shop

    other = create_shop(slug="other", name="Other")
    keep(lead, "hook.pull", call="Pull it")
    force(lead)
    assert ways.way_for(other.id).steps == way_of(program_flat()).steps
    user_of("theirs", other)
    assert ways.newest(other.id).number == 0


def test_the_lists_kept_as_they_came_change_nothing(lead: Client, demo: ShopInfo) -> None:
    page = lead.get("/office/way/lists/")
    form = page.context["form"]
    given = {name: form.get_initial_for_field(f, name) or "" for name, f in form.fields.items()}
    lead.post("/office/way/lists/", given)
    assert ways.draft(demo.id)[0]["set"] == {}
    lead.post("/office/way/lists/", {**given, "burn": "Burn kit: left of the door"})
    assert ways.draft(demo.id)[0]["set"] == {"burn/own": ["Burn kit: left of the door"]}
    lead.post("/office/way/lists/", {**given, "marks": given["marks"] + "\nToo sweet"})
    assert ways.draft(demo.id)[0]["set"]["marks"][-1] == {"id": "own_1", "words": "Too sweet"}


def test_a_phone_in_the_office_may_be_framed_by_our_own_pages_only(lead: Client) -> None:
    answer = lead.get("/office/way/phone/hook.pull/")
    assert "frame-ancestors 'self'" in answer["Content-Security-Policy"]
    assert answer["X-Frame-Options"] == "SAMEORIGIN"
    page = answer.content.decode()
    sheet = json.loads(
        page.split('<script id="sheet" type="application/json">')[1].split("</script>")[0]
    )
    assert sheet["steps"]["hook.pull"]["call"] == "Pull"
    assert "frame-ancestors 'none'" in lead.get("/office/way/")["Content-Security-Policy"]
