"""Django's own list for a site that others reach (`check --deploy`), with a network's settings."""

from pathlib import Path

import pytest

from tests.programs import beside, manage

LOOK = """
from django.conf import settings
answer = [settings.SECURE_HSTS_SECONDS, sorted(settings.SILENCED_SYSTEM_CHECKS), settings.DEBUG]
"""
SILENCED = ["security.W004", "security.W005", "security.W008", "security.W021"]
DAY = 86_400


def test_nothing_is_found_where_the_network_is_served(tmp_path: Path) -> None:
    words = ("check", "--deploy", "--fail-level", "WARNING")
    served = manage(tmp_path, *words, KETTLESIDE_TLS="1")
    assert served.returncode == 0, served.stderr
    # What is silenced is these four, each with its reason in the settings, and nothing else.
    assert "(4 silenced)" in served.stdout or "(2 silenced)" in served.stdout
    # It can find something: the same without HTTPS.
    assert "security.W012" in manage(tmp_path, *words).stderr


@pytest.mark.parametrize(
    ("more", "insists"),
    [
        ({}, False),
        ({"KETTLESIDE_TLS": "1"}, False),
        ({"KETTLESIDE_TLS": "1", "KETTLESIDE_PROXY": "1"}, True),
        ({"KETTLESIDE_TLS": "1", "KETTLESIDE_CERTIFICATE": "/x.pem"}, True),
    ],
)
def test_a_browser_insists_on_https_only_under_a_name_of_ones_own(
    tmp_path: Path, more: dict[str, str], insists: bool
) -> None:
    seconds, silenced, debug = beside(tmp_path, LOOK, **more)
    assert (seconds >= 30 * DAY) is insists
    assert (silenced, debug) == (SILENCED, False)
