"""The environment of the first start: real venv, real pip, a wheel from a folder."""

from __future__ import annotations

import base64
import hashlib
import os
import subprocess
import sys
import zipfile
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest

from shop.launch import environment
from shop.launch.errors import PackagesNotInstalledError
from tests.programs import ROOT

WHEEL = "tiny-1.0-py3-none-any.whl"
WHEEL_FACTS = "Wheel-Version: 1.0\nRoot-Is-Purelib: true\nTag: py3-none-any\n"
TREE = ("manage.py", "pyproject.toml", "shop/__init__.py", "shop/launch")


def make_wheel(folder: Path) -> str:
    """The smallest wheel there is (PyPA binary distribution format); answers its hash."""
    files = {
        "tiny.py": "word = 'here'\n",
        "tiny-1.0.dist-info/METADATA": "Metadata-Version: 2.1\nName: tiny\nVersion: 1.0\n",
        "tiny-1.0.dist-info/WHEEL": WHEEL_FACTS,
    }
    record = "".join(f"{name},{record_hash(text)}\n" for name, text in files.items())
    files["tiny-1.0.dist-info/RECORD"] = record + "tiny-1.0.dist-info/RECORD,,\n"
    with zipfile.ZipFile(folder / WHEEL, "w") as wheel:
        for name, text in files.items():
            wheel.writestr(name, text)
    return hashlib.sha256((folder / WHEEL).read_bytes()).hexdigest()


def record_hash(text: str) -> str:
    digest = base64.urlsafe_b64encode(hashlib.sha256(text.encode()).digest()).decode()
    return f"sha256={digest.rstrip('=')},{len(text.encode())}"


@pytest.fixture
def checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A checkout whose pins are one wheel in a folder, and a shell full of traps."""
    root = tmp_path / "checkout"
    (root / ".pins").mkdir(parents=True)
    (tmp_path / "wheels").mkdir()
    pin(root, make_wheel(tmp_path / "wheels"))
    monkeypatch.setenv("PIP_NO_INDEX", "1")
    monkeypatch.setenv("PIP_FIND_LINKS", str(tmp_path / "wheels"))
    monkeypatch.setenv("PYTHONHOME", "/nowhere")
    monkeypatch.setenv("PIP_USER", "1")
    monkeypatch.setenv("PIP_TARGET", str(tmp_path / "elsewhere"))
    monkeypatch.setenv("VIRTUAL_ENV", "/another/environment")
    return root


def pin(root: Path, digest: str) -> None:
    for name in ("run", "dev"):
        text = f"tiny==1.0 \\\n    --hash=sha256:{digest}\n"
        (root / ".pins" / f"{name}.txt").write_text(text)


def word_in(home: Path) -> str:
    command = [str(environment.python_of(home)), "-c", "import tiny; print(tiny.word)"]
    clean = environment.clean_environment(os.environ)
    return subprocess.run(command, env=clean, capture_output=True, text=True, check=True).stdout


def test_the_first_start_installs_the_pins_and_stamps_last(
    checkout: Path, capfd: pytest.CaptureFixture[str]
) -> None:
    home = environment.environment_home(checkout)
    assert home.parent == checkout / ".venv"
    assert not environment.is_stamped(home, checkout, "run")
    environment.make(home, checkout, "run")
    assert environment.is_stamped(home, checkout, "run")
    assert not environment.is_stamped(home, checkout, "dev")
    assert word_in(home) == "here\n"
    out, err = capfd.readouterr()
    assert out == ""
    assert "Setting up: 1 of 1 tiny\n" in err
    assert "Setting up: done in" in err


def test_two_first_starts_make_it_once(checkout: Path, capfd: pytest.CaptureFixture[str]) -> None:
    home = environment.environment_home(checkout)
    with ThreadPoolExecutor(2) as pool:
        for made in [pool.submit(environment.make, home, checkout, "run") for _ in range(2)]:
            made.result()
    err = capfd.readouterr().err
    assert err.count("making an environment") == 1
    assert err.count("another start is at it") == 1
    assert word_in(home) == "here\n"


def test_a_wheel_that_is_not_the_pinned_one_is_refused_and_leaves_no_stamp(
    checkout: Path,
) -> None:
    pin(checkout, "0" * 64)
    home = environment.environment_home(checkout)
    with pytest.raises(PackagesNotInstalledError, match="HASHES"):
        environment.make(home, checkout, "run")
    assert not environment.is_stamped(home, checkout, "run")


def test_changed_pins_and_a_removed_python_make_the_stamp_worthless(checkout: Path) -> None:
    home = environment.environment_home(checkout)
    python = environment.python_of(home)
    python.parent.mkdir(parents=True)
    python.symlink_to(sys.executable)
    environment.stamp_of(home, "run").write_text(environment.pins_hash(checkout, "run"))
    assert environment.is_stamped(home, checkout, "run")
    python.unlink()
    python.symlink_to("/gone/python3")
    assert not environment.is_stamped(home, checkout, "run")
    python.unlink()
    python.symlink_to(sys.executable)
    pin(checkout, "1" * 64)
    assert not environment.is_stamped(home, checkout, "run")


def test_a_checkout_that_cannot_be_written_uses_the_data_folder(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("KETTLESIDE_DATA", str(tmp_path))
    # Not even root can make a file there.
    assert environment.environment_home(Path("/proc")).parent == tmp_path / "environment"


def test_the_data_folder_before_packages_is_the_one_that_platformdirs_gives(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    from shop.launch.places import data_folder

    monkeypatch.delenv("KETTLESIDE_DATA", raising=False)
    assert environment.data_folder_before_packages() == data_folder()
    monkeypatch.setenv("XDG_DATA_HOME", "/somewhere/else")
    assert environment.data_folder_before_packages() == data_folder()


@pytest.fixture
def bare_tree(tmp_path: Path) -> Path:
    """What `manage.py` needs before any package is there."""
    for name in (*TREE, ".pins"):
        target = tmp_path / "tree" / name
        target.parent.mkdir(parents=True, exist_ok=True)
        subprocess.run(["cp", "-r", ROOT / name, target], check=True)
    return tmp_path / "tree"


def start_after(first: str, tree: Path) -> subprocess.CompletedProcess[str]:
    """`manage.py check` in a Python that some lines have changed first."""
    code = f"{first}\nsys.argv = ['manage.py', 'check']\n"
    code += "runpy.run_path('manage.py', run_name='__main__')"
    return subprocess.run(
        [sys.executable, "-S", "-c", f"import runpy, sys\nsys.path.insert(0, '')\n{code}"],
        cwd=tree,
        env={"PATH": os.environ["PATH"]},
        capture_output=True,
        text=True,
        check=False,
    )


def test_bare_debian_is_told_what_to_install(bare_tree: Path) -> None:
    ended = start_after("sys.modules['ensurepip'] = None", bare_tree)
    assert ended.returncode == 2
    assert "no 'ensurepip' module" in ended.stderr
    assert "apt-get install python3-venv" in ended.stderr
    assert "Traceback" not in ended.stderr


@pytest.mark.parametrize("version", [(2, 7), (3, 10), (3, 15)])
def test_another_python_is_told_which_ones_serve(version: tuple[int, int], bare_tree: Path) -> None:
    ended = start_after(f"sys.version_info = ({version[0]}, {version[1]}, 0)", bare_tree)
    assert ended.returncode == 1
    found = f"this is Python {version[0]}.{version[1]}."
    assert f"needs Python 3.11, 3.12, 3.13 or 3.14; {found}" in ended.stderr


@pytest.mark.long
def test_a_clean_clone_with_an_empty_home_sets_itself_up(tmp_path: Path) -> None:
    subprocess.run(["git", "clone", "-q", ROOT, tmp_path / "clone"], check=True)
    kept = ("PATH", "PIP_CERT", "PIP_CONFIG_FILE", "PIP_INDEX_URL", "HTTPS_PROXY")
    clean = {name: os.environ[name] for name in kept if name in os.environ}
    ended = subprocess.run(
        [sys.executable, "manage.py", "check"],
        cwd=tmp_path / "clone",
        env={**clean, "HOME": str(tmp_path / "home")},
        capture_output=True,
        text=True,
        check=False,
    )
    assert ended.returncode == 0, ended.stderr
    assert "Setting up: done in" in ended.stderr
    assert list((tmp_path / "home" / ".local" / "share" / "kettleside").iterdir())
