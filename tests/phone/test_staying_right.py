"""A phone beside its own copies, its server's count, a newer app, a switched-off worker."""

from __future__ import annotations

import json
from pathlib import Path

from playwright.sync_api import Page, Playwright, Route

from tests.browsers import phone, wait_true
from tests.phone.conftest import BATCH, PRESS, at_the_roller, press_to_the_shop, stand, stored
from tests.play.crew import OWN_LINES
from tests.programs import Program, beside, free_port, running, wait_until

WORKERS = "navigator.serviceWorker.getRegistrations().then((all) => all.length)"
OFF = "document.querySelector('meta[name=worker]')?.content === 'off'"
CACHES = "caches.keys().then((names) => names.filter((n) => n.startsWith('kettleside-')).length)"
# As if a page's one look for a newer worker, some seconds after its start, fell on every moment.
LOOK_ALWAYS = """addEventListener('DOMContentLoaded', async () => {
  if (document.querySelector('meta[name=worker]')) return;
  const boot = document.querySelector('script[type=module]').src;
  const { whenControlled } = await import(boot.replace('boot.js', 'sync/updates.js'));
  const later = setTimeout;
  setInterval(() => {
    window.setTimeout = (act) => later(act);
    whenControlled().catch(() => {});
    window.setTimeout = later;
  }, 5);
})"""
FORGET = """() => new Promise((done) => {
  indexedDB.open('kettleside').onsuccess = ({ target: { result: db } }) => {
    const all = db.transaction(['own', 'phone'], 'readwrite');
    all.objectStore('own').clear();
    const phone = all.objectStore('phone').get('phone');
    phone.onsuccess = () => {
      const record = { ...phone.result, seq: 0, acked: [] };
      all.objectStore('phone').put(record, 'phone');
    };
    all.oncomplete = () => { db.close(); localStorage.clear(); done(); };
  };
})"""
CLOSE_BY_ANOTHER = """
import json
from shop.store import access, append
shop = access.only_shop()
act = {"batch": "demo-handover", "kind": "batch_closed", "body": {}, "by": "greta"}
append.office_event(shop_id=shop.id, **act)
answer = "closed"
"""
# Two people took the boil without having seen each other: one reading of it must be picked.
TWO_TOOK = """
from shop.store import access, append
shop = access.only_shop()
for who in ("tobit", "greta"):
    append.office_event(
        shop_id=shop.id, batch="demo-handover", kind="boil_taken", body={"from": "maren"}, by=who
    )
answer = "two"
"""


def home(page: Page, program: Program) -> None:
    page.goto(f"http://localhost:{program.port}/floor/#/")


def test_a_second_tab_takes_the_pen_when_the_first_is_closed(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        stand(context.pages[0], program)
        other = context.new_page()
        other.goto(f"http://localhost:{program.port}/floor/#/b/{BATCH}")
        other.get_by_text("Open in another tab").first.wait_for()
        context.pages[0].close()
        other.locator(".station .finish").wait_for()
        other.evaluate(PRESS)
        wait_true(other, "performance.getEntriesByName('kept').length > 0")


def test_a_phone_put_back_to_a_copy_stops_before_it_uses_a_number_twice(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        stand(page, program)
        press_to_the_shop(page, program)
        page.wait_for_timeout(1500)
        # From a page where the app does not run and write it all back.
        page.goto(f"http://localhost:{program.port}/office/sign-in/")
        page.evaluate(FORGET)
        beside(program.data, TWO_TOOK)
        page.goto(f"http://localhost:{program.port}/floor/")
        page.get_by_text("lost entries 1 to 1").first.wait_for()


def test_an_open_conflict_holds_the_closing_back_until_a_person_settles_it(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        stand(page, program)
        beside(program.data, TWO_TOOK)
        page.goto(f"http://localhost:{program.port}/floor/#/b/demo-handover/end")
        page.get_by_role("button", name="Settle first").click(timeout=20_000)
        page.locator(".row", has_text="Two took the boil").click()
        page.locator(".panel").get_by_text("Greta has the boil").click()
        page.goto(f"http://localhost:{program.port}/floor/#/b/demo-handover/end")
        page.get_by_role("button", name="Hold to close").wait_for()


def test_an_ended_boil_leaves_the_days_news_and_is_fetched_when_it_is_wanted(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        asked: list[str] = []
        page.on("request", lambda r: asked.append(r.url) if "/sync/" in r.url else None)
        stand(page, program)
        home(page, program)
        beside(program.data, CLOSE_BY_ANOTHER)
        page.get_by_role("button", name="Earlier boils").click(timeout=30_000)
        page.locator(".row", has_text="L6329B").click()
        page.get_by_text("Bad pieces, first rack").first.wait_for()
        assert any(url.endswith("/sync/batch/demo-handover") for url in asked)


def test_a_switched_off_worker_goes_and_what_was_recorded_stays(
    playwright: Playwright, tmp_path: Path
) -> None:
    data, port = tmp_path / "data", free_port()
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        with running(data, "demo", port=port) as program:
            stand(page, program)
            context.set_offline(True)
            page.evaluate(PRESS)
            wait_true(page, "performance.getEntriesByName('kept').length > 0")
            kept = page.evaluate(OWN_LINES)
        with running(data, "demo", port=port, KETTLESIDE_WORKER="off") as program:
            context.set_offline(False)
            page.goto(f"http://localhost:{port}/floor/#/")
            page.reload()
            # The worker that is there looks for a newer one, finds the switch and goes.
            # The page is then brought over the network, by a shell that says so.
            wait_true(page, f"{WORKERS}.then((n) => n === 0 && {OFF})", 30)
            assert page.evaluate(CACHES) == 0
            at_the_roller(page, program)
            assert page.evaluate(OWN_LINES) == kept
            wait_until(lambda: set(kept) <= stored(data), 20)
        with running(data, "demo", port=port) as program:
            page.goto(f"http://localhost:{port}/floor/#/b/{BATCH}")
            page.reload()
            wait_true(page, f"{WORKERS}.then((n) => n === 1)", 30)


def test_a_page_that_looks_for_a_newer_worker_does_not_bring_back_one_that_goes(
    playwright: Playwright, tmp_path: Path
) -> None:
    data, port = tmp_path / "data", free_port()
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        with running(data, "demo", port=port) as program:
            stand(page, program)
        context.add_init_script(LOOK_ALWAYS)
        with running(data, "demo", port=port, KETTLESIDE_WORKER="off"):
            page.goto(f"http://localhost:{port}/floor/#/")
            page.reload()
            wait_true(page, f"{WORKERS}.then((n) => n === 0 && {OFF})", 30)


def test_an_app_too_old_may_send_and_go_on_but_not_start(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]

        def newer(route: Route) -> None:
            answer = route.fetch()
            text = answer.text()
            first, nl, rest = text.partition("\n")
            if answer.status == 200:
                first = json.dumps({**json.loads(first), "min_start": 2})
            route.fulfill(response=answer, body=first + nl + rest)

        context.route("**/sync/pull**", newer)
        stand(page, program)
        # The boil that is lit goes on,
        press_to_the_shop(page, program)
        # the one that is not is not begun.
        page.goto(f"http://localhost:{program.port}/floor/#/b/demo-planned/kettle")
        page.get_by_text("Too old an app to start a boil").first.wait_for()
        context.unroute_all(behavior="ignoreErrors")


# As if it were so many days later, from a page where the app does not run and holds the pen.
FORGET_LATER = """async (js) => {
  const { openShelf } = await import(`${js}store/shelf.js`);
  const { forget } = await import(`${js}store/forgetting.js`);
  await navigator.locks.request('kettleside-writer', () => {});
  const shelf = await openShelf();
  const after = async (days) => {
    await forget(shelf, shelf.now() + days * 24 * 3600000);
    const pages = (await shelf.database.pages()).flatMap(({ lines }) => lines);
    const count = (batch) => pages.filter((line) => line.startsWith(`{"batch":"${batch}"`)).length;
    return [shelf.own.size, shelf.record.seq, count('demo-handover'), count('demo-planned')];
  };
  return [await after(29), await after(31)];
}"""
TREE = "document.querySelector('script[type=module]').src.replace(/boot[.]js$/, '')"


def test_after_a_month_what_the_shop_has_leaves_the_phone_and_no_number_comes_again(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        stand(page, program)
        tree = page.evaluate(TREE)
        press_to_the_shop(page, program)
        beside(program.data, CLOSE_BY_ANOTHER)
        home(page, program)
        page.get_by_role("button", name="Earlier boils").wait_for(timeout=30_000)

        page.goto(f"http://localhost:{program.port}/office/sign-in/")
        before, later = page.evaluate(FORGET_LATER, tree)
        own, seq, ended, running = before
        assert (own, seq, ended > 100, running) == (1, 1, True, 1)
        assert later == [0, 1, 0, 1]
        # The app goes on with the next number, and the ended boil comes back when it is wanted.
        home(page, program)
        page.get_by_role("button", name="Earlier boils").click()
        page.locator(".row", has_text="L6329B").click()
        page.get_by_text("Bad pieces, first rack").first.wait_for()
