"""From a press on 'Burn' to the drill, on a slowed phone whose network is gone."""

from playwright.sync_api import Playwright

from tests.bench.app import join
from tests.bench.pages import SLOWER, fresh_phone
from tests.bench.rows import Row, percentile
from tests.bench.shop import add_phone
from tests.browsers import slow_down, wait_true
from tests.programs import Program

PRESSES = 12
# Two frames after the drill came to stand there: by then it is painted.
WATCH = """() => {
  window.drills = [];
  let pressed = 0;
  addEventListener('pointerup', ({ timeStamp }) => { pressed = timeStamp; }, { capture: true });
  const painted = () => { window.drills.push(performance.now() - pressed); pressed = 0; };
  new MutationObserver(() => {
    if (!pressed || !document.querySelector('.burn li')) return;
    requestAnimationFrame(() => requestAnimationFrame(painted));
  }).observe(document.getElementById('app'), { childList: true });
}"""


def measure_burn(playwright: Playwright, program: Program) -> list[Row]:
    """Each press is a false alarm; the next comes when the board stands again."""
    with fresh_phone(playwright) as context:
        page = context.pages[0]
        join(page, f"http://localhost:{program.port}", add_phone(program.data)["code"])
        page.wait_for_timeout(2000)
        context.set_offline(True)
        page.evaluate(WATCH)
        slow_down(context, page, SLOWER)
        for n in range(PRESSES):
            page.locator(".rail .burn-key").tap()
            wait_true(page, f"drills.length > {n}")
            page.get_by_role("button", name="False alarm").click()
            page.locator(".station .finish").wait_for()
        waits = page.evaluate("drills").copy()
    return [Row("burn_to_drill_p95", percentile(waits, 0.95), "ms", budget=1000)]
