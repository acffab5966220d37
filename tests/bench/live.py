"""What phones get of each other: one more press, polls that find nothing, ten thousand at once."""

import http.client
import json
import time
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.bench.app import join
from tests.bench.counting import counting
from tests.bench.exchange import EVENTS, push_up
from tests.bench.pages import SLOWER, fresh_phone
from tests.bench.rows import Row, percentile
from tests.bench.shop import add_phone, event_lines
from tests.bench.spent import spent
from tests.browsers import phone, slow_down, wait_true
from tests.programs import Program, free_port, running
from tests.trust import trusting_home

PRESSES, RHYTHM_MS, POLLS, BYTE_POLLS = 30, 2300, 2000, 200
# When each new text of the board's number was there to be seen.
WATCH_NUMBER = """() => {
  window.seen = [];
  const look = () => {
    const text = document.querySelector('.station .number')?.textContent;
    if (text && text !== window.seen.at(-1)?.text) window.seen.push({ text, at: Date.now() });
  };
  const anything = { subtree: true, childList: true, characterData: true };
  new MutationObserver(look).observe(document.getElementById('app'), anything);
  addEventListener('online', () => { window.back = Date.now(); });
  look();
}"""
# The app's own request, as often as asked; how many found nothing new.
ASK_FOR_NEWS = """async (times) => {
  const js = document.querySelector('script[type=module]').src.replace(/boot[.]js$/, '');
  const { ask } = await import(`${js}sync/wire.js`);
  const record = await new Promise((done) => {
    indexedDB.open('kettleside').onsuccess = ({ target: { result: db } }) => {
      const asked = db.transaction('phone').objectStore('phone').get('phone');
      asked.onsuccess = () => { db.close(); done(asked.result); };
    };
  });
  const query = new URLSearchParams({ after: record.cursor, epoch: record.epoch });
  let nothing = 0;
  for (let n = 0; n < times; n++)
    if (await ask(`pull?${query}`, { token: record.token }) === null) nothing++;
  return nothing;
}"""
NUMBER = "document.querySelector('.station .number').textContent"
PRESS = "document.querySelector('.station .finish').click(), Date.now()"


def measure_freshness(playwright: Playwright, program: Program) -> list[Row]:
    """From a press on one phone to the number on another, both slowed, both on the boil."""
    with fresh_phone(playwright) as one, fresh_phone(playwright) as two:
        pages = [one.pages[0], two.pages[0]]
        for page in pages:
            join(page, f"http://localhost:{program.port}", add_phone(program.data)["code"])
        presser, watcher = pages
        # Once each has heard of the other, both ask every second.
        for page in pages:
            page.evaluate(PRESS)
            page.wait_for_timeout(6000)
        watcher.evaluate(WATCH_NUMBER)
        for context, page in ((one, presser), (two, watcher)):
            slow_down(context, page, SLOWER)
        waits = [_one_press(presser, watcher, n) for n in range(PRESSES)]
    return [Row("tick_freshness_p95", percentile(waits, 0.95), "ms", budget=1200)]


def _one_press(presser: Page, watcher: Page, n: int) -> float:
    """Milliseconds until the watcher shows one more; presses fall anywhere in its second."""
    presser.wait_for_timeout(RHYTHM_MS + (n * 370) % 1000)
    pressed = presser.evaluate(PRESS)
    wanted = presser.evaluate(NUMBER)
    wait_true(watcher, f"seen.at(-1).text === {json.dumps(wanted)}")
    return float(watcher.evaluate("seen.at(-1).at")) - float(pressed)


def measure_polls(program: Program) -> list[Row]:
    """Processor time of the server for a poll that finds nothing, on a kept connection."""
    asker = add_phone(program.data)
    connection = http.client.HTTPConnection("localhost", program.port)
    headers = {"Authorization": f"Bearer {asker['token']}"}

    def ask(path: str) -> http.client.HTTPResponse:
        connection.request("GET", path, headers=headers)
        return connection.getresponse()

    header = json.loads(ask(f"/sync/pull?after=0&epoch={asker['epoch']}").read().split(b"\n")[0])
    path = f"/sync/pull?after={header['head']}&epoch={asker['epoch']}"
    before = spent(program.process.pid)
    for _ in range(POLLS):
        answer = ask(path)
        if answer.status != 204 or answer.read():
            raise RuntimeError(f"a poll that should find nothing says {answer.status}")
    each = (spent(program.process.pid) - before) / POLLS * 1000
    return [Row("poll_cpu_ms", round(each, 2), "ms", budget=1.0)]


def measure_poll_bytes(playwright: Playwright, folder: Path) -> list[Row]:
    """Bytes each way, TLS included, of a poll that finds nothing, as the browser asks by HTTP/2."""
    data, port = folder / "lan", free_port()
    lan = ("--lan", "--no-announce", "--host", "sugar-loft.local")
    first = ("--first-visit-port", str(free_port()))
    with running(data, "demo", *lan, *first, port=port) as program, counting(port) as count:
        home = trusting_home(folder / "home", data / "authority" / "root.pem")
        with phone(playwright, folder / "profile", home=home) as context:
            page = context.pages[0]
            join(page, f"https://localhost:{count.port}", add_phone(program.data)["code"])
            page.wait_for_timeout(3000)
            before = count.bytes_down + count.bytes_up
            asked = page.evaluate(ASK_FOR_NEWS, BYTE_POLLS)
            page.wait_for_timeout(500)
            each = (count.bytes_down + count.bytes_up - before) / BYTE_POLLS
    if asked != BYTE_POLLS:
        raise RuntimeError(f"{asked} polls of {BYTE_POLLS} found nothing")
    return [Row("poll_bytes", round(each, 1), "B", budget=200)]


def measure_catch_up(playwright: Playwright, program: Program) -> list[Row]:
    """From the network's return to the right number on a slowed phone, ten thousand events on."""
    with fresh_phone(playwright) as context:
        page = context.pages[0]
        join(page, f"http://localhost:{program.port}", add_phone(program.data)["code"])
        page.wait_for_timeout(1500)
        context.set_offline(True)
        other = add_phone(program.data)
        lines = event_lines(other["device"], EVENTS, "demo-handover")
        push_up(program.port, other, lines)
        rods = sum('"what":"rods"' in line for line in lines)
        wanted = str(int(page.evaluate(NUMBER)) + rods)
        page.evaluate(WATCH_NUMBER)
        slow_down(context, page, SLOWER)
        context.set_offline(False)
        time.sleep(4)
        wait_true(page, f"seen.at(-1).text === {json.dumps(wanted)}")
        took = page.evaluate("seen.at(-1).at - back") / 1000
    return [Row("catch_up_10k_seconds", round(took, 3), "s", budget=1.0)]
