"""Phones over the shop's own HTTPS: a renewed leaf, a new name, a new computer."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import AbstractContextManager, ExitStack, contextmanager
from pathlib import Path

from playwright.sync_api import Page, Playwright

from tests.bench.shop import add_phone
from tests.browsers import phone
from tests.launch.test_first_visit_tried import FINDS
from tests.launch.test_serving import serial
from tests.phone.conftest import PRESS, stored
from tests.programs import Program, beside, free_port, manage, running, wait_until
from tests.trust import trusting_home

# A second press that comes sooner is taken for a drop of water.
DEAD_MS = 1600
OLD, NEW = "old-loft.local", "new-loft.local"
PLACE = "/floor/#/b/demo-handover/roller"
# Nobody is sent elsewhere while sugar is hot: the last cut is done first.
LAST_CUT = """
from shop.store import access, append, read
shop = access.only_shop()
sheet = read.batch_sheet(access.access_batch(shop.id, "demo-handover"))
step = {"step": sheet["zone"]["to"], "kind": "step_done", "body": {}}
append.office_event(shop_id=shop.id, batch="demo-handover", by="greta", **step)
answer = sheet["zone"]["to"]
"""
LOCK_THE_OTHERS = """
from shop.store import access, phones
shop = access.only_shop()
for one in phones.phones(shop.id):
    if not one.is_server and not one.report:
        phones.lock_out(shop_id=shop.id, device=one.device)
answer = [one.name for one in phones.phones(shop.id) if not one.locked_out_at]
"""

HOSTS = """
from shop.store import access, phones
answer = [one.report.get("origin", "") for one in phones.phones(access.only_shop().id)]
"""


def on_lan(data: Path, name: str, port: int, *more: str) -> AbstractContextManager[Program]:
    """The demo over HTTPS under this name; certificates are looked at five times a second."""
    lan = ("--lan", "--no-announce", "--host", name, "--first-visit-port", str(free_port()))
    return running(data, "demo", *lan, *more, port=port, KETTLESIDE_RENEWAL_SECONDS="0.2")


@contextmanager
def at_roller(playwright: Playwright, data: Path, base: str, folder: Path) -> Iterator[Page]:
    """A phone that trusts the authority of `data`, added under `base`, at the roller."""
    home = trusting_home(folder / "home", data / "authority" / "root.pem")
    with phone(playwright, folder / "profile", home=home, flags=[FINDS]) as context:
        page = context.pages[0]
        page.goto(f"{base}/floor/#add={add_phone(data)['code']}")
        page.locator(".row", has_text="Isolde").click(timeout=30_000)
        page.goto(f"{base}{PLACE}")
        page.locator(".station .finish").wait_for()
        yield page


def press(page: Page, data: Path) -> None:
    """One press, and the wait until the shop has it."""
    before = len(stored(data))
    page.wait_for_timeout(DEAD_MS)
    page.evaluate(PRESS)
    wait_until(lambda: len(stored(data)) == before + 1, 30)


def shows_another(program: Program, before: str) -> bool:
    """Whether the leaf is a new one; nobody answers while one worker takes the other's place."""
    try:
        return serial(program, OLD) != before
    except ConnectionRefusedError:
        return False


def test_a_leaf_is_renewed_under_a_phone_that_works(playwright: Playwright, tmp_path: Path) -> None:
    data, port = tmp_path / "data", free_port()
    with (
        on_lan(data, OLD, port) as program,
        at_roller(playwright, data, f"https://{OLD}:{port}", tmp_path) as page,
    ):
        press(page, data)
        page.evaluate("window.same = true")
        before = serial(program, OLD)
        (data / "authority" / "leaf.pem").unlink()
        wait_until(lambda: shows_another(program, before), 20)
        press(page, data)
        assert page.evaluate("window.same")


def test_a_new_name_first_drains_what_the_phones_hold_under_the_old_one(
    playwright: Playwright, tmp_path: Path
) -> None:
    data, port = tmp_path / "data", free_port()
    with ExitStack() as stack:
        with on_lan(data, OLD, port):
            page = stack.enter_context(
                at_roller(playwright, data, f"https://{OLD}:{port}", tmp_path)
            )
            press(page, data)
            before = len(stored(data))
            page.context.set_offline(True)
            for _ in range(3):
                page.wait_for_timeout(DEAD_MS)
                page.evaluate(PRESS)
        refused = manage(data, "demo", "--lan", "--no-announce", "--host", NEW, "--leave", OLD)
        assert "Let each move, or lock it out" in refused.stderr
        with on_lan(data, NEW, port) as program:
            assert f"Served as well until every phone has left it: {OLD}" in program.chatter()
            page.context.set_offline(False)
            wait_until(lambda: len(stored(data)) == before + 3, 30)
            page.goto(f"https://{OLD}:{port}/floor/#/phone")
            page.get_by_text("This phone keeps Kettleside").first.wait_for()
            assert page.get_by_text("The shop has a new address").count() == 0
            beside(data, LAST_CUT)
            page.get_by_text("Everything from this phone is at the shop").first.wait_for()
            page.get_by_text(f"Go to {NEW}:{port}").click()
            page.locator(".row", has_text="Isolde").click(timeout=30_000)
            assert page.url.startswith(f"https://{NEW}:{port}/floor/")
            page.goto(f"https://{NEW}:{port}{PLACE}")
            page.locator(".station .finish").wait_for()
            press(page, data)
            wait_until(lambda: beside(data, HOSTS)[-1].startswith(NEW), 20)
            assert beside(data, LOCK_THE_OTHERS) == ["Server", "Phone 5"]
        with on_lan(data, NEW, port, "--leave", OLD) as program:
            assert OLD not in program.chatter()


def test_a_new_computer_with_backup_and_authority_is_the_same_shop_to_a_phone(
    playwright: Playwright, tmp_path: Path
) -> None:
    data, new, port = tmp_path / "data", tmp_path / "new", free_port()
    demo = {"KETTLESIDE_SHOP": "demo"}
    with ExitStack() as stack:
        with on_lan(data, OLD, port):
            page = stack.enter_context(
                at_roller(playwright, data, f"https://{OLD}:{port}", tmp_path)
            )
            press(page, data)
            kept = manage(data, "authority", "keep", str(tmp_path / "kept.p12"))
            passphrase = kept.stdout.split("shown this once: ")[1].split()[0]
            assert manage(data, "backup", "--to", str(tmp_path / "safe"), **demo).returncode == 0
            # After the backup: only the phone has this one when the computer is gone.
            press(page, data)
            lost = stored(data)
        backup = next((tmp_path / "safe").iterdir())
        for command in (
            ("restore", str(backup)),
            ("authority", "bring", str(tmp_path / "kept.p12"), "--passphrase", passphrase),
        ):
            done = manage(new, *command, KETTLESIDE_SHOP="demo")
            assert done.returncode == 0, done.stderr
        with on_lan(new, OLD, port):
            wait_until(lambda: lost <= stored(new), 60)
            press(page, new)
