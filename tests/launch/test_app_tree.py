"""The front end's tree: one address for one content, kept for ever (RFC 8246, `immutable`)."""

from __future__ import annotations

import gzip
import re
from pathlib import Path

import pytest
from django.conf import settings
from django.template import Context, Engine
from django.test import Client

from shop.launch.app_tree import build_hash, files_under
from shop.screens.floor.app import without_comments
from tests.programs import ROOT


def first_module() -> str:
    return next(
        path.relative_to(settings.STATIC_DIR).as_posix()
        for path in files_under(settings.STATIC_DIR)
        if path.suffix == ".js"
    )


def test_a_module_is_served_under_the_build_and_may_be_kept_for_ever(client: Client) -> None:
    name = first_module()
    answer = client.get(f"{settings.APP_TREE_URL}{name}")
    assert answer.status_code == 200
    assert answer["Cache-Control"] == "max-age=315360000, public, immutable"
    assert answer["Content-Type"] == 'text/javascript; charset="utf-8"'
    assert b"".join(answer) == (settings.STATIC_DIR / name).read_bytes()
    assert "Access-Control-Allow-Origin" not in answer


def test_a_module_travels_compressed(client: Client) -> None:
    name = first_module()
    answer = client.get(f"{settings.APP_TREE_URL}{name}", headers={"accept-encoding": "gzip"})
    assert answer["Content-Encoding"] == "gzip"
    assert gzip.decompress(b"".join(answer)) == (settings.STATIC_DIR / name).read_bytes()


def test_another_build_and_the_bare_folder_are_not_there(client: Client) -> None:
    name = first_module()
    assert client.get(f"/static/app/{'0' * 16}/{name}").status_code == 404
    assert client.get(f"/static/{name}").status_code == 404
    assert client.get(f"{settings.APP_TREE_URL}../../settings.py").status_code == 404


def test_the_office_reaches_htmx_beside_the_tree(client: Client) -> None:
    engine = Engine(libraries={"htmx": "django_htmx.templatetags.django_htmx"})
    tag = engine.from_string("{% load htmx %}{% htmx_script %}").render(Context())
    (link,) = re.findall(r'src="(/static/django_htmx/[^"]+)"', tag)
    answer = client.get(link)
    assert answer.status_code == 200
    assert "immutable" not in answer["Cache-Control"]
    assert b"htmx" in b"".join(answer)


def test_the_static_tag_finds_both_kinds() -> None:
    engine = Engine(libraries={"static": "django.templatetags.static"})
    text = "{% load static %}{% static name %} {% static 'django_htmx/htmx-2.min.js' %}"
    said = engine.from_string(text).render(Context({"name": first_module()}))
    own, packaged = said.split()
    assert own == f"{settings.APP_TREE_URL}{first_module()}"
    assert packaged == "/static/django_htmx/htmx-2.min.js"


@pytest.fixture
def tree(tmp_path: Path) -> Path:
    (tmp_path / "static" / "js").mkdir(parents=True)
    (tmp_path / "templates" / "floor").mkdir(parents=True)
    (tmp_path / "static" / "js" / "a.js").write_text("export {}")
    (tmp_path / "templates" / "floor" / "shell.html").write_text("<main>")
    (tmp_path / "templates" / "office.html").write_text("<main>")
    return tmp_path


def test_the_build_follows_every_byte_and_name_of_the_floor(tree: Path) -> None:
    seen = {build_hash(tree)}
    (tree / "static" / "js" / "a.js").write_text("export { }")
    seen.add(build_hash(tree))
    (tree / "static" / "js" / "a.js").rename(tree / "static" / "js" / "b.js")
    seen.add(build_hash(tree))
    (tree / "templates" / "floor" / "shell.html").write_text("<main >")
    seen.add(build_hash(tree))
    (tree / "static" / "js" / "empty.js").touch()
    seen.add(build_hash(tree))
    assert len(seen) == 5


def test_the_build_does_not_follow_the_office_or_the_clock(tree: Path) -> None:
    before = build_hash(tree)
    (tree / "templates" / "office.html").write_text("<main class='wide'>")
    (tree / "static" / "js" / "a.js").touch()
    assert build_hash(tree) == before


@pytest.mark.parametrize("path", sorted((ROOT / "static").rglob("*.[jc]s*")), ids=lambda p: p.name)
def test_the_pack_leaves_out_lines_of_comment_and_nothing_else(path: Path) -> None:
    text = path.read_text("utf-8")
    left = iter(without_comments(text).splitlines())
    line = next(left, None)
    in_comment = False
    for original in text.splitlines():
        if original == line:
            line = next(left, None)
            continue
        in_comment = in_comment or original.lstrip().startswith("/*")
        assert in_comment or original.lstrip().startswith("//"), original
        in_comment = in_comment and not original.rstrip().endswith("*/")
    assert line is None
    # A text over several lines could hold a line that looks like a comment.
    assert all(line.count("`") % 2 == 0 for line in text.splitlines())
