"""What the tests need besides Python is installed where that is ours to do, else named."""

from __future__ import annotations

from pathlib import Path

import pytest

from shop.launch import tools
from shop.launch.errors import MissingToolsError

# Stands where apt-get stands: notes what it is asked and lays down a program for each package.
APT_GET = """\
#!/bin/sh
echo "$@" >> "{folder}/asked"
case "$*" in *install*)
    for tool in chromium certutil faketime nginx openssl postgres; do
        printf '#!/bin/sh\\n' > "{folder}/$tool"; /bin/chmod +x "{folder}/$tool"
    done
esac
"""
EVERYTHING = [
    *("chromium", "fonts-dejavu-core", "libnss3-tools", "faketime", "nginx-light"),
    *("openssl", "postgresql"),
]


@pytest.fixture
def bare_path(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A path with nothing on it but apt-get."""
    script = tmp_path / "apt-get"
    script.write_text(APT_GET.format(folder=tmp_path))
    script.chmod(0o755)
    monkeypatch.setenv("PATH", str(tmp_path))
    monkeypatch.setattr(tools, "POSTGRES", tmp_path / "postgresql")
    monkeypatch.delenv("KETTLESIDE_CHROMIUM", raising=False)
    return tmp_path


def test_on_debian_as_root_what_is_missing_is_installed(
    bare_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tools, "may_install", lambda: True)
    tools.provide_tools()
    asked = (bare_path / "asked").read_text().splitlines()
    assert asked[0] == "--quiet update"
    assert asked[1].split()[-len(EVERYTHING) :] == EVERYTHING
    assert tools.missing_packages() == []
    assert tools.find_browser() == str(bare_path / "chromium")
    tools.provide_tools()
    assert (bare_path / "asked").read_text().splitlines() == asked


def test_elsewhere_the_run_stops_and_names_every_package(
    bare_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(tools, "may_install", lambda: False)
    wanted = f"apt-get install {' '.join(EVERYTHING)}"
    with pytest.raises(MissingToolsError, match=wanted):
        tools.provide_tools()
    assert not (bare_path / "asked").exists()


def test_a_browser_of_ones_own_choice_is_taken(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("KETTLESIDE_CHROMIUM", "/opt/browser")
    assert tools.find_browser() == "/opt/browser"
