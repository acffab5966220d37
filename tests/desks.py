"""The desk for tests: a tab on the office's pages, signed in, in which no page may complain."""

from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from typing import Any

from playwright.sync_api import Browser, ConsoleMessage, Page, ViewportSize

from tests.programs import Program

OpenDesk = Callable[..., AbstractContextManager[Page]]
DESK = ViewportSize(width=1280, height=900)
PASSWORD = "quince-and-balm"
# Beside a demo: everybody who signs in there does it with this one.
PASSWORDS = f"""
from django.contrib.auth import get_user_model
for user in get_user_model().objects.all():
    user.set_password("{PASSWORD}")
    user.save()
"""
# The page is here, and what it asks for by itself too.
WHOLE = """document.readyState !== 'loading' &&
  !document.querySelector('main [hx-get][hx-trigger^=load]')"""


@contextmanager
def open_desk(
    browser: Browser,
    program: Program,
    user: str = "office",
    *,
    refusals: bool = False,
    **more: Any,
) -> Iterator[Page]:
    """A tab of this user; with `refusals` a page that is one is no complaint."""
    base = f"http://localhost:{program.port}"
    page = browser.new_page(viewport=DESK, base_url=base, **more)
    complaints: list[str] = []

    def listen(said: ConsoleMessage) -> None:
        refusal = refusals and "status of" in said.text and said.location["url"] == page.url
        if said.type == "error" and not refusal:
            complaints.append(f"{page.url}: {said.text}")

    page.on("pageerror", lambda error: complaints.append(f"{page.url}: {error}"))
    page.on("console", listen)
    sign_in(page, user)
    try:
        yield page
    finally:
        page.close()
    assert complaints == []


def sign_in(page: Page, user: str = "office") -> None:
    """As people do; the tab knows the address of its program."""
    page.goto("/office/sign-in/")
    page.fill("[name=username]", user)
    page.fill("[name=password]", PASSWORD)
    page.click("main button")
