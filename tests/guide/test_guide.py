"""The guide: short, complete, offline, and true to what stands on the screens."""

import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.conf import settings
from django.test import Client
from django.utils.html import strip_tags
from playwright.sync_api import Page, Playwright

from shop.demo.load import ensure
from shop.screens.floor import app
from shop.store.shops import give_desk
from tests.bench.shop import add_phone
from tests.browsers import phone, wait_true
from tests.floor.test_screens import violations
from tests.guide.scenes import GUIDE, SCENES, kept_words, shown, words_on
from tests.programs import Program, running

ROOT = Path(settings.BASE_DIR)
PAGES = sorted(path.stem for path in GUIDE.glob("*.html"))
PICTURE = re.compile(r'src="([a-z]+)\.webp"')
MOST_WORDS, MOST_BYTES = 260, 40_000
# Where the words of a screen come from.
SAYS = ("static/js/**/*.js", "templates/**/*.html", "shop/plan/way/*.toml", "shop/**/*.py")
KEEPS = "navigator.serviceWorker.controller !== null"
KEPT = """caches.keys().then(async ([name]) => (await (await caches.open(name)).keys())
  .some(({ url }) => url.includes('/floor/rest-')))"""


class Bold(HTMLParser):
    """What a page prints in bold or as a command."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.open, self.found = "", list[str]()
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.open = tag if tag in ("b", "code") else self.open

    def handle_endtag(self, tag: str) -> None:
        self.open = "" if tag == self.open else self.open

    def handle_data(self, data: str) -> None:
        if self.open:
            self.found.append(data)


def text_of(name: str) -> str:
    return (GUIDE / f"{name}.html").read_text("utf-8")


@pytest.fixture(scope="module")
def screens() -> str:
    files = [path for pattern in SAYS for path in ROOT.glob(pattern)]
    return "\n".join(path.read_text("utf-8") for path in files).replace("'", "’")


def test_ten_pages_for_makers_some_for_owners_and_each_is_in_the_list() -> None:
    listed = re.findall(r'href="#/guide/([^"]+)"', text_of("index"))
    assert listed == [name for name in PAGES if name != "index"]
    assert len([name for name in listed if name.startswith("maker-")]) == 10


@pytest.mark.parametrize("name", PAGES)
def test_a_page_is_short_and_its_pictures_are_there(name: str) -> None:
    assert len(strip_tags(text_of(name)).split()) <= MOST_WORDS
    for picture in PICTURE.findall(text_of(name)):
        assert (GUIDE / f"{picture}.webp").stat().st_size <= MOST_BYTES
    assert set(PICTURE.findall(text_of(name))) <= {scene.name for scene in SCENES}


@pytest.mark.parametrize("name", PAGES)
def test_words_in_bold_are_words_of_the_screens(name: str, screens: str) -> None:
    missing = [words for words in Bold(text_of(name)).found if words not in known(screens)]
    assert missing == []


def known(screens: str) -> str:
    """The screens' words, the program's commands as they are typed, and what the eye sees."""
    commands = "\n".join(
        f"python3 manage.py {path.stem}" for path in ROOT.glob("shop/management/commands/*.py")
    )
    typed = f"{commands}\npython3 manage.py serve --lan\npython3 manage.py restore FILE"
    docs = "\n".join(f"docs/{path.name}" for path in ROOT.glob("docs/*.md"))
    return f"{screens}\n{typed}\n{docs}\n{EYE}"


# Said of the work, not of a screen.
EYE = "Eyes on the thermometer.\nBoils over:\nThermometer breaks:\nNo network:\nThe boil is lost:\nA phone falls silent\n150 LIQUID\n75 STICKS\n1 min ago\n2 min ago\n5 min ago\ndents, springs back"  # noqa: E501  # one text


def test_each_picture_says_what_the_screen_says_now(playwright: Playwright, tmp_path: Path) -> None:
    """`python -m tests.guide` takes them anew."""
    found = {scene.name: words_on(page) for scene, page in shown(playwright, tmp_path)}
    assert found == kept_words()


def test_every_page_is_read_without_a_network(playwright: Playwright, tmp_path: Path) -> None:
    with (
        running(tmp_path / "data", "demo") as program,
        phone(playwright, tmp_path / "phone") as context,
    ):
        page = context.pages[0]
        page.goto(at(program, f"add={add_phone(program.data)['code']}"))
        page.locator(".row", has_text="Maren").wait_for(timeout=30_000)
        wait_true(page, KEEPS)
        wait_true(page, KEPT)
        program.process.kill()
        program.process.wait()
        page.goto(at(program, "/guide"))
        for name in PAGES:
            read(page, program, name)


def read(page: Page, program: Program, name: str) -> None:
    """The page stands there whole, its picture too, and axe finds nothing."""
    page.goto(at(program, "/guide" if name == "index" else f"/guide/{name}"))
    title = re.search("<h1>(.*)</h1>", text_of(name))
    assert title is not None
    page.get_by_role("heading", name=title[1], level=1).wait_for()
    for picture in page.locator("article img").all():
        picture.scroll_into_view_if_needed()
        wait_true(page, "document.querySelector('article img').naturalWidth === 390")
    assert violations(page) == []


def at(program: Program, place: str) -> str:
    return f"http://localhost:{program.port}/floor/#{place}"


def test_the_desk_reads_the_same_pages(db: None, admin_client: Client, admin_user: object) -> None:
    give_desk(shop_id=ensure().id, user_id=admin_user.pk)  # type: ignore[attr-defined]
    for name in PAGES:
        answer = admin_client.get(f"/office/guide/{name}/").content.decode()
        assert (
            strip_tags(text_of(name)).split()
            == strip_tags(answer.partition("<article>")[2].partition("</article>")[0]).split()
        )
        assert "#/guide/" not in answer
    assert admin_client.get("/office/guide/nothing/").status_code == 404


def test_a_first_visit_carries_none_of_it() -> None:
    first, rest = app.pack("").decode(), app.rest("").decode()
    assert "guide/maker-01.html" in rest
    assert "guide/" not in first.replace("screens/guide.js", "").replace("/guide'", "")
