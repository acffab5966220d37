"""`manage.py picture`: the whole answer from a file, as words, JSON and SVG."""

import json
import subprocess
import sys
from functools import cache
from io import StringIO
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from django.core.management import CommandError, call_command

from shop.management.commands.picture import quantity
from shop.plan.picture_words import in_words
from tests.picture.drawings import ALL
from tests.programs import ROOT

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def files(tmp_path_factory: pytest.TempPathFactory) -> dict[str, str]:
    folder = tmp_path_factory.mktemp("pictures")
    for name, make in ALL.items():
        (folder / name).write_bytes(make())
    return {name: str(folder / name) for name in ALL}


def _said(*given: str) -> str:
    out = StringIO()
    call_command("picture", *given, "--search", "0.5s", stdout=out)
    return out.getvalue()


@cache
def _answer(*given: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads(_said(*given, "--json"))
    return found


@pytest.mark.parametrize("name", ALL)
def test_every_picture_gets_a_whole_answer(files: dict[str, str], name: str) -> None:
    answer = _answer(files[name])
    wanted = {"log", "colours", "parts", "motifs", "too_small", "mended", "stock_g", "build"}
    wanted |= {"verdict", "legibility"}
    assert wanted <= set(answer)
    assert sum(part["mass_g"] for part in answer["parts"]) == 11_000
    assert sum(colour["mass_g"] for colour in answer["colours"]) == 11_000
    assert abs(sum(part["area_mm2"] for part in answer["parts"]) - 17_671.5) < 2
    keys = {"name", "colour", "treatment", "area_mm2", "mass_g", "narrowest_mm", "made_from"}
    assert all(keys <= set(part) for part in answer["parts"])
    for part in answer["parts"]:
        assert abs(part["narrowest_in_rod_mm"] - part["narrowest_mm"] * 14 / 150) < 0.001
    assert {row["part"] for row in answer["build"]["order"]}


def test_the_impossible_is_told_place_by_place(files: dict[str, str]) -> None:
    flaws = _answer(files["impossible"])["too_small"]
    assert len(flaws) > 20 and {"strip", "gap"} == {flaw["kind"] for flaw in flaws}
    assert all(flaw["width_mm"] < flaw["needs_mm"] and flaw["repairs"] for flaw in flaws)
    blue = next(c for c in _answer(files["impossible"])["colours"] if c["id"] == "blue")
    assert blue["mass_g"] == 0
    costs = [[r["changed_mm2"] for r in flaw["repairs"]] for flaw in flaws]
    assert all(c == sorted(c) for c in costs)


def test_log_rod_and_hands_are_as_asked(files: dict[str, str]) -> None:
    answer = _answer(
        *(files["letters"], "--log-mass", "9 kg", "--log-diameter", "16 cm"),
        *("--rod", "20mm", "--hands", "3"),
    )
    log = answer["log"]
    assert (log["mass_kg"], log["diameter_mm"], log["rod_mm"]) == (9.0, 160.0, 20.0)
    assert abs(log["rod_m"] / (log["length_mm"] / 1000) - 64) < 0.1
    assert answer["build"]["hands"] == ["Hand 1", "Hand 2", "Hand 3"]
    assert abs(quantity("log-mass", "kg")("25lb") - 11.34) < 0.001


def test_what_the_maker_chooses_is_done(files: dict[str, str]) -> None:
    answer = _answer(files["letters"], "--becomes", "red=clear", "--colours", "1")
    assert [c["id"] for c in answer["colours"]] == ["white", "clear", "jacket"]
    other = _answer(files["letters"], "--background", "red")
    assert {p["colour"] for p in other["parts"] if p["kind"] == "filler"} == {"red"}


def test_a_text_is_laid_from_strips() -> None:
    answer = _answer("--text", "hit", "--ink", "blue", "--rod", "16mm")
    assert {c["id"] for c in answer["colours"]} == {"white", "blue", "jacket"}
    assert answer["too_small"] == [] and not answer["mirror_symmetric"]
    assert sum(part["colour"] == "blue" for part in answer["parts"]) == 6


def test_words_name_log_parts_what_is_made_once_and_the_build(files: dict[str, str]) -> None:
    said = in_words(_answer(files["beehive"]))
    assert "11 kg log, 150 × 479 mm" in said
    assert "reads from either end" in said
    assert "2 times the size, 240 mm long; draw to 958, cut 2, turn 1 end for end" in said
    for line in ("Can we make it? ", "Build: ", "White band", "end for end", "At arm's length it"):
        assert line in said


def test_the_verdict_is_about_the_bags_asked_for(files: dict[str, str]) -> None:
    log = _answer(files["beehive"])["verdict"]
    assert 85 <= log["figures"]["packs"] <= 100
    many = _answer(files["beehive"], "--packs", "400", "--fill", "50g")["verdict"]
    assert many["verdict"] in ("instead", "no") and many["reasons"]


def test_the_svg_has_the_section_its_mirror_and_true_size(
    files: dict[str, str], tmp_path: Path
) -> None:
    page = tmp_path / "out.svg"
    _said(files["letters"], "--svg", str(page))
    root = ElementTree.parse(page).getroot()  # noqa: S314
    assert root.get("width", "").endswith("mm")
    reading, mirror, look, small = root.findall(f"{SVG}g")
    ways = [[p.get("d", "") for p in g.findall(f"{SVG}path")] for g in (reading, mirror)]
    for here, there in zip(*ways, strict=True):
        pairs = zip(_points(here), _points(there), strict=True)
        assert all(abs(x + u) < 1e-9 and y == v for (x, y), (u, v) in pairs)
    faces = [g.find(f"{SVG}g/{SVG}svg") for g in (look, small)]
    assert [face.get("width") for face in faces if face is not None] == ["150mm", "14mm"]
    words = [text.text for text in root.findall(f"{SVG}text")]
    assert words[2:] == ["How it will look", "True size, 14 mm rod"]


def _points(d: str) -> list[tuple[float, float]]:
    pairs = d.replace("M", " ").replace("Z", " ").split()
    return [(float(x), float(y)) for x, y in (pair.split(",") for pair in pairs)]


def test_every_key_of_the_answer_is_documented(files: dict[str, str]) -> None:
    text = (Path(ROOT) / "docs" / "picture.md").read_text("utf-8")
    answer = _answer(files["beehive"])
    told = text[text.index("## The answer") :]
    assert [key for key in answer if f"| `{key}` |" not in told] == []
    for key in ("log", "colours", "parts", "motifs", "too_small", "mended"):
        rows = answer[key] if isinstance(answer[key], list) else [answer[key]]
        assert rows and [name for name in rows[0] if f"{name}" not in told] == [], key


@pytest.mark.parametrize(
    ("given", "why"),
    [
        (["--text", "hit", "--rod", "14"], "rod: 14 has no unit"),
        (["--text", "hit", "--rod", "14 kg"], "rod: 14 kg is not given in m"),
        (["--text", "hit", "--rod", "4mm"], "rod is 4 mm; a picture log holds from 5 to 60 mm"),
        (["--text", "hit", "--log-mass", "900kg"], "log mass is 900 kg"),
        (["--text", "hit", "--log-diameter", "9cm"], "Log diameter is 90000 um; it must be from"),
        (["--text", "hit", "--hands", "5"], "hands is 5 1; building one log holds from 1 to 4"),
        (["--text", "hit", "--ink", "mauve"], "mauve is not a colour of this shop; choose white"),
        (["--text", "hit", "--letters", "20mm"], "A letter in the rod is 1.87 mm; it needs 2.50"),
        (["/nowhere/at.png"], "/nowhere/at.png can't be read: No such file"),
        ([], "Give a picture's file, or --text, and not both"),
    ],
)
def test_a_refusal_names_value_limit_and_next_step(given: list[str], why: str) -> None:
    with pytest.raises(CommandError) as wrong:
        _said(*given)
    assert why in str(wrong.value)


def test_a_file_that_is_no_picture_is_refused_by_the_real_program(tmp_path: Path) -> None:
    (tmp_path / "notes.txt").write_text("a bee and a hive")
    ended = subprocess.run(
        [sys.executable, "manage.py", "picture", str(tmp_path / "notes.txt")],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode != 0
    assert "neither PNG nor JPEG; export it again" in ended.stderr
    assert "Traceback" not in ended.stderr
