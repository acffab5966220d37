"""The app on a slowed phone: presses, starts without a network, the first load."""

import shutil
import tempfile
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.bench.counting import counting
from tests.bench.floor import floor_server
from tests.bench.pages import WATCHED, Pressed, Starts, fresh_phone, measure_starts
from tests.bench.rows import Row, percentile
from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.programs import Program, running

TURNS, TAPS, STARTS = 7, 10, 12
# The board takes one finishing press in a second and a half.
RHYTHM_MS = 1550
STATION = "#/b/demo-handover/roller"
READY = "performance.getEntriesByName('tappable').length > 0"


def join(page: Page, base: str, code: str) -> None:
    """Adds this browser as a phone and stands it at the roller, where rods are counted."""
    page.goto(f"{base}/floor/#add={code}")
    page.get_by_role("button", name="Isolde").click(timeout=20_000)
    page.goto(f"{base}/floor/{STATION}")
    page.locator(".finish").wait_for()


def measure_taps(playwright: Playwright, program: Program) -> list[Row]:
    """From finger up to painted and to kept on disk."""
    with (
        fresh_phone(playwright) as context,
        fresh_phone(playwright) as plain,
        floor_server() as base,
    ):
        join(
            context.pages[0],
            f"http://localhost:{program.port}",
            add_phone(program.data)["code"],
        )
        plain.pages[0].goto(base)
        wait_true(plain.pages[0], READY)
        board, rows = (
            Pressed(context.pages[0], ".finish"),
            Pressed(plain.pages[0], "li:nth-child(6)"),
        )
        for watched in WATCHED * TURNS:
            board.turn(watched, TAPS, RHYTHM_MS)
            rows.turn(watched, TAPS, RHYTHM_MS)
        ours, floor = board.times(), rows.times()
    painted = Row(
        "tap_to_paint_p95",
        percentile(ours.painted, 0.95),
        "ms",
        percentile(floor.painted, 0.95),
        budget=100,
        over_floor=1.6,
    )
    kept, least = percentile(ours.kept, 0.95), percentile(floor.kept, 0.95)
    return [painted, Row("tap_to_durable_p95", kept, "ms", least, budget=60)]


def measure_offline(playwright: Playwright) -> list[Row]:
    """Cold starts with the server gone: ours, and a page of three files with a worker."""
    ours, floor = _our_starts(playwright), _floor_starts(playwright)
    painted = Row(
        "offline_first_paint_p95",
        percentile(ours.painted, 0.95),
        "ms",
        percentile(floor.painted, 0.95),
        budget=1200,
        over_floor=1.6,
    )
    ready, least = percentile(ours.ready, 0.95), percentile(floor.ready, 0.95)
    return [painted, Row("offline_tappable_p95", ready, "ms", least, budget=1800)]


def _our_starts(playwright: Playwright) -> Starts:
    folder = Path(tempfile.mkdtemp())
    with running(folder / "data", "demo") as program:
        base = f"http://localhost:{program.port}"
        with phone(playwright, folder / "profile") as context:
            page = context.pages[0]
            join(page, base, add_phone(program.data)["code"])
            page.wait_for_timeout(2000)
    found = measure_starts(playwright, folder / "profile", f"{base}/floor/{STATION}", READY, STARTS)
    shutil.rmtree(folder, ignore_errors=True)
    return found


def _floor_starts(playwright: Playwright) -> Starts:
    folder = Path(tempfile.mkdtemp())
    with floor_server() as base, phone(playwright, folder) as context:
        page = context.pages[0]
        page.goto(f"{base}?worker")
        page.evaluate("navigator.serviceWorker.ready.then(() => 1)")
        wait_true(page, "Boolean(navigator.serviceWorker.controller)")
    found = measure_starts(playwright, folder, f"{base}?worker", READY, STARTS)
    shutil.rmtree(folder, ignore_errors=True)
    return found


def measure_first_load(playwright: Playwright, program: Program) -> list[Row]:
    """Everything a new phone loads until the app answers, the worker's requests included."""
    with fresh_phone(playwright) as context, counting(program.port) as count:
        page = context.pages[0]
        page.goto(f"http://localhost:{count.port}/floor/")
        wait_true(page, READY)
        page.wait_for_timeout(1500)
        paths = [path for path in count.paths if not path.startswith("/sync/")]
        return [
            Row("first_load_bytes", count.bytes_down, "B", budget=61_440),
            Row("first_load_requests", len(paths), "", budget=12),
        ]
