"""What people see while pip works, from lines as pip 24 to 26 print them (read off its output)."""

from __future__ import annotations

import io
from itertools import pairwise
from pathlib import Path

import pytest

from shop.launch.install_progress import InstallProgress

PIP = """\
Ignoring numpy: markers 'python_full_version >= "3.12"' don't match your environment
Collecting asgiref==3.13.0 (from -r .pins/run.txt (line 1))
  Downloading asgiref-3.13.0-py3-none-any.whl (27 kB)
Collecting numpy==2.4.6 (from -r .pins/run.txt (line 9))
  Using cached numpy-2.4.6-cp311-cp311-manylinux_2_27_x86_64.whl (16.9 MB)
Requirement already satisfied: click==8.5.1 in ./lib (from -r .pins/run.txt (line 20))
Installing collected packages: numpy, asgiref
Successfully installed asgiref-3.13.0 numpy-2.4.6
"""
PINS = """\
asgiref==3.13.0 \\
    --hash=sha256:00
numpy==2.4.6 ; python_full_version < '3.12' \\
    --hash=sha256:01
numpy==2.5.5 ; python_full_version >= '3.12' \\
    --hash=sha256:02
click==8.5.1 \\
    --hash=sha256:03
"""


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


@pytest.fixture
def pins(tmp_path: Path) -> Path:
    (tmp_path / "run.txt").write_text(PINS)
    return tmp_path / "run.txt"


def heard(pins: Path, out: io.StringIO) -> InstallProgress:
    progress = InstallProgress.over(pins, out)
    for line in PIP.splitlines(keepends=True):
        progress.heard(line)
    progress.close("done in 9 s")
    return progress


def test_each_package_is_counted_out_of_those_that_this_python_needs(pins: Path) -> None:
    out = io.StringIO()
    heard(pins, out)
    assert out.getvalue().splitlines() == [
        "Setting up: 1 of 3 asgiref",
        "Setting up: 2 of 3 numpy",
        "Setting up: 3 of 3 click",
        "Setting up: unpacking",
        "Setting up: done in 9 s",
    ]


def test_a_terminal_shows_one_line_written_over_with_the_size_of_the_download(pins: Path) -> None:
    out = Terminal()
    heard(pins, out)
    assert out.getvalue().count("\n") == 1
    assert "\rSetting up: 1 of 3 asgiref (27 kB)\r" in out.getvalue()
    # A shorter line blots out the longer one before it.
    _, *shown = out.getvalue().rstrip("\n").split("\r")
    assert all(len(later) >= len(sooner.rstrip()) for sooner, later in pairwise(shown))


def test_what_pip_said_last_is_kept_for_the_sentence_that_says_why(pins: Path) -> None:
    said = heard(pins, io.StringIO()).last_lines()
    assert said.splitlines()[-1] == "Successfully installed asgiref-3.13.0 numpy-2.4.6"
