"""A note on an injury or a near miss: kept with no network, sent once, then gone from the phone;
on no other phone, in no export and no file for another phone at any time."""

from __future__ import annotations

import json
import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

from playwright.sync_api import BrowserContext, Page, Playwright, Route

from tests.browsers import phone, wait_true
from tests.phone.conftest import BATCH, at_the_roller, press_to_the_shop, stand
from tests.programs import Program, manage, wait_until

# No other word of the shop or the phone holds it.
WORD = "zyzzyva-blister"
WAITS = "A restricted note is still here"
KEPT_HERE = "document.querySelector('.lead')?.textContent.startsWith('Kept on this phone')"
SENT = "document.querySelector('.lead')?.textContent.startsWith('The shop has it')"
# All that the phone holds, and all it remembers outside its database, as text.
EVERYTHING = """() => new Promise((done, fail) => {
  const request = indexedDB.open('kettleside');
  request.onerror = () => fail(request.error);
  request.onsuccess = async () => {
    const db = request.result, found = [JSON.stringify({ ...localStorage })];
    for (const name of db.objectStoreNames) await new Promise((next) => {
      const all = db.transaction(name).objectStore(name).getAll();
      all.onsuccess = () => { found.push(`${name} ${JSON.stringify(all.result)}`); next(); };
    });
    db.close();
    done(found.join('\\n'));
  };
})"""


TO_SEND = """async () => {
  const boot = document.querySelector('script[type=module]').src;
  const { toSend } = await import(boot.replace('boot.js', 'store/incidents.js'));
  const note = (id, shop, say) => ({ id, shop, ...(say && { say }) });
  const incidents = [note('a', 'loft'), note('b', 'other'), note('c', ''), note('d', 'loft', 'no')];
  const of = (id) => toSend({ record: { incidents }, phone: { shop: { id } } }).map((n) => n.id);
  return [of('loft'), of('other'), toSend({ record: {}, phone: { shop: null } })];
}"""


def notes(program: Program) -> list[dict[str, Any]]:
    """What the shop's restricted record holds."""
    with closing(sqlite3.connect(program.data / "demo" / "kettleside.sqlite3")) as store:
        store.row_factory = sqlite3.Row
        return [dict(row) for row in store.execute("select * from shop_incidentnote")]


def to(page: Page, program: Program, place: str) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/{place}")


def write_one(page: Page, program: Program, kind: str, words: str) -> None:
    to(page, program, "phone")
    page.get_by_role("button", name="Injury or near miss").click()
    page.locator("textarea").fill(words)
    page.get_by_role("button", name=kind, exact=True).click()
    page.get_by_role("button", name="Send to the shop").click()


def lose_the_first_answer(context: BrowserContext) -> list[str]:
    """The shop takes the first note, and its answer never comes; ids of all that were sent."""
    asked: list[str] = []

    def handle(route: Route) -> None:
        asked.append(json.loads(route.request.post_data or "{}")["id"])
        if len(asked) == 1:
            route.fetch()
            route.abort()
        else:
            route.continue_()

    context.route("**/sync/incident", handle)
    return asked


def test_a_note_survives_a_restart_offline_is_sent_once_and_then_gone(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "one") as context:
        page = context.pages[0]
        stand(page, program)
        context.set_offline(True)
        write_one(page, program, "Injury", f"A {WORD}, rod 9")
        wait_true(page, KEPT_HERE)
        assert WORD in page.evaluate(EVERYTHING)
    with phone(playwright, tmp_path / "one") as context:
        page = context.pages[0]
        context.set_offline(True)
        to(page, program, "phone")
        page.get_by_text(WAITS).first.wait_for()
        assert WORD in page.evaluate(EVERYTHING)
        assert notes(program) == []
        asked = lose_the_first_answer(context)
        context.set_offline(False)
        page.locator("#app").get_by_text(WAITS).wait_for(state="detached", timeout=40_000)
        assert len(asked) == 2
        assert len(set(asked)) == 1
        [note] = notes(program)
        assert (note["text"], note["kind"], note["key"]) == (f"A {WORD}, rod 9", "injury", asked[0])
        assert WORD not in page.evaluate(EVERYTHING)
        press_to_the_shop_again(page, program)
        assert WORD not in page.evaluate(EVERYTHING)


def press_to_the_shop_again(page: Page, program: Program) -> None:
    """An entry after the note goes as always."""
    at_the_roller(page, program)
    press_to_the_shop(page, program)


def test_no_other_phone_export_or_file_for_one_ever_holds_it(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    batch = BATCH.split("/")[0]
    with phone(playwright, tmp_path / "one") as context:
        page = context.pages[0]
        stand(page, program)
        context.set_offline(True)
        write_one(page, program, "Near miss", f"A {WORD}")
        wait_true(page, KEPT_HERE)
        to(page, program, "phone")
        page.locator(".row", has_text="Hand my entries").click()
        with page.expect_download() as saved:
            page.locator(".panel").get_by_text("Save it as a file").click()
        saved.value.save_as(tmp_path / "file")
        assert WORD not in (tmp_path / "file").read_text("utf-8")
        context.set_offline(False)
        wait_until(lambda: [note["text"] for note in notes(program)] == [f"A {WORD}"], 30)
        press_to_the_shop_again(page, program)
    with phone(playwright, tmp_path / "two") as context:
        page = context.pages[0]
        stand(page, program)
        press_to_the_shop(page, program)
        everything = page.evaluate(EVERYTHING)
        assert f'"batch\\":\\"{batch}' in everything
        assert WORD not in everything
    said = manage(program.data, "record", batch, "--json", KETTLESIDE_SHOP="demo")
    assert json.loads(said.stdout)["batch"] == batch
    assert WORD not in said.stdout
    assert WORD not in program.said() + program.chatter()


def test_it_is_never_sent_half_said_and_says_so_where_the_phone_can_not_save(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "one") as context:
        page = context.pages[0]
        stand(page, program)
        to(page, program, "phone")
        page.get_by_role("button", name="Injury or near miss").click()
        send = page.get_by_role("button", name="Send to the shop")
        send.click()
        assert page.locator(".wrong").inner_text() == "Press which it was."
        page.get_by_role("button", name="Near miss", exact=True).click()
        send.click()
        assert page.locator(".wrong").inner_text() == "Say in a few words what happened."
        page.locator("textarea").fill(WORD)
        page.evaluate(
            "void (IDBDatabase.prototype.transaction = () => { throw new DOMException('gone'); })"
        )
        send.click()
        page.get_by_text("This phone can’t save it.").first.wait_for()
        assert page.locator("textarea").input_value() == WORD
        assert notes(program) == []


def test_the_screen_says_whose_notes_they_are_and_they_go_to_no_other_shop(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "one") as context:
        page = context.pages[0]
        stand(page, program)
        write_one(page, program, "Near miss", f"A {WORD}")
        wait_true(page, SENT)
        [note] = notes(program)
        assert (note["kind"], note["by"]) == ("near miss", "")
        to(page, program, "b/demo-handover/burn")
        page.locator(".burn").wait_for()
        assert "near miss" not in page.locator("body").inner_text().lower()
        to(page, program, "incident")
        words = page.locator(".screen").inner_text()
        assert "This goes to the shop’s restricted notes. It stays on no phone." in words
        assert "your local authority’s" in words
        assert page.locator("input").count() == 0
        assert page.evaluate(TO_SEND) == [["a", "c"], ["b", "c"], []]
