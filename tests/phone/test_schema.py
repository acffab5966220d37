"""A phone's database of an earlier version: raised in place, nothing lost, and never in silence."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import Playwright

from tests.browsers import phone, wait_true
from tests.phone.conftest import BATCH, PRESS, at_the_roller, stand
from tests.play.crew import OWN_LINES
from tests.programs import Program

# The same content in a database of version 1, which had no store for files.
BACK_TO_ONE = """async () => {
  const opened = (version, upgrade) => new Promise((done, fail) => {
    const request = indexedDB.open('kettleside', version);
    request.onupgradeneeded = () => upgrade?.(request.result);
    [request.onsuccess, request.onerror] = [() => done(request.result), () => fail(request.error)];
  });
  const all = (db, name, ask) => new Promise((done) => {
    db.transaction(name).objectStore(name)[ask]().onsuccess = (e) => done(e.target.result);
  });
  const stores = ['phone', 'own', 'pages', 'sheets'], now = await opened(), kept = {};
  for (const name of stores)
    kept[name] = [await all(now, name, 'getAllKeys'), await all(now, name, 'getAll')];
  now.close();
  await new Promise((done) => { indexedDB.deleteDatabase('kettleside').onsuccess = done; });
  const old = await opened(1, (db) => {
    db.createObjectStore('phone');
    db.createObjectStore('own', { keyPath: 'seq' });
    db.createObjectStore('pages', { autoIncrement: true });
    db.createObjectStore('sheets');
  });
  for (const name of stores) {
    const write = old.transaction(name, 'readwrite'), store = write.objectStore(name);
    const [keys, values] = kept[name];
    values.forEach((value, i) => store.put(value, ...(store.keyPath ? [] : [keys[i]])));
    await new Promise((done) => { write.oncomplete = done; });
  }
  window.old = old;
  return old.version;
}"""
VERSION = """new Promise((done) => {
  indexedDB.open('kettleside').onsuccess = ({ target: { result } }) => {
    const said = [result.version, [...result.objectStoreNames]];
    result.close();
    done(said);
  };
})"""


def test_a_database_of_an_earlier_version_is_raised_with_all_it_holds(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        stand(page, program)
        context.set_offline(True)
        page.evaluate(PRESS)
        wait_true(page, "performance.getEntriesByName('kept').length > 0")
        rods, kept = (
            page.locator(".station [data-at=number]").inner_text(),
            page.evaluate(OWN_LINES),
        )
        context.set_offline(False)
        page.goto(f"http://localhost:{program.port}/office/sign-in/")
        assert page.evaluate(BACK_TO_ONE) == 1
        # A tab that will not let go of the old version: the app says what to do, and waits.
        newer = context.new_page()
        newer.goto(f"http://localhost:{program.port}/floor/#/b/{BATCH}")
        newer.get_by_text("Close Kettleside in its other tabs").first.wait_for()
        page.close()
        newer.locator(".station .finish").wait_for()
        assert newer.locator(".station [data-at=number]").inner_text() == rods
        assert set(kept) <= set(newer.evaluate(OWN_LINES))
        version, stores = newer.evaluate(VERSION)
        assert (version, {"files", "carried"} <= set(stores)) == (3, True)


def test_a_database_closed_under_the_app_is_opened_again_at_the_next_press(
    playwright: Playwright, program: Program, tmp_path: Path
) -> None:
    """The system takes the connection away, as phones do on waking; a newer tab asks for it."""
    with phone(playwright, tmp_path / "phone") as context:
        page = context.pages[0]
        context.add_init_script(
            "const open = indexedDB.open.bind(indexedDB); indexedDB.open = (...a) => {"
            " const asked = open(...a); asked.addEventListener('success', () => {"
            " window.connection = asked.result; }); return asked; };"
        )
        stand(page, program)
        for happened in ("connection.close()", "connection.onversionchange()"):
            page.evaluate(happened)
            page.wait_for_timeout(1600)
            before = page.evaluate("performance.getEntriesByName('kept').length")
            page.evaluate(PRESS)
            wait_true(page, f"performance.getEntriesByName('kept').length > {before}")
        at_the_roller(page, program)
