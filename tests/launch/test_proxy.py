"""Behind a real proxy that ends HTTPS, as a bigger shop's network has one."""

import json
import re
import shutil
import ssl
import subprocess
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from http.cookiejar import CookieJar
from pathlib import Path
from urllib.error import HTTPError
from urllib.parse import urlencode

import pytest

from shop.launch.authority import Leaf, current_leaf, open_authority
from tests.programs import Program, free_port, running, wait_until

PROXY = """
daemon off; master_process off; pid {folder}/pid; error_log {folder}/error.log;
events {{}}
http {{
  access_log off; client_body_temp_path {folder}/body; proxy_temp_path {folder}/proxy;
  fastcgi_temp_path {folder}/f; uwsgi_temp_path {folder}/u; scgi_temp_path {folder}/s;
  server {{
    listen 127.0.0.1:{port} ssl;
    ssl_certificate {leaf.certificate}; ssl_certificate_key {leaf.key};
    location / {{
      proxy_pass http://127.0.0.1:{behind};
      proxy_set_header Host $http_host;
      proxy_set_header X-Forwarded-Proto $scheme;
      proxy_set_header X-Forwarded-For $proxy_add_x_forwarded_for;
    }}
  }}
}}
"""


@contextmanager
def proxy(folder: Path, leaf: Leaf, port: int, behind: int) -> Iterator[None]:
    settings = folder / "nginx.conf"
    settings.write_text(PROXY.format(folder=folder, leaf=leaf, port=port, behind=behind))
    found = shutil.which("nginx") or "/usr/sbin/nginx"
    with subprocess.Popen([found, "-c", str(settings), "-p", str(folder)]) as process:
        try:
            wait_until(lambda: (folder / "pid").exists(), 10)
            yield
        finally:
            process.terminate()


@pytest.fixture
def shop(tmp_path: Path) -> Iterator[tuple[Program, str]]:
    """A shop behind the proxy, and its address there."""
    port = free_port()
    leaf = current_leaf(open_authority(tmp_path / "authority", "proxy"), ["localhost"])
    base = f"https://localhost:{port}"
    with (
        running(
            tmp_path / "data",
            "serve",
            KETTLESIDE_PROXY="1",
            KETTLESIDE_TLS="1",
            KETTLESIDE_HOME=base,
        ) as program,
        proxy(tmp_path, leaf, port, program.port),
    ):
        yield program, base


def browser(tmp_path: Path) -> tuple[urllib.request.OpenerDirector, CookieJar]:
    trust = ssl.create_default_context(cafile=tmp_path / "authority" / "root.pem")
    cookies = CookieJar()
    handlers = (
        urllib.request.HTTPSHandler(context=trust),
        urllib.request.HTTPCookieProcessor(cookies),
    )
    return urllib.request.build_opener(*handlers), cookies


def test_the_office_is_signed_in_to_with_secure_cookies(
    shop: tuple[Program, str], tmp_path: Path
) -> None:
    program, base = shop
    password = program.said().split("sign-in office ")[1].split()[0]
    opener, cookies = browser(tmp_path)
    form = opener.open(f"{base}/office/sign-in/").read().decode()
    found = re.search('name="csrfmiddlewaretoken" value="([^"]+)"', form)
    assert found is not None
    given = {"username": "office", "password": password, "csrfmiddlewaretoken": found[1]}
    # As a browser says it; without the proxy's word on HTTPS the two would not agree.
    headers = {"Origin": base, "Referer": f"{base}/office/sign-in/"}
    there, body = f"{base}/office/sign-in/", urlencode(given).encode()
    request = urllib.request.Request(there, body, headers)  # noqa: S310  # our own server
    page = opener.open(request).read().decode()
    assert "<h1>Today</h1>" in page
    assert {cookie.name: cookie.secure for cookie in cookies} == {
        "csrftoken": True,
        "sessionid": True,
    }


def test_wrong_codes_are_counted_for_each_phone_and_not_for_the_proxy(
    shop: tuple[Program, str], tmp_path: Path
) -> None:
    """A phone may claim any address before its own: it is counted by the one the proxy saw."""
    _, base = shop
    opener, _ = browser(tmp_path)

    def guess(claimed: str) -> str:
        headers = {"Content-Type": "application/json", "X-Forwarded-For": claimed}
        body = json.dumps({"code": "000000", "app": 1}).encode()
        request = urllib.request.Request(f"{base}/sync/join", body, headers)  # noqa: S310  # our own server
        with pytest.raises(HTTPError) as refused:
            opener.open(request)
        with refused.value as answer:
            return str(json.load(answer)["error"])

    said = [guess(f"10.0.0.{n}") for n in range(12)]
    assert said[0] == "wrong-code"
    assert said[-1] == "too-many-tries"
