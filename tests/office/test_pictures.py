"""Pictures at the desk: brought in, mended, cut up otherwise, taken back, tried out, planned."""

import json
import re
from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client
from PIL import Image
from pytest_django import DjangoAssertNumQueries

from shop.plan.drawing import kept_from, raster_of
from shop.screens.office import picture_hand
from shop.screens.office.picture_asks import opened
from shop.store import drawings, files
from shop.store.access import access_batch, access_drawing
from shop.store.read import batch_sheet
from shop.store.shapes import ShopInfo
from tests.office.test_desk import order
from tests.picture.drawings import ALL

OK, FOUND, WRONG, GONE = 200, 302, 400, 404
HTMX = {"HX-Request": "true"}
SIZE = {"log": "11", "rod": "14"}


@pytest.fixture(autouse=True)
def data(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Iterator[None]:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    # Pictures of the test before may still be worked on, and are waited for.
    monkeypatch.setattr(picture_hand, "BUSY_S", 120)
    yield


def brought(lead: Client, name: str, **more: str) -> str:
    """The id of a picture that came in as a file."""
    file = SimpleUploadedFile(f"{name}.png", ALL[name](), "image/png")
    given = {"kind": "file", "title": name.title(), **SIZE, "colours": "4", **more, "file": file}
    answer = lead.post("/office/pictures/new/", given)
    assert answer.status_code == FOUND, re.findall(r'class="wrong"[^<]*<', answer.content.decode())
    return str(answer["Location"]).rstrip("/").rpartition("/")[2]


def page(lead: Client, demo: ShopInfo, key: str, piece: str = "worked") -> str:
    """One piece of a picture's page, once its work is done."""
    one = opened(demo, key)
    (one.seen() if piece == "seen" else one.looked()).result(120)
    return lead.get(f"/office/pictures/{key}/{piece}/").content.decode()


def change(lead: Client, key: str, **said: str | list[str]) -> str:
    """What the page says after an act."""
    answer = lead.post(f"/office/pictures/{key}/change/", said, follow=True)
    assert answer.status_code == OK
    return " ".join(re.findall(r'class="said"[^>]*>([^<]*)<', answer.content.decode()))


def test_a_file_becomes_the_shops_sugars_and_its_bytes_are_kept(
    lead: Client, demo: ShopInfo
) -> None:
    key = brought(lead, "beehive")
    version = drawings.current_version(demo.id, key)
    assert [c["id"] for c in version.choices["palette"]] == ["white", "yellow", "brown", "clear"]
    media, path = files.read_file(demo.id, version.source)
    assert (media, path.read_bytes()) == ("image/png", ALL["beehive"]())
    assert b"".join(lead.get(f"/office/file/{version.source}")) == ALL["beehive"]()
    assert "Beehive" in lead.get("/office/pictures/").content.decode()


def test_a_photo_comes_in_as_jpeg_whatever_its_name_says(lead: Client, demo: ShopInfo) -> None:
    assert ALL["photo"]().startswith(b"\xff\xd8")
    version = drawings.current_version(demo.id, brought(lead, "photo"))
    assert files.read_file(demo.id, version.source)[0] == "image/jpeg"


def a_png(side: int) -> bytes:
    out = BytesIO()
    Image.new("1", (side, side)).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize(
    ("data_", "said"),
    [
        (b"<svg onload=alert(1)>", "neither PNG nor JPEG"),
        (b"GIF89a" + b"0" * 99, "neither PNG nor JPEG"),
        (ALL["beehive"]()[:900], "broken or cut short"),
        (a_png(12_500), "A side is 12500 pixels; at most 12000"),
        (a_png(4), "4 × 4 pixels"),
        (b"", "empty"),
    ],
    ids=["script", "other kind", "cut short", "bomb", "tiny", "empty"],
)
def test_a_file_that_is_no_picture_is_refused_in_a_sentence_and_nothing_is_kept(
    lead: Client, demo: ShopInfo, data_: bytes, said: str
) -> None:
    file = SimpleUploadedFile("x.png", data_, "image/png")
    given = {"kind": "file", "title": "x", **SIZE, "colours": "4", "file": file}
    answer = lead.post("/office/pictures/new/", given)
    assert (answer.status_code, said in answer.content.decode()) == (WRONG, True)
    assert drawings.drawings(demo.id) == []


def test_flaws_are_marked_and_one_is_mended_by_the_chosen_repair(
    lead: Client, demo: ShopInfo
) -> None:
    key = brought(lead, "beehive")
    before = page(lead, demo, key)
    flaws = len(opened(demo, key).looked().result().drawn.flaws)
    assert flaws == len(re.findall(r"<li><p>", before)) > 0
    assert before.count('fill="#7a0b0b"') == flaws
    place = re.search(r'name="place" value="([^"]+)".*?name="repair" value="(\w+)"', before, re.S)
    assert place is not None
    said = change(lead, key, act="mend", place=place[1], repair=place[2], on="1")
    assert said == f"Mended a place: {place[2]}."
    left = opened(demo, key).looked().result(120).drawn.flaws
    assert len(left) < flaws
    assert access_drawing(demo.id, key).current == 2


def test_mend_all_leaves_nothing_too_small_and_is_taken_back(lead: Client, demo: ShopInfo) -> None:
    key = brought(lead, "photo")
    was = drawings.current_version(demo.id, key).labels
    change(lead, key, act="mend-all")
    assert "Nothing is too small." in page(lead, demo, key)
    assert change(lead, key, act="undo") == "Taken back: Mended everywhere."
    assert drawings.current_version(demo.id, key).labels == was
    assert "no version before" in change(lead, key, act="undo")


@pytest.mark.parametrize(
    ("said", "answer"),
    [
        ({"act": "mend", "place": "1,2", "repair": "drop"}, "can't be mended by 'drop'"),
        ({"act": "mend", "place": "here", "repair": "drop"}, "it must be two numbers"),
        ({"act": "nothing"}, "There is no such act."),
        ({"act": "undo", "on": "7"}, "has been changed meanwhile"),
        ({"act": "rename", "part": "{part}", "name": ""}, "is no name"),
        ({"act": "rename", "part": "none", "name": "x"}, "no part of this picture"),
        ({"act": "split", "part": "{part}", "way": "askew"}, "can't be cut 'askew'"),
        ({"act": "merge"}, "nothing to go with"),
        ({"act": "recolour", "becomes-red": "gold"}, "not a colour of this shop"),
        ({"act": "again", "colours": "4"}, "can't be read again"),
        ({"act": "order", "title": "x", "log": "1", "rod": "14"}, "greater than or equal to 3"),
    ],
)
def test_what_can_not_be_done_is_said_and_changes_nothing(
    lead: Client, demo: ShopInfo, said: dict[str, str | list[str]], answer: str
) -> None:
    key = lettered(lead, "I")
    part = next(p.id for p in opened(demo, key).looked().result(120).drawn.parts if p.cluster)
    named = {k: v if isinstance(v, list) else v.format(part=part) for k, v in said.items()}
    named |= {"parts": [part]} if said["act"] == "merge" else {}
    told = change(lead, key, **named).replace("&#x27;", "'")
    assert answer in told
    info = access_drawing(demo.id, key)
    assert (info.current, info.order["log_mg"]) == (1, 11_000_000)


def lettered(lead: Client, text: str) -> str:
    given = {"kind": "text", "title": "", **SIZE, "text": text, "ink": "red", "ground": "white"}
    answer = lead.post("/office/pictures/new/", {**given, "height": "32"})
    assert answer.status_code == FOUND, answer.content.decode()
    return str(answer["Location"]).rstrip("/").rpartition("/")[2]


def test_letters_that_can_not_be_read_are_refused_with_what_they_need(lead: Client) -> None:
    given = {"kind": "text", **SIZE, "text": "Hi", "ink": "red", "ground": "white", "height": "20"}
    answer = lead.post("/office/pictures/new/", given)
    assert answer.status_code == WRONG
    assert "A letter in the rod is 1.87 mm; it needs 2.50 mm" in answer.content.decode()


def test_parts_are_renamed_cut_and_joined_and_keep_the_log_s_mass(
    lead: Client, demo: ShopInfo
) -> None:
    key = lettered(lead, "HI")
    whole = {p.id: p for p in opened(demo, key).looked().result(120).drawn.parts}
    red = max((p for p in whole.values() if p.portion == "red"), key=lambda p: p.area_m2)
    change(lead, key, act="rename", part=red.id, name="Tall one")
    change(lead, key, act="split", part="tall-one", way="level")
    now = {p.id: p for p in opened(demo, key).looked().result(120).drawn.parts}
    assert {"tall-one-a", "tall-one-b"} <= set(now)
    halves = now["tall-one-a"].area_m2 + now["tall-one-b"].area_m2
    assert halves == pytest.approx(red.area_m2)
    assert sum(p.mass_kg for p in now.values()) == pytest.approx(11.0)
    change(lead, key, act="merge", parts=["tall-one-a", "tall-one-b"])
    again = {p.id: p for p in opened(demo, key).looked().result(120).drawn.parts}
    assert again["tall-one-a"].area_m2 == pytest.approx(red.area_m2)
    assert "tall-one-a" in json.dumps(drawings.current_version(demo.id, key).choices["edits"])


def test_a_curved_part_is_stacked_from_rods_of_one_roll(lead: Client, demo: ShopInfo) -> None:
    key = brought(lead, "photo")
    round_ = max(
        (p for p in opened(demo, key).looked().result(120).drawn.parts if p.cluster),
        key=lambda p: p.narrowest_m,
    )
    assert "Stacked" in change(lead, key, act="stack", part=round_.id, rods="7")
    drawn = opened(demo, key).looked().result(120).drawn
    rods = [p for p in drawn.parts if p.id.startswith(round_.id)]
    assert sum(p.area_m2 for p in rods) == pytest.approx(round_.area_m2)
    assert [m.copies for m in drawn.motifs if m.id.endswith("-rods")] == [7]
    assert "from 2 to 40" in change(lead, key, act="stack", part=round_.id, rods="many")
    assert access_drawing(demo.id, key).current == 2


def test_a_part_is_named_as_text_never_as_markup(lead: Client, demo: ShopInfo) -> None:
    key = lettered(lead, "I")
    part = next(p for p in opened(demo, key).looked().result(120).drawn.parts if p.cluster)
    change(lead, key, act="rename", part=part.id, name="<script>x")
    for piece in ("worked", "parts"):
        assert "<script>" not in page(lead, demo, key, piece)
    one = opened(demo, key)
    one.decided(approved=False).result(120)
    shown = lead.get(f"/office/pictures/{key}/decided/").content.decode()
    assert ("<script>" in shown, "&lt;script&gt;x" in shown) == (False, True)


def test_a_colour_becomes_another_and_the_picture_lies_in_what_is_chosen(
    lead: Client, demo: ShopInfo
) -> None:
    key = lettered(lead, "I")
    before = raster_of(opened(demo, key).kept, opened(demo, key).how.section)
    change(lead, key, act="recolour", background="clear", **{"becomes-white": "clear"})
    one = opened(demo, key)
    now = raster_of(one.kept, one.how.section)
    assert [c.id for c in now.palette] == ["white", "red", "clear"]
    assert one.kept.background == "clear"
    for was, is_ in (("white", "clear"), ("red", "red")):
        index = [c.id for c in before.palette].index(was)
        then = [c.id for c in now.palette].index(is_)
        assert ((before.labels == index) == (now.labels == then)).all()


def test_the_file_is_read_again_with_fewer_colours(lead: Client, demo: ShopInfo) -> None:
    key = brought(lead, "beehive")
    assert change(lead, key, act="again", colours="1") == "Read from the file again."
    version = drawings.current_version(demo.id, key)
    assert len(version.choices["palette"]) == 2
    assert (version.number, version.choices["made"]["colours"]) == (2, 1)


def star(size: int = 20) -> str:
    rows = ["a" * size] * 6 + ["a" * 6 + "d" * (size - 12) + "a" * 6] * (size - 12)
    return "\n".join([*rows, *["a" * size] * 6])


def test_the_grid_comes_back_as_it_was_drawn(lead: Client, demo: ShopInfo) -> None:
    given = {"title": "Square", **SIZE, "ground": "white", "cells": star()}
    answer = lead.post("/office/pictures/new/grid/", given)
    key = str(answer["Location"]).rstrip("/").rpartition("/")[2]
    shown = lead.get(f"/office/pictures/{key}/grid/?cells=20").content.decode()
    assert star() in shown
    lead.post(f"/office/pictures/{key}/grid/?cells=20", {"ground": "white", "cells": star()[::-1]})
    version = drawings.current_version(demo.id, key)
    kept = kept_from(version.labels, version.choices)
    labels = raster_of(kept, opened(demo, key).how.section).labels
    assert set(np.unique(labels)) == {-1, 0, 1}


@pytest.mark.parametrize(
    ("cells", "said"),
    [
        ("aaa\naaa\naaa", "The grid has 3 rows; it must have from 8 to 48"),
        ("\n".join(["a" * 20] * 19 + ["a" * 21]), "Row 20 is"),
        ("\n".join(["a" * 20] * 19 + ["z" * 20]), "20 letters from a to k"),
        ("\n".join(["a" * 20] * 20), "background only"),
        ("\n".join(["a" * 60] * 60), "at most"),
    ],
)
def test_a_grid_that_is_none_is_refused_by_row(lead: Client, cells: str, said: str) -> None:
    given = {"title": "x", **SIZE, "ground": "white", "cells": cells}
    answer = lead.post("/office/pictures/new/grid/", given)
    assert (answer.status_code, said in answer.content.decode()) == (WRONG, True)


def grams(text: str) -> int:
    found = re.search(r'class="sum".*?(\d+) g</td>', text, re.S)
    assert found is not None
    return int(found[1])


def test_sums_follow_log_rod_and_density_and_nothing_is_kept(lead: Client, demo: ShopInfo) -> None:
    key = lettered(lead, "HI")
    page(lead, demo, key)
    tried = {"log": "9", "rod": "20", "white": "1250", "light": "1300", "clear": "1450"}
    address = f"/office/pictures/{key}/sums/"
    nine = lead.get(address, tried, headers=HTMX).content.decode()
    assert grams(nine) == 9000
    metres = [float(m) for m in re.findall(r"draws to ([\d.]+) m", nine)]
    denser = lead.get(address, {**tried, "white": "1400"}, headers=HTMX).content.decode()
    shorter = [float(m) for m in re.findall(r"draws to ([\d.]+) m", denser)]
    assert grams(denser) == 9000
    assert shorter < metres
    short = lead.get(address, {**tried, "short": "red", "have": "50"}, headers=HTMX)
    assert "Shorten the log" in short.content.decode()
    assert "m of rod lost" in short.content.decode()
    wrong = lead.get(address, {**tried, "log": "900"}, headers=HTMX).content.decode()
    assert "less than or equal to 25" in wrong
    assert access_drawing(demo.id, key).order["log_mg"] == 11_000_000


def test_an_order_is_kept_by_name_and_asked_again(lead: Client, demo: ShopInfo) -> None:
    key = lettered(lead, "I")
    given = {"title": "The I", "log": "8", "rod": "16", "packs": "40", "fill": "50"}
    assert change(lead, key, act="order", **given, hands=["Maren", "Tobit"]) == "Written down."
    one = opened(demo, key)
    found = one.decided(approved=False).result(120)
    assert found.build["hands"] == ["Maren", "Tobit"]
    assert found.verdict["figures"]["rod_mm"] == 16
    shown = lead.get(f"/office/pictures/{key}/decided/").content.decode()
    assert "Maren</text>" in shown
    five = ["Maren", "Tobit", "Isolde", "Pim", "Odo"]
    assert "at most 4" in change(lead, key, act="order", **given, hands=five)


def test_a_page_stands_at_once_and_names_what_is_still_worked_on(
    lead: Client, demo: ShopInfo, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    key = lettered(lead, "TOT")
    with django_assert_max_num_queries(16):
        shown = lead.get(f"/office/pictures/{key}/").content.decode()
    assert shown.count("<progress") >= 1
    assert f'hx-get="/office/pictures/{key}/decided/"' in shown
    assert '<noscript><meta http-equiv="refresh"' in shown
    one = opened(demo, key)
    for work in (one.looked(), one.decided(approved=False), one.seen()):
        work.result(120)
    with django_assert_max_num_queries(16):
        whole = lead.get(f"/office/pictures/{key}/").content.decode()
    assert "<progress" not in whole
    assert "noscript" not in whole
    assert "Measured by SSIM" in whole


def test_many_pictures_cost_no_more_queries(
    lead: Client, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    for text in "ABCDE":
        lettered(lead, text)
    with django_assert_max_num_queries(6):
        assert lead.get("/office/pictures/").content.decode().count("<li>") == 5


def test_a_drawn_picture_is_planned_with_no_hand_work(lead: Client, demo: ShopInfo) -> None:
    key = brought(lead, "symmetric")
    form = lead.get(f"/office/plan/?picture=:{key}").content.decode()
    assert f'<option value=":{key}" selected>' in form
    answer = lead.post("/office/plan/", order(picture=f":{key}", letter="F"))
    sheet = batch_sheet(access_batch(demo.id, "L7020F-W-0118"))
    assert answer.status_code == FOUND
    parts = opened(demo, key).looked().result(120).drawn.parts
    assert sum(part["copies"] for part in sheet["parts"]) == len(parts)
    assert {p["id"] for p in sheet["portions"]} == {p.portion for p in parts}
    assert lead.get("/office/plan/?picture=:nothing").status_code == GONE


def test_a_picture_of_another_shop_can_not_be_planned(lead: Client) -> None:
    said = lead.post("/office/plan/", order(picture=":0123456789abcdef")).content.decode()
    assert "Select a valid choice" in said


def test_the_image_of_a_version_is_its_own_colours_and_never_changes(
    lead: Client, demo: ShopInfo
) -> None:
    key = lettered(lead, "I")
    answer = lead.get(f"/office/pictures/{key}/1.png")
    assert "immutable" in answer["Cache-Control"]
    with Image.open(BytesIO(answer.content)) as image:
        colours = {c for _, c in image.convert("RGBA").getcolors() or ()}
    assert colours == {(253, 248, 236, 255), (200, 32, 44, 255), (255, 255, 255, 0)}
    assert lead.get(f"/office/pictures/{key}/9.png").status_code == GONE
